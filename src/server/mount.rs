//! The routes: one for every calculation of the registry, one for every page of the table.

use std::panic::{AssertUnwindSafe, catch_unwind};

use actix_web::guard;
use actix_web::http::header::ALLOW;
use actix_web::web::{self, Data, Payload, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse, Resource};
use utoipa_swagger_ui::{Config, SwaggerUi};

use super::pages::{self, Page};
use super::state::State;
use super::{body, failure, rows};
use crate::api::calculation::UNCANCELLED;
use crate::api::lookup;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::registry::Entry;
use crate::api::reserved::Reserved;

/// Mounts everything that the service answers.
pub(super) fn mount(config: &mut ServiceConfig, state: &State) {
    for entry in state.registry() {
        config.service(calculation(entry));
    }
    for page in pages::ALL {
        config.service(
            web::resource(page.path)
                .route(
                    web::route()
                        .guard(guard::Get())
                        .to(move |state| show(page, state)),
                )
                .default_service(web::to(|request| method_not_allowed(request, "GET, HEAD"))),
        );
    }
    let ui = Config::new(["/openapi.json"])
        .try_it_out_enabled(true)
        .display_operation_id(true);
    config.service(SwaggerUi::new("/docs/{_:.*}").config(ui));
    config.default_service(web::to(not_found));
}

fn calculation(entry: &'static Entry) -> Resource {
    let posted =
        web::post().to(move |request, payload, state| post(entry, request, payload, state));
    let resource = web::resource(entry.path()).route(posted);
    if !entry.is_flat() {
        return resource.default_service(web::to(|request| method_not_allowed(request, "POST")));
    }
    let asked = web::route()
        .guard(guard::Get())
        .to(move |request, state| get(entry, request, state));
    resource.route(asked).default_service(web::to(|request| {
        method_not_allowed(request, "GET, HEAD, POST")
    }))
}

async fn get(entry: &'static Entry, request: HttpRequest, state: Data<State>) -> HttpResponse {
    computed(entry, &state, |out| {
        lookup::answer(entry, request.query_string(), &UNCANCELLED, out)
    })
}

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
    match body::json(&request, payload, state.settings()).await {
        Ok(body) => computed(entry, &state, |out| {
            let reserved = lookup::reserved(request.query_string())?;
            entry.answer(&body, &UNCANCELLED, out).map(|()| reserved)
        }),
        Err(problem) => failure::response(problem),
    }
}

/// The response to a request; a panic inside the calculation becomes a problem here, where
/// the response still passes through the layers that a browser depends on.
fn computed(
    entry: &'static Entry,
    state: &State,
    answer: impl FnOnce(&mut Vec<u8>) -> Result<Reserved, Problem>,
) -> HttpResponse {
    let answered = catch_unwind(AssertUnwindSafe(|| {
        let mut out = Vec::with_capacity(1024);
        answer(&mut out).map(|reserved| (reserved, out))
    }));
    match answered {
        Ok(Ok((_reserved, out))) => HttpResponse::Ok()
            .content_type("application/json")
            .body(out),
        Ok(Err(problem)) => failure::response(problem),
        Err(_) => {
            state.metrics().count_panic();
            failure::response(Problem::internal(format!("a panic in {}", entry.name)))
        }
    }
}

async fn show(page: &'static Page, state: Data<State>) -> HttpResponse {
    (page.answer)(&state)
}

async fn method_not_allowed(request: HttpRequest, allow: &'static str) -> HttpResponse {
    let path = shortened(request.path());
    let detail = format!("{path} answers {allow}");
    let mut response = failure::response(Problem::new(ProblemCode::MethodNotAllowed, detail));
    response.headers_mut().insert(
        ALLOW,
        actix_web::http::header::HeaderValue::from_static(allow),
    );
    response
}

async fn not_found(request: HttpRequest) -> HttpResponse {
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
