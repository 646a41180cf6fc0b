//! The routes: one for every calculation of the registry, one for every page of the table.

use std::future::ready;

use actix_web::guard;
use actix_web::http::header::{ALLOW, CACHE_CONTROL, HeaderValue};
use actix_web::http::{Method, StatusCode};
use actix_web::web::{self, Data, Payload, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse, Resource};

use super::form::Form;
use super::page::{Asked, Page};
use super::pages;
use super::represent::{self, ACCEPT_POST, ACCEPT_QUERY, QUERY_TYPES};
use super::state::State;
use super::{batch, body, calculate, charts, docs, failure, guide, rows, teacher};
use crate::api::chart::CHARTS;
use crate::api::columnar::{self, Columnar};
use crate::api::lookup::{self, Question};
use crate::api::problem::{Problem, ProblemCode};
use crate::api::registry::Entry;
use crate::api::solutions::Solutions;

/// Methods that the path of a calculation answers.
pub(super) fn methods(entry: &Entry) -> &'static str {
    if entry.is_flat() {
        "GET, HEAD, POST, QUERY"
    } else {
        "POST, QUERY"
    }
}

/// Mounts everything that the service answers.
pub(super) fn mount(config: &mut ServiceConfig, state: &State) {
    for entry in state.registry() {
        config.service(calculation(entry));
    }
    for chart in CHARTS {
        if let Some(entry) = chart.entry(state.registry()) {
            let allow = methods(entry);
            let resource = charts::resource(chart, entry);
            config.service(resource.default_service(web::to(move |request| {
                ready(charts_query_too(method_not_allowed(request, allow)))
            })));
        }
    }
    config.service(
        web::resource(batch::PATH)
            .route(web::post().to(batch::post))
            .default_service(web::to(|request| {
                ready(method_not_allowed(request, "POST"))
            })),
    );
    let has_admin = state.settings().admin_listen.is_some();
    for page in pages::all().filter(|page| !(has_admin && page.path == pages::METRICS)) {
        config.service(resource(page));
    }
    config.service(
        web::resource(guide::FILES)
            .route(web::get().to(guide::file))
            .default_service(web::to(|request| {
                ready(method_not_allowed(request, "GET, HEAD"))
            })),
    );
    config.service(docs::service());
    config.default_service(web::to(not_found));
}

/// Mounts what the admin port answers.
pub(super) fn mount_admin(config: &mut ServiceConfig) {
    for page in pages::all().filter(|page| pages::ADMIN.contains(&page.path)) {
        config.service(resource(page));
    }
    config.default_service(web::to(not_found));
}

fn resource(page: &'static Page) -> Resource {
    let asked = web::route().guard(guard::Get());
    web::resource(page.route())
        .route(asked.to(move |request, state| show(page, request, state)))
        .default_service(web::to(|request| {
            ready(method_not_allowed(request, "GET, HEAD"))
        }))
}

fn calculation(entry: &'static Entry) -> Resource {
    let posted = web::route()
        .guard(guard::Any(guard::Post()).or(guard::Query()))
        .to(move |request, payload, state| post(entry, request, payload, state));
    let mut resource = web::resource(entry.path()).route(posted);
    if entry.is_flat() {
        let asked = web::route().guard(guard::Get());
        resource = resource.route(asked.to(move |request, state| get(entry, request, state)));
    }
    resource.default_service(web::to(move |request| {
        ready(query_too(
            entry,
            method_not_allowed(request, methods(entry)),
        ))
    }))
}

/// A response that tells of `QUERY`.
fn query_too(entry: &Entry, mut response: HttpResponse) -> HttpResponse {
    let types = represent::query_types(entry);
    response.headers_mut().insert(ACCEPT_QUERY, types);
    response
}

/// The same of a chart.
fn charts_query_too(mut response: HttpResponse) -> HttpResponse {
    response.headers_mut().insert(ACCEPT_QUERY, QUERY_TYPES);
    response
}

/// The response to a body of another media type than those that are read, which it names.
fn told_types(entry: &Entry, problem: Problem) -> HttpResponse {
    let is_type = problem.code() == ProblemCode::UnsupportedMediaType;
    let mut response = failure::response(problem);
    if is_type {
        let types = HeaderValue::from_static(represent::body_types(entry));
        response.headers_mut().insert(ACCEPT_POST, types);
    }
    response
}

/// Answers a query.
async fn get(entry: &'static Entry, request: HttpRequest, state: Data<State>) -> HttpResponse {
    asked(entry, &request, &state)
        .await
        .unwrap_or_else(failure::response)
}

async fn asked(
    entry: &'static Entry,
    request: &HttpRequest,
    state: &State,
) -> Result<HttpResponse, Problem> {
    let question = Question::parse(request.query_string())?;
    let (reserved, faults) = (question.reserved.clone(), question.faults.clone());
    let form = Form::judged(entry, request, reserved, faults).map_err(|problem| {
        // the fields may be wrong as well, and all faults are told at once
        lookup::joined(problem, calculate::refusal(entry, &question, state))
    })?;
    let computed = calculate::look_up(entry, question, &form, state).await?;
    represent::response(entry, computed, &form, request.method())
}

/// Answers a body sent with POST or QUERY.
async fn post(
    entry: &'static Entry,
    request: HttpRequest,
    payload: Payload,
    state: Data<State>,
) -> HttpResponse {
    if entry.is_flat()
        && let Some(kind) = rows::kind(request.headers())
    {
        return rows::post(entry, kind, &request, payload, &state).await;
    }
    if let Some(columnar) = &entry.columnar
        && rows::kind(request.headers()) == Some(rows::Kind::Csv)
    {
        return table(entry, columnar, &request, payload, &state)
            .await
            .unwrap_or_else(failure::response);
    }
    let solutions = state.teacher().solutions_for(request.headers());
    let mut response = answered(entry, &request, payload, solutions, &state)
        .await
        .unwrap_or_else(|problem| told_types(entry, problem));
    if entry.has_solutions {
        teacher::keep_to_the_caller(solutions, response.headers_mut());
    }
    response
}

async fn answered(
    entry: &'static Entry,
    request: &HttpRequest,
    payload: Payload,
    solutions: Solutions,
    state: &State,
) -> Result<HttpResponse, Problem> {
    let settings = state.settings();
    let limit = settings.body_limit_of(entry);
    let form = match Form::of(entry, request) {
        Ok(form) => form,
        Err(problem) if problem.code() == ProblemCode::ValidationFailed => {
            // the body may be wrong as well, and all faults are told at once
            let body = body::json(request, payload, settings, limit).await?;
            return Err(lookup::joined(
                problem,
                calculate::refused(entry, &body, state),
            ));
        }
        Err(problem) => return Err(problem),
    };
    let body = body::json(request, payload, settings, limit).await?;
    let computed = calculate::answer(entry, body, &form, solutions, state).await?;
    represent::response(entry, computed, &form, request.method())
}

/// Answers a table that is one request, with its other fields in the query.
async fn table(
    entry: &'static Entry,
    columnar: &Columnar,
    request: &HttpRequest,
    payload: Payload,
    state: &State,
) -> Result<HttpResponse, Problem> {
    let question = Question::parse(request.query_string())?;
    let (reserved, faults) = (question.reserved.clone(), question.faults.clone());
    let form = Form::judged(entry, request, reserved, faults);
    let settings = state.settings();
    let limit = settings.body_limit_of(entry);
    let table = body::table(request, payload, settings, limit).await?;
    let asked = question.fields(|fields| columnar::request(entry, columnar, &table, fields));
    let (form, asked) = match (form, asked) {
        (Ok(form), asked) => (form, asked?),
        (Err(problem), asked) => return Err(lookup::joined(problem, asked.err())),
    };
    let solutions = state.teacher().solutions_for(request.headers());
    let computed = calculate::answer(entry, asked.into(), &form, solutions, state).await?;
    represent::response(entry, computed, &form, request.method())
}

async fn show(page: &'static Page, request: HttpRequest, state: Data<State>) -> HttpResponse {
    if page.needs_document {
        state.written().prepare(state.registry()).await;
    }
    if page.needs_guide {
        state.guide().prepare(&request).await;
    }
    let mut response = (page.answer)(&Asked {
        state: &state,
        request: &request,
    });
    if let Some(keep) = page.keep
        && response.status() == StatusCode::OK
    {
        let keep = HeaderValue::from_static(keep);
        response.headers_mut().insert(CACHE_CONTROL, keep);
    }
    response
}

fn method_not_allowed(request: HttpRequest, allow: &'static str) -> HttpResponse {
    let path = shortened(request.path());
    let detail = format!("{path} answers {allow}");
    let mut response = failure::response(Problem::new(ProblemCode::MethodNotAllowed, detail));
    response
        .headers_mut()
        .insert(ALLOW, HeaderValue::from_static(allow));
    response
}

async fn not_found(request: HttpRequest) -> HttpResponse {
    let is_asked = matches!(*request.method(), Method::GET | Method::HEAD);
    if request.path().starts_with("/docs/") && !is_asked {
        return method_not_allowed(request, "GET, HEAD");
    }
    let detail = format!(
        "there is nothing at {}; see /docs",
        shortened(request.path())
    );
    failure::response(Problem::new(ProblemCode::NotFound, detail))
}

/// The start of a path, to be repeated to the caller.
fn shortened(path: &str) -> &str {
    path.char_indices()
        .nth(64)
        .map_or(path, |(end, _)| &path[..end])
}
