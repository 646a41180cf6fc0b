//! Which pages of other origins may call the service from a browser.

use std::future::{Ready, ready};
use std::rc::Rc;

use actix_cors::{Cors, CorsMiddleware};
use actix_web::body::{EitherBody, MessageBody};
use actix_web::dev::{Service, ServiceRequest, ServiceResponse, Transform, forward_ready};
use actix_web::http::Method;
use actix_web::http::header::{ACCESS_CONTROL_REQUEST_METHOD, ORIGIN};
use actix_web::{Error, HttpRequest};
use futures_util::future::{Either, FutureExt, LocalBoxFuture, MapOk, TryFutureExt};

use super::settings::Origins;

/// Methods that a page may use.
const METHODS: [&str; 5] = ["GET", "HEAD", "POST", "QUERY", "OPTIONS"];
/// Headers of answers that a page may read, besides those that it always may.
const EXPOSED: [&str; 11] = [
    "ETag",
    "Retry-After",
    "RateLimit",
    "RateLimit-Policy",
    "X-Request-Id",
    "Server-Timing",
    "Deprecation",
    "Link",
    "Content-Location",
    "Accept-Query",
    "Accept-Post",
];
/// Seconds for which a browser may remember a preflight.
const REMEMBERED: usize = 86_400;

/// The layer that answers preflights and marks what pages may read; a request without an
/// `Origin`, which no page sends, goes past it.
#[derive(Debug)]
pub(super) struct CrossOrigin(Cors);

impl CrossOrigin {
    pub(super) fn new(origins: &Origins) -> Self {
        Self(layer(origins))
    }
}

impl<S, B> Transform<S, ServiceRequest> for CrossOrigin
where
    S: Service<ServiceRequest, Response = ServiceResponse<B>, Error = Error> + 'static,
    B: MessageBody + 'static,
{
    type Response = ServiceResponse<EitherBody<B>>;
    type Error = Error;
    type Transform = Crossed<S>;
    type InitError = ();
    type Future = Ready<Result<Self::Transform, ()>>;

    fn new_transform(&self, inner: S) -> Self::Future {
        let inner = Rc::new(inner);
        // the layer is ready at once, with an error when an origin of ours is none
        let cors = self.0.new_transform(Rc::clone(&inner)).now_or_never();
        ready(match cors {
            Some(Ok(cors)) => Ok(Crossed { inner, cors }),
            Some(Err(())) | None => Err(()),
        })
    }
}

/// A service behind the layer.
#[derive(Debug)]
pub(super) struct Crossed<S> {
    inner: Rc<S>,
    cors: CorsMiddleware<Rc<S>>,
}

/// A response that may be one of the layer's own.
type Passed<B> = ServiceResponse<EitherBody<B>>;

impl<S, B> Service<ServiceRequest> for Crossed<S>
where
    S: Service<ServiceRequest, Response = ServiceResponse<B>, Error = Error> + 'static,
    B: MessageBody + 'static,
{
    type Response = Passed<B>;
    type Error = Error;
    type Future = Either<
        MapOk<S::Future, fn(ServiceResponse<B>) -> Passed<B>>,
        LocalBoxFuture<'static, Result<Passed<B>, Error>>,
    >;

    forward_ready!(inner);

    fn call(&self, request: ServiceRequest) -> Self::Future {
        if request.headers().contains_key(ORIGIN) {
            self.cors.call(request).right_future()
        } else {
            let pass: fn(ServiceResponse<B>) -> Passed<B> = ServiceResponse::map_into_left_body;
            self.inner.call(request).map_ok(pass).left_future()
        }
    }
}

/// Whether a browser asks what it may send, which the layer alone answers.
pub(super) fn is_preflight(request: &HttpRequest) -> bool {
    let headers = request.headers();
    *request.method() == Method::OPTIONS
        && headers.contains_key(ORIGIN)
        && headers.contains_key(ACCESS_CONTROL_REQUEST_METHOD)
}

/// The layer itself.
///
/// The answer to any other request is the same for every origin, and a browser keeps it from a
/// page that is not allowed; so a call from elsewhere is not refused, and costs nothing.
fn layer(origins: &Origins) -> Cors {
    let cors = Cors::default()
        .allowed_methods(METHODS)
        .allow_any_header()
        .expose_headers(EXPOSED)
        .max_age(REMEMBERED)
        .block_on_origin_mismatch(false)
        // the envelope writes it
        .disable_vary_header();
    match origins {
        Origins::Any => cors.allow_any_origin().send_wildcard(),
        Origins::Listed(list) => list
            .iter()
            .fold(cors, |cors, origin| cors.allowed_origin(origin)),
    }
}
