//! The one middleware around everything: request id, duration, metrics, access log, security
//! headers, problem bodies, and the guard that turns a panic into an answer.
//!
//! One piece instead of a stack of them: each wrap of the framework costs a boxed future and
//! a move of the whole request.

use std::fmt;
use std::future::{Future, Ready, ready};
use std::panic::AssertUnwindSafe;
use std::pin::Pin;
use std::rc::Rc;

use actix_web::body::{BoxBody, MessageBody};
use actix_web::dev::{Service, ServiceRequest, ServiceResponse, Transform, forward_ready};
use actix_web::http::ConnectionType;
use actix_web::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use actix_web::http::{Method, StatusCode};
use actix_web::{Error, HttpMessage, HttpResponse, ResponseError};
use futures_util::FutureExt;
use tracing::{Instrument, Span};

use super::access::Admitted;
use super::access_log::{self, Line};
use super::batch;
use super::caching;
use super::clock::Stopwatch;
use super::delivery;
use super::digits;
use super::docs;
use super::failure;
use super::links;
use super::metrics::{Active, method_name};
use super::request_id::{self, RequestId, X_REQUEST_ID};
use super::rows;
#[cfg(feature = "otlp")]
use super::spans::RootSpan;
use super::state::State;
use super::trace;
use super::unread::Unread;
use crate::api::problem::Problem;

/// Media type of a problem document.
pub(super) const PROBLEM_JSON: &str = "application/problem+json";

/// The middleware, made anew for each worker.
#[derive(Debug, Clone)]
pub(super) struct Envelope(pub(super) State);

impl<S, B> Transform<S, ServiceRequest> for Envelope
where
    S: Service<ServiceRequest, Response = ServiceResponse<B>, Error = Error> + 'static,
    B: MessageBody + 'static,
{
    type Response = ServiceResponse<BoxBody>;
    type Error = Error;
    type Transform = Enveloped<S>;
    type InitError = ();
    type Future = Ready<Result<Self::Transform, ()>>;

    fn new_transform(&self, inner: S) -> Self::Future {
        ready(Ok(Enveloped {
            inner: Rc::new(inner),
            state: self.0.clone(),
        }))
    }
}

/// A service inside the envelope.
#[derive(Debug)]
pub(super) struct Enveloped<S> {
    inner: Rc<S>,
    state: State,
}

impl<S, B> Service<ServiceRequest> for Enveloped<S>
where
    S: Service<ServiceRequest, Response = ServiceResponse<B>, Error = Error> + 'static,
    B: MessageBody + 'static,
{
    type Response = ServiceResponse<BoxBody>;
    type Error = Error;
    type Future = Pin<Box<dyn Future<Output = Result<Self::Response, Error>>>>;

    forward_ready!(inner);

    fn call(&self, mut request: ServiceRequest) -> Self::Future {
        let started = Stopwatch::start();
        let seen = Seen::of(&request, &self.state);
        if request.method() == Method::HEAD {
            // handlers answer GET; the dispatcher sends no body to HEAD
            request.head_mut().method = Method::GET;
        }
        let unread = Unread::share(&mut request);
        if seen.route == batch::PATH || rows::kind(request.headers()).is_some() {
            // problems inside their answers name the request
            let id = RequestId(seen.request_id.clone());
            request.extensions_mut().insert(id);
        }
        let inner = Rc::clone(&self.inner);
        let state = self.state.clone();
        let span = seen.span();
        let answering = async move {
            // the call itself can panic, not only its future, so it is made inside the guard;
            // and no clone of the request is held, or the framework would panic
            let answered = AssertUnwindSafe(async { inner.call(request).await })
                .catch_unwind()
                .await;
            match answered {
                Ok(Ok(response)) => {
                    let response = seen.seal(response.map_into_boxed_body(), &state, started);
                    Ok(unread.leave_with(response))
                }
                Ok(Err(error)) => {
                    Err(seen.refuse(failure::from_framework(&error), &state, started))
                }
                Err(_) => {
                    state.metrics().count_panic();
                    Err(seen.refuse(
                        Problem::internal("a panic outside a calculation"),
                        &state,
                        started,
                    ))
                }
            }
        };
        Box::pin(answering.instrument(span))
    }
}

/// What is kept of a request until it is answered.
struct Seen {
    request_id: String,
    trace_id: Option<String>,
    method: Method,
    route: &'static str,
    admitted: Admitted,
    _active: Active,
    #[cfg(feature = "otlp")]
    sent: Option<RootSpan>,
}

impl Seen {
    fn of(request: &ServiceRequest, state: &State) -> Self {
        let route = state.routes().template(request.path());
        let trace_id = trace::id(request.headers());
        #[cfg(feature = "otlp")]
        let sent = state
            .spans()
            .map(|spans| spans.begin(request, method_name(request.method().as_str()), route));
        #[cfg(feature = "otlp")]
        let trace_id = trace_id.or_else(|| sent.as_ref().map(RootSpan::trace_id));
        Self {
            request_id: request_id::of(request.headers()),
            trace_id,
            method: request.method().clone(),
            route,
            admitted: Admitted::default(),
            _active: state.metrics().begin(),
            #[cfg(feature = "otlp")]
            sent,
        }
    }

    /// The root span, which every line that is logged for the request stands in.
    ///
    /// At debug level, since a span costs as much as a light call: lines above that name the
    /// request and the trace themselves.
    fn span(&self) -> Span {
        tracing::debug_span!(
            target: "request",
            "request",
            request_id = self.request_id,
            trace_id = self.trace_id,
            http.request.method = method_name(self.method.as_str()),
            http.route = self.route,
        )
    }

    /// Finishes a response: problem body, headers, counters, log line.
    fn seal(
        mut self,
        mut response: ServiceResponse<BoxBody>,
        state: &State,
        started: Stopwatch,
    ) -> ServiceResponse<BoxBody> {
        let mut problem = response.response_mut().extensions_mut().remove::<Problem>();
        if self.route == docs::ROUTE {
            problem = problem.or_else(|| docs::dress(response.response_mut()));
            response = docs::inflated(response);
        }
        let status = response.status();
        let problem = problem.or_else(|| failure::of_bare(response.request(), status));
        if let Some(problem) = &problem {
            let body = self.body_of(problem);
            response = response.map_body(|_, _| BoxBody::new(body));
        }
        if !state.access().is_open() {
            self.admitted = Admitted::of(response.request());
            state.access().tell(&self.admitted, response.headers_mut());
            if self.admitted.key.is_some() {
                caching::make_private(response.headers_mut());
            }
        }
        self.decorate(response.headers_mut(), problem.is_some(), started);
        let mut response = delivery::deliver(response, &self.method, state.kept());
        if state.drain().has_begun() {
            // a connection that is kept would hold up the end, and its next request be lost
            let head = response.response_mut().head_mut();
            head.set_connection_type(ConnectionType::Close);
        }
        self.record(response.status(), problem.as_ref(), state, started);
        response
    }

    /// The error that carries a finished response out of the framework.
    fn refuse(mut self, problem: Problem, state: &State, started: Stopwatch) -> Error {
        let status = StatusCode::from_u16(problem.code().status())
            .unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let mut headers = HeaderMap::new();
        self.decorate(&mut headers, true, started);
        self.record(status, Some(&problem), state, started);
        Refused {
            status,
            headers,
            body: self.body_of(&problem),
        }
        .into()
    }

    fn body_of(&self, problem: &Problem) -> Vec<u8> {
        // a problem document holds texts and finite numbers only
        serde_json::to_vec(&problem.document(&self.request_id)).unwrap_or_default()
    }

    fn decorate(&self, headers: &mut HeaderMap, is_problem: bool, started: Stopwatch) {
        if let Ok(id) = HeaderValue::from_str(&self.request_id) {
            headers.insert(X_REQUEST_ID, id);
        }
        let mut timing = String::with_capacity(24);
        timing.push_str("total;dur=");
        digits::push_milliseconds(&mut timing, started.elapsed());
        if let Ok(timing) = HeaderValue::try_from(timing) {
            headers.insert(SERVER_TIMING, timing);
        }
        headers.insert(
            header::X_CONTENT_TYPE_OPTIONS,
            HeaderValue::from_static("nosniff"),
        );
        headers.insert(header::VARY, HeaderValue::from_static(self.vary()));
        if self.method != Method::POST {
            // whoever looks around; a caller that computes knows where it is
            headers.insert(header::LINK, links::FOR_ALL);
        }
        if !headers.contains_key(header::CONTENT_SECURITY_POLICY) {
            headers.insert(
                header::CONTENT_SECURITY_POLICY,
                HeaderValue::from_static(NOTHING),
            );
        }
        if is_problem {
            headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(PROBLEM_JSON));
        }
        if !headers.contains_key(header::CACHE_CONTROL) {
            headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
        }
    }

    /// The request headers that a response depends on.
    fn vary(&self) -> &'static str {
        if self.method == Method::OPTIONS {
            "Origin, Access-Control-Request-Method, Access-Control-Request-Headers"
        } else {
            "Accept, Accept-Encoding, Origin"
        }
    }

    fn record(
        &mut self,
        status: StatusCode,
        problem: Option<&Problem>,
        state: &State,
        started: Stopwatch,
    ) {
        let took = started.elapsed();
        let code = problem.map(|problem| problem.code().as_str());
        state
            .metrics()
            .observe(self.method.as_str(), self.route, status.as_u16(), took);
        if let Some(problem) = problem {
            state.metrics().count_problem(problem);
        }
        if let Some(context) = problem.and_then(Problem::private) {
            tracing::error!(request_id = %self.request_id, trace_id = self.trace_id, http.route = self.route, context, "the service failed");
        }
        tracing::debug!(target: "request", status = status.as_u16(), "answered");
        #[cfg(feature = "otlp")]
        if let Some(span) = &mut self.sent {
            span.answered(status.as_u16(), problem);
        }
        if let Some(format) = state.access_log() {
            access_log::write(
                &Line {
                    request_id: &self.request_id,
                    trace_id: self.trace_id.as_deref(),
                    method: method_name(self.method.as_str()),
                    route: self.route,
                    status: status.as_u16(),
                    duration: took,
                    problem: code,
                    key_id: self.admitted.key.and_then(|key| state.access().key_id(key)),
                },
                format,
            );
        }
    }
}

/// What a page that is not for a browser may load.
const NOTHING: &str = "default-src 'none'; frame-ancestors 'none'";

const SERVER_TIMING: HeaderName = HeaderName::from_static("server-timing");

/// A response made where the framework hands out errors only.
#[derive(Debug)]
struct Refused {
    status: StatusCode,
    headers: HeaderMap,
    body: Vec<u8>,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "answered {}", self.status)
    }
}

impl ResponseError for Refused {
    fn status_code(&self) -> StatusCode {
        self.status
    }

    fn error_response(&self) -> HttpResponse {
        let mut response = HttpResponse::build(self.status).body(self.body.clone());
        for (name, value) in &self.headers {
            response.headers_mut().insert(name.clone(), value.clone());
        }
        response
    }
}
