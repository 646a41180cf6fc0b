//! Charts over HTTP: the request of a calculation in, a picture out.

use actix_web::http::Method;
use actix_web::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderValue};
use actix_web::web::{self, Data, Payload};
use actix_web::{HttpRequest, HttpResponse, Resource, guard};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

use super::represent::{ACCEPT_QUERY, QUERY_TYPES};
use super::state::State;
use super::{body, caching, calculate, failure, negotiate};
use crate::api::calculation::{Call, UNCANCELLED};
use crate::api::chart::{ChartEntry, Drawing};
use crate::api::chart_options::{Asked, ChartFormat, ChartOptions};
use crate::api::lookup::{Question, joined};
use crate::api::picture::png;
use crate::api::picture::theme::Theme;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::registry::Entry;

/// The forms on offer, the most wanted first.
pub(super) const OFFERS: [(&str, ChartFormat); 2] = [
    ("image/svg+xml", ChartFormat::Svg),
    ("image/png", ChartFormat::Png),
];

/// A chart and the calculation that it draws.
#[derive(Clone, Copy)]
struct Mounted {
    chart: &'static ChartEntry,
    entry: &'static Entry,
}

/// The resource of a chart.
pub(super) fn resource(chart: &'static ChartEntry, entry: &'static Entry) -> Resource {
    let mounted = Mounted { chart, entry };
    let posted = web::route()
        .guard(guard::Any(guard::Post()).or(guard::Query()))
        .to(move |request, payload, state| post(mounted, request, payload, state));
    let resource = web::resource(chart.path).route(posted);
    if !entry.is_flat() {
        return resource;
    }
    let asked = web::route().guard(guard::Get());
    resource.route(asked.to(move |request, state| get(mounted, request, state)))
}

/// Draws what a query asks for.
async fn get(mounted: Mounted, request: HttpRequest, state: Data<State>) -> HttpResponse {
    match asked(mounted, &request) {
        Ok((drawing, options, format)) => {
            let drawn = draw(mounted, drawing, (options, format), &state).await;
            answered(drawn, request.method())
        }
        Err(problem) => failure::response(problem),
    }
}

fn asked(
    mounted: Mounted,
    request: &HttpRequest,
) -> Result<(Drawing, ChartOptions, ChartFormat), Problem> {
    let Asked {
        options,
        faults,
        pairs,
    } = Asked::parse(request.query_string())?;
    let question = Question::of_pairs(pairs);
    let read = question.fields(|fields| mounted.chart.read_fields(fields));
    if !faults.is_empty() {
        // all faults are told at once
        return Err(joined(Problem::invalid(faults), read.err()));
    }
    let format = format(&options, request)?;
    Ok((read?, options, format))
}

/// Draws what a body asks for.
async fn post(
    mounted: Mounted,
    request: HttpRequest,
    payload: Payload,
    state: Data<State>,
) -> HttpResponse {
    let drawn = async {
        let settings = state.settings();
        let limit = settings.body_limit_of(mounted.entry);
        let read = |body: &[u8]| {
            calculate::guarded(mounted.entry, state.metrics(), || mounted.chart.read(body))
        };
        let options = match Asked::beside_body(request.query_string()) {
            Err(problem) if problem.code() == ProblemCode::ValidationFailed => {
                // the body may be wrong as well, and all faults are told at once
                let body = body::json(&request, payload, settings, limit).await?;
                return Err(joined(problem, read(&body).err()));
            }
            options => options?,
        };
        let format = format(&options, &request)?;
        let body = body::json(&request, payload, settings, limit).await?;
        let drawing = read(&body)?;
        draw(mounted, drawing, (options, format), &state).await
    };
    answered(drawn.await, request.method())
}

fn format(options: &ChartOptions, request: &HttpRequest) -> Result<ChartFormat, Problem> {
    match options.format {
        Some(format) => Ok(format),
        None => negotiate::media_type(request.headers(), &OFFERS),
    }
}

/// A picture and how it is to be sent.
struct Drawn {
    bytes: Vec<u8>,
    format: ChartFormat,
    theme: Theme,
}

/// Draws here what takes a moment, and on the compute pool what takes longer: pixels, heavy
/// calculations, many points.
async fn draw(
    mounted: Mounted,
    drawing: Drawing,
    (options, format): (ChartOptions, ChartFormat),
    state: &State,
) -> Result<Drawn, Problem> {
    let metrics = state.metrics().clone();
    let is_heavy = drawing.is_heavy || format == ChartFormat::Png;
    let work = move |call: &Call<'_>| {
        let svg = calculate::guarded(mounted.entry, &metrics, || drawing.draw(call, &options))?;
        let bytes = match format {
            ChartFormat::Svg => svg.into_bytes(),
            ChartFormat::Png => {
                call.go_on()?;
                png::of(&svg)?
            }
        };
        Ok(Drawn {
            bytes,
            format,
            theme: options.theme,
        })
    };
    if is_heavy {
        Box::pin(state.pool().run(mounted.chart.deadline, work)).await
    } else {
        work(&UNCANCELLED)
    }
}

fn answered(drawn: Result<Drawn, Problem>, method: &Method) -> HttpResponse {
    let drawn = match drawn {
        Ok(drawn) => drawn,
        Err(problem) => return failure::response(problem),
    };
    let mut builder = HttpResponse::Ok();
    builder
        .content_type(match drawn.format {
            ChartFormat::Svg => "image/svg+xml",
            ChartFormat::Png => "image/png",
        })
        .insert_header((ACCEPT_QUERY, QUERY_TYPES));
    if drawn.format == ChartFormat::Svg
        && let Ok(policy) = HeaderValue::try_from(policy(drawn.theme))
    {
        builder.insert_header((CONTENT_SECURITY_POLICY, policy));
    }
    if *method != Method::POST {
        builder.insert_header((CACHE_CONTROL, HeaderValue::from_static(caching::A_DAY)));
    }
    builder.body(drawn.bytes)
}

/// What an SVG that is opened by itself may do: have the colours of its theme, and nothing
/// else.
fn policy(theme: Theme) -> String {
    let hash = STANDARD.encode(Sha256::digest(theme.style().as_bytes()));
    format!("default-src 'none'; style-src 'sha256-{hash}'; frame-ancestors 'none'; sandbox")
}
