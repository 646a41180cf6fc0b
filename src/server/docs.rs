//! The interactive documentation: files built into the program, and what a browser may do with
//! them.

use std::io::Read;

use actix_web::HttpResponse;
use actix_web::body::{BoxBody, MessageBody};
use actix_web::dev::ServiceResponse;
use actix_web::http::StatusCode;
use actix_web::http::header::{
    CACHE_CONTROL, CONTENT_ENCODING, CONTENT_SECURITY_POLICY, HeaderValue,
};
use flate2::read::GzDecoder;
use utoipa_swagger_ui::{Config, SwaggerUi};

use super::caching;
use super::negotiate;
use crate::api::problem::{Problem, ProblemCode};

/// Route of the files, as in metrics and log.
pub(super) const ROUTE: &str = "/docs/{file}";

/// What they may load: each other, and the pictures in their styles.
const POLICY: &str = "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; \
    frame-ancestors 'none'; base-uri 'none'; form-action 'none'";

/// The files.
pub(super) fn service() -> SwaggerUi {
    let config = Config::new(["/openapi.json"])
        .try_it_out_enabled(true)
        .display_operation_id(true)
        // a badge from elsewhere, which needs a network and would tell of every visit
        .validator_url("none");
    SwaggerUi::new("/docs/{_:.*}").config(config)
}

/// Adds the headers of a file; answers the problem of one that is not there.
pub(super) fn dress(response: &mut HttpResponse) -> Option<Problem> {
    if response.status() == StatusCode::NOT_FOUND {
        let detail = "there is no such file; see /docs/";
        return Some(Problem::new(ProblemCode::NotFound, detail));
    }
    let headers = response.headers_mut();
    headers.insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
    headers.insert(
        CACHE_CONTROL,
        HeaderValue::from_static(caching::FIVE_MINUTES),
    );
    None
}

/// A file as it is, for a caller who does not take it compressed, which it is in the program.
pub(super) fn inflated(response: ServiceResponse<BoxBody>) -> ServiceResponse<BoxBody> {
    if negotiate::accepts_gzip(response.request().headers())
        || !response.headers().contains_key(CONTENT_ENCODING)
    {
        return response;
    }
    response.map_body(|head, body| {
        let body = match body.try_into_bytes() {
            Ok(body) => body,
            Err(body) => return body,
        };
        let mut whole = Vec::new();
        // the files are ours and whole; what could not be read would be sent as it stands
        if GzDecoder::new(&body[..]).read_to_end(&mut whole).is_err() {
            return BoxBody::new(body);
        }
        head.headers_mut().remove(CONTENT_ENCODING);
        BoxBody::new(whole)
    })
}
