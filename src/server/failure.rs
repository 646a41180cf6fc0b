//! A problem on its way through the server: it travels beside an empty response, and the
//! envelope, which knows the request id, writes the body.

use actix_web::http::StatusCode;
use actix_web::http::header::{ACCEPT_ENCODING, RETRY_AFTER, WWW_AUTHENTICATE};
use actix_web::{HttpRequest, HttpResponse};

use super::cross_origin::is_preflight;
use super::inflate;
use crate::api::problem::{Problem, ProblemCode};

/// The response that stands for a problem until the envelope writes it out.
pub(super) fn response(problem: Problem) -> HttpResponse {
    let code = problem.code();
    let status = StatusCode::from_u16(code.status()).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let mut builder = HttpResponse::build(status);
    if matches!(
        code,
        ProblemCode::RequestTimeout | ProblemCode::BodyTooLarge
    ) {
        // what is left of the body would have to be read before the next request
        builder.force_close();
    }
    if code == ProblemCode::UnsupportedContentEncoding {
        builder.insert_header((ACCEPT_ENCODING, inflate::CODINGS));
    }
    if code == ProblemCode::Unauthenticated {
        builder.insert_header((WWW_AUTHENTICATE, "Bearer"));
    }
    if let Some(seconds) = problem.retry_after_s() {
        builder.insert_header((RETRY_AFTER, seconds));
    }
    let mut response = builder.finish();
    response.extensions_mut().insert(problem);
    response
}

/// The problem for an error that the framework raised.
pub(super) fn from_framework(error: &actix_web::Error) -> Problem {
    let status = error.as_response_error().status_code();
    of_caller(status).unwrap_or_else(|| Problem::internal(error.to_string()))
}

/// The problem for a response that reports a failure and says nothing of it, as the files of
/// the documentation and the layer of origins do.
pub(super) fn of_bare(request: &HttpRequest, status: StatusCode) -> Option<Problem> {
    let refused = ProblemCode::PreflightRefused;
    if is_preflight(request) && status.as_u16() == refused.status() {
        return Some(Problem::new(refused, refused.title()));
    }
    // too large a head is refused without a body, as the framework does with still larger ones
    let is_told = status != StatusCode::REQUEST_HEADER_FIELDS_TOO_LARGE;
    let is_failure = is_told && (status.is_client_error() || status.is_server_error());
    is_failure.then(|| {
        of_caller(status).unwrap_or_else(|| Problem::internal(format!("a bare status {status}")))
    })
}

fn of_caller(status: StatusCode) -> Option<Problem> {
    let mut codes = ProblemCode::ALL.iter().copied();
    let code = codes.find(|code| code.status() == status.as_u16())?;
    (code.status() < 500).then(|| Problem::new(code, code.title()))
}
