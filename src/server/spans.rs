//! Root spans of requests, sent to a collector by OTLP: HTTP with JSON bodies.
//!
//! Names and attributes are those of the stable OpenTelemetry conventions for HTTP servers. A
//! span holds no query, no body and no address of a caller. Spans leave in batches from a thread
//! of their own; those that a slow collector would hold up are dropped, never a request.

use std::time::Duration;

use actix_web::dev::ServiceRequest;
use opentelemetry::trace::{
    Span, SpanContext, SpanId, SpanKind, Status, TraceContextExt, TraceFlags, TraceId, TraceState,
    Tracer, TracerProvider,
};
use opentelemetry::{Context, KeyValue};
use opentelemetry_otlp::{ExporterBuildError, Protocol, SpanExporter, WithExportConfig};
use opentelemetry_sdk::Resource;
use opentelemetry_sdk::trace::{Sampler, SdkTracer, SdkTracerProvider, Span as SdkSpan};

use super::metrics::OTHER_METHOD;
use super::routes;
use super::settings::Settings;
use super::trace::{self, Parent};
use crate::api::problem::Problem;

/// Time that an ending service gives to the spans that have not left yet.
const LAST: Duration = Duration::from_secs(2);
/// Longest path in a span, in bytes.
const PATH_BYTES: usize = 256;

/// Begins the spans of a service, and ends with it.
#[derive(Debug, Clone)]
pub(super) struct Spans {
    provider: SdkTracerProvider,
    tracer: SdkTracer,
    scheme: &'static str,
}

impl Spans {
    /// Sends spans to the collector that the settings name, if they name one.
    pub(super) fn of(settings: &Settings) -> Result<Option<Self>, ExporterBuildError> {
        let Some(collector) = &settings.otlp_endpoint else {
            return Ok(None);
        };
        let exporter = SpanExporter::builder()
            .with_http()
            .with_protocol(Protocol::HttpJson)
            .with_endpoint(format!("{}/v1/traces", collector.trim_end_matches('/')))
            .build()?;
        let name = env!("CARGO_PKG_NAME");
        let resource = Resource::builder()
            .with_service_name(name)
            .with_attribute(KeyValue::new("service.version", env!("CARGO_PKG_VERSION")))
            .build();
        // who calls decides for their own traces
        let sampler = Sampler::TraceIdRatioBased(settings.otlp_ratio);
        let provider = SdkTracerProvider::builder()
            .with_batch_exporter(exporter)
            .with_sampler(Sampler::ParentBased(Box::new(sampler)))
            .with_resource(resource)
            .build();
        Ok(Some(Self {
            tracer: provider.tracer(name),
            provider,
            scheme: settings.scheme(),
        }))
    }

    /// The span of a request that has just come in.
    pub(super) fn begin(
        &self,
        request: &ServiceRequest,
        method: &'static str,
        route: &'static str,
    ) -> RootSpan {
        let is_matched = route != routes::UNMATCHED;
        let name = match (method, is_matched) {
            (OTHER_METHOD, true) => format!("HTTP {route}"),
            (OTHER_METHOD, false) => "HTTP".to_owned(),
            (_, true) => format!("{method} {route}"),
            (_, false) => method.to_owned(),
        };
        let mut attributes = vec![
            KeyValue::new("http.request.method", method),
            KeyValue::new("url.scheme", self.scheme),
            KeyValue::new("url.path", cut(request.path()).to_owned()),
        ];
        if is_matched {
            attributes.push(KeyValue::new("http.route", route));
        }
        let parent = trace::parent(request.headers()).and_then(|parent| context(&parent));
        let parent = parent.map_or_else(Context::new, |parent| {
            Context::new().with_remote_span_context(parent)
        });
        let span = self
            .tracer
            .span_builder(name)
            .with_kind(SpanKind::Server)
            .with_attributes(attributes);
        RootSpan(self.tracer.build_with_context(span, &parent))
    }

    /// Sends what has not been sent.
    pub(super) fn end(&self) {
        if let Err(error) = self.provider.shutdown_with_timeout(LAST) {
            tracing::warn!(%error, "the last spans may not have reached the collector");
        }
    }
}

/// The start of a path that is short enough; a path as it is sent is ASCII.
fn cut(path: &str) -> &str {
    path.get(..PATH_BYTES).unwrap_or(path)
}

/// The span of whoever called, which this service's span is a child of.
fn context(parent: &Parent<'_>) -> Option<SpanContext> {
    let flags = u8::from_str_radix(parent.flags, 16).ok()?;
    Some(SpanContext::new(
        TraceId::from_hex(parent.trace).ok()?,
        SpanId::from_hex(parent.span).ok()?,
        TraceFlags::new(flags),
        true,
        TraceState::NONE,
    ))
}

/// The span of one request; a request that nobody waits for any more ends it without a status.
#[derive(Debug)]
pub(super) struct RootSpan(SdkSpan);

impl RootSpan {
    /// The trace that the span is part of, in hexadecimal digits.
    pub(super) fn trace_id(&self) -> String {
        self.0.span_context().trace_id().to_string()
    }

    /// Ends the span with what was answered.
    pub(super) fn answered(&mut self, status: u16, problem: Option<&Problem>) {
        self.0.set_attribute(KeyValue::new(
            "http.response.status_code",
            i64::from(status),
        ));
        let code = problem.map(|problem| problem.code().as_str());
        if let Some(code) = code {
            self.0.set_attribute(KeyValue::new("problem.code", code));
        }
        // a caller's mistake is no error of a server's span
        if status >= 500 {
            let kind = code.map_or_else(|| status.to_string(), str::to_owned);
            self.0.set_attribute(KeyValue::new("error.type", kind));
            self.0.set_status(Status::error(""));
        }
        self.0.end();
    }
}
