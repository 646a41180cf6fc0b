//! A problem on its way through the server: it travels beside an empty response, and the
//! envelope, which knows the request id, writes the body.

use actix_web::HttpResponse;
use actix_web::http::StatusCode;
use actix_web::http::header::{ACCEPT_ENCODING, RETRY_AFTER, WWW_AUTHENTICATE};

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
    let status = error.as_response_error().status_code().as_u16();
    let code = ProblemCode::ALL
        .iter()
        .find(|code| code.status() == status && status < 500)
        .copied();
    match code {
        Some(code) => Problem::new(code, code.title()),
        None => Problem::internal(error.to_string()),
    }
}
