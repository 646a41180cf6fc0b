//! The pages about the running service.

use actix_web::HttpResponse;
use actix_web::http::header::LOCATION;
use actix_web::web::Bytes;
use serde_json::json;

use crate::api::problem::{Problem, ProblemCode};
use crate::server::page::{JSON, OPERATION, Page, PageSchema, TEXT, text};
use crate::server::state::State;
use crate::server::{caching, failure, links, version};

/// The pages, in the order of the document.
pub(super) static ALL: &[Page] = &[
    Page {
        path: "/livez",
        operation_id: "check_liveness",
        summary: "Whether the process lives",
        description: "Answers as long as the process can answer at all; never depends on load.",
        tag: OPERATION,
        status: 200,
        media_type: TEXT,
        schema: || text("ok"),
        answer: |_| plain("ok"),
        ..Page::PLAIN
    },
    Page {
        path: "/readyz",
        operation_id: "check_readiness",
        summary: "Whether the service takes requests",
        description: "Answers 200 when requests are welcome, and 503 `draining` once the process was told to end.",
        tag: OPERATION,
        status: 200,
        media_type: TEXT,
        schema: || text("ready"),
        answer: |asked| readiness(asked.state),
        ..Page::PLAIN
    },
    Page {
        path: "/metrics",
        operation_id: "read_metrics",
        summary: "Counters for the operator",
        description: "Durations by route and status, problems by code, panics; Prometheus text format.",
        tag: OPERATION,
        status: 200,
        media_type: "text/plain; version=0.0.4; charset=utf-8",
        schema: || text("# TYPE panics_total counter\npanics_total 0\n"),
        answer: |state| {
            HttpResponse::Ok()
                .content_type("text/plain; version=0.0.4; charset=utf-8")
                .body(state.metrics().text())
        },
        ..Page::PLAIN
    },
    Page {
        path: "/version",
        operation_id: "read_version",
        summary: "What is running",
        description: "Version of the program, of the numbers and of this document, and the commit it was built from \
            where the build was told.",
        tag: OPERATION,
        status: 200,
        media_type: JSON,
        schema: version::schema,
        answer: |_| {
            HttpResponse::Ok()
                .content_type(JSON)
                .body(version::version().to_string())
        },
        ..Page::PLAIN
    },
    Page {
        path: "/openapi.json",
        operation_id: "read_document_json",
        summary: "This document as JSON",
        description: "The OpenAPI 3.1 description of the service.",
        tag: OPERATION,
        status: 200,
        media_type: JSON,
        schema: document_schema,
        needs_document: true,
        answer: |asked| document(JSON, asked.written().json()),
        keep: Some(caching::FIVE_MINUTES),
        ..Page::PLAIN
    },
    Page {
        path: "/openapi.yaml",
        operation_id: "read_document_yaml",
        summary: "This document as YAML",
        description: "The OpenAPI 3.1 description of the service.",
        tag: OPERATION,
        status: 200,
        media_type: "application/yaml",
        schema: document_schema,
        needs_document: true,
        answer: |asked| document("application/yaml", asked.written().yaml()),
        keep: Some(caching::FIVE_MINUTES),
        ..Page::PLAIN
    },
    Page {
        path: "/.well-known/api-catalog",
        operation_id: "read_api_catalog",
        summary: "Where the descriptions of the service are",
        description: "Links to this document, to the interactive documentation and to the state of the service, \
            as RFC 9727 asks for.",
        tag: OPERATION,
        media_type: links::LINKSET,
        schema: || PageSchema {
            schema: json!({"type": "object", "description": "A link set (RFC 9264)."}),
            components: Vec::new(),
            example: links::catalogue(),
        },
        answer: |_| links::page(),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/",
        operation_id: "find_documentation",
        summary: "The way to the documentation",
        description: "Leads a browser to /docs/.",
        tag: OPERATION,
        status: 303,
        media_type: TEXT,
        schema: || text("see /docs/"),
        answer: |_| to_docs(),
        ..Page::PLAIN
    },
    Page {
        path: "/docs",
        operation_id: "find_interactive_documentation",
        summary: "The way to the interactive documentation",
        description: "Leads a browser to /docs/, where every operation can be tried.",
        tag: OPERATION,
        status: 303,
        media_type: TEXT,
        schema: || text("see /docs/"),
        answer: |_| to_docs(),
        ..Page::PLAIN
    },
];

fn to_docs() -> HttpResponse {
    HttpResponse::SeeOther()
        .insert_header((LOCATION, "/docs/"))
        .content_type(TEXT)
        .body("see /docs/")
}

fn document(media_type: &'static str, text: Result<Bytes, Problem>) -> HttpResponse {
    match text {
        Ok(text) => HttpResponse::Ok().content_type(media_type).body(text),
        Err(problem) => failure::response(problem),
    }
}

fn readiness(state: &State) -> HttpResponse {
    if state.drain().has_begun() {
        let problem = Problem::new(ProblemCode::Draining, "the process was told to end");
        return failure::response(problem.with_retry_after(1));
    }
    plain("ready")
}

fn plain(text: &'static str) -> HttpResponse {
    HttpResponse::Ok().content_type(TEXT).body(text)
}

/// The OpenAPI document itself, whichever notation it is written in.
fn document_schema() -> PageSchema {
    PageSchema {
        schema: json!({"type": "object", "description": "An OpenAPI 3.1 document."}),
        components: Vec::new(),
        example: json!({"openapi": "3.1.0"}),
    }
}
