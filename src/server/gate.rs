//! The gate before the handlers: length of address and head, key, quota.
//!
//! It stands inside whatever a browser depends on, so that its refusals can be read there.
//! Every path under `/v1/` is behind it, whoever adds it; probes, documentation and
//! the operator's pages are not. Without keys and quotas it is a comparison of two lengths.

use std::future::{Ready, ready};

use actix_web::body::BoxBody;
use actix_web::dev::{Service, ServiceRequest, ServiceResponse, Transform, forward_ready};
use actix_web::http::{Method, StatusCode};
use actix_web::{Error, HttpMessage, HttpResponse};
use futures_util::future::Either;

use super::failure;
use super::state::State;
use crate::api::problem::{Problem, ProblemCode};

/// Longest address, path and query together, in bytes.
pub(super) const URI_BYTES: usize = 4096;
/// Longest sum of the names and values of all headers in bytes.
pub(super) const HEADER_BYTES: usize = 16 * 1024;

/// The middleware, made anew for each worker.
#[derive(Debug, Clone)]
pub(super) struct Gate(pub(super) State);

impl<S> Transform<S, ServiceRequest> for Gate
where
    S: Service<ServiceRequest, Response = ServiceResponse<BoxBody>, Error = Error>,
{
    type Response = ServiceResponse<BoxBody>;
    type Error = Error;
    type Transform = Gated<S>;
    type InitError = ();
    type Future = Ready<Result<Self::Transform, ()>>;

    fn new_transform(&self, inner: S) -> Self::Future {
        ready(Ok(Gated {
            inner,
            state: self.0.clone(),
        }))
    }
}

/// A service behind the gate.
#[derive(Debug)]
pub(super) struct Gated<S> {
    inner: S,
    state: State,
}

impl<S> Service<ServiceRequest> for Gated<S>
where
    S: Service<ServiceRequest, Response = ServiceResponse<BoxBody>, Error = Error>,
{
    type Response = ServiceResponse<BoxBody>;
    type Error = Error;
    type Future = Either<S::Future, Ready<Result<Self::Response, Error>>>;

    forward_ready!(inner);

    fn call(&self, request: ServiceRequest) -> Self::Future {
        match self.refusal(&request) {
            None => Either::Left(self.inner.call(request)),
            Some(response) => Either::Right(ready(Ok(request.into_response(response)))),
        }
    }
}

impl<S> Gated<S> {
    fn refusal(&self, request: &ServiceRequest) -> Option<HttpResponse> {
        let uri = request.uri().path_and_query();
        if uri.is_some_and(|uri| uri.as_str().len() > URI_BYTES) {
            let detail = format!("the address may have {URI_BYTES} bytes at most");
            return Some(failure::response(Problem::new(
                ProblemCode::UriTooLong,
                detail,
            )));
        }
        let sizes = request
            .headers()
            .iter()
            .map(|(n, v)| n.as_str().len() + v.len());
        if sizes.sum::<usize>() > HEADER_BYTES {
            // without a body, as the framework refuses still larger heads
            let status = StatusCode::REQUEST_HEADER_FIELDS_TOO_LARGE;
            return Some(HttpResponse::build(status).force_close().finish());
        }
        let access = self.state.access();
        if access.is_open() || !is_behind(request) {
            return None;
        }
        let (admitted, result) = access.admit(request);
        request.extensions_mut().insert(admitted);
        result.err().map(failure::response)
    }
}

/// Whether a request needs to be let in.
///
/// Looks at the path that routes are matched by, where escapes are undone: the path as sent
/// can spell `/v1/` in other ways. A browser's preflight carries no key.
fn is_behind(request: &ServiceRequest) -> bool {
    let path = request.match_info().as_str();
    (path == "/v1" || path.starts_with("/v1/")) && request.method() != Method::OPTIONS
}
