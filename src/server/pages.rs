//! Everything that is served besides the calculations: one table, from which the routes and
//! their part of the document are made.

use actix_web::http::header::LOCATION;
use actix_web::{HttpRequest, HttpResponse};
use serde_json::{Value, json};

use super::page_schema::{PageSchema, list_schema, text};
use super::state::State;
use super::{caching, catalogue, links, problem_pages};
use crate::api::bibliography::{self, Source};
use crate::api::caution::{self, CautionEntry};
use crate::api::encode;
use crate::api::provenance::MODEL_VERSION;

/// A page: where it is, what the document says of it, and what it answers.
#[derive(Debug)]
pub(super) struct Page {
    pub(super) path: &'static str,
    pub(super) operation_id: &'static str,
    pub(super) summary: &'static str,
    pub(super) description: &'static str,
    pub(super) tag: &'static str,
    pub(super) status: u16,
    pub(super) media_type: &'static str,
    pub(super) schema: fn() -> PageSchema,
    /// For how long the page may be kept; without it, not at all.
    pub(super) keep: Option<&'static str>,
    /// What stands for the braces in the path.
    pub(super) parameter: Option<Parameter>,
    /// Whether a browser gets the same as HTML, and a type that is neither is refused.
    pub(super) has_html: bool,
    pub(super) answer: fn(&Asked<'_>) -> HttpResponse,
}

impl Page {
    /// What most pages are: one form at one path.
    const PLAIN: Self = Self {
        path: "",
        operation_id: "",
        summary: "",
        description: "",
        tag: OPERATION,
        status: 200,
        media_type: JSON,
        schema: || text(""),
        keep: None,
        parameter: None,
        has_html: false,
        answer: |_| HttpResponse::NoContent().finish(),
    };
}

/// A part of a path that is one of a list of words.
#[derive(Debug, Clone, Copy)]
pub(super) struct Parameter {
    pub(super) name: &'static str,
    pub(super) description: &'static str,
    pub(super) words: fn() -> Vec<&'static str>,
}

/// What a page can be made from; it passes for the state, which is all that most need.
#[derive(Debug)]
pub(super) struct Asked<'a> {
    pub(super) state: &'a State,
    pub(super) request: &'a HttpRequest,
}

impl std::ops::Deref for Asked<'_> {
    type Target = State;

    fn deref(&self) -> &State {
        self.state
    }
}

/// Group of the pages about the running service.
pub(super) const OPERATION: &str = "operation";
/// Group of the pages about the numbers.
pub(super) const KNOWLEDGE: &str = "knowledge";

const JSON: &str = "application/json";
const TEXT: &str = "text/plain; charset=utf-8";

/// All pages, in the order of the document.
pub(super) static ALL: &[Page] = &[
    Page {
        path: "/v1",
        operation_id: "list_calculations",
        summary: "All calculations",
        description: "Name, path, group and methods of every calculation, and whether its request is flat.",
        tag: KNOWLEDGE,
        schema: catalogue::schema,
        answer: |asked| catalogue::page(asked.registry()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/sources",
        operation_id: "list_sources",
        summary: "The bibliography",
        description: "Every source that an answer can name in `sources`: citation, equation, where it holds, how \
            uncertain it is, and how it is known.",
        tag: KNOWLEDGE,
        status: 200,
        media_type: JSON,
        schema: sources_schema,
        answer: |_| listed("sources", bibliography::sources()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/cautions",
        operation_id: "list_cautions",
        summary: "All cautions",
        description: "Every caution that an answer can carry, with its severity and its text in English, so that a \
            caller can translate them.",
        tag: KNOWLEDGE,
        status: 200,
        media_type: JSON,
        schema: cautions_schema,
        answer: |_| listed("cautions", &caution::all()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/problems",
        operation_id: "list_problems",
        summary: "All kinds of problems",
        description: "Every code that a problem document can have: its status, what it means, what to do about it, \
            an example, and the codes that its `errors` can hold.",
        tag: KNOWLEDGE,
        schema: problem_pages::schema_all,
        has_html: true,
        answer: problem_pages::show_all,
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/problems/{code}",
        operation_id: "read_problem",
        summary: "A kind of problem",
        description: "What the `type` of a problem document leads to: what the code means and what to do about it.",
        tag: KNOWLEDGE,
        schema: problem_pages::schema_one,
        parameter: Some(Parameter {
            name: "code",
            description: "Code of the problem.",
            words: problem_pages::codes,
        }),
        has_html: true,
        answer: problem_pages::show_one,
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
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
        description: "Answers 200 when requests are welcome.",
        tag: OPERATION,
        status: 200,
        media_type: TEXT,
        schema: || text("ready"),
        answer: |_| plain("ready"),
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
        schema: version_schema,
        answer: |_| {
            HttpResponse::Ok()
                .content_type(JSON)
                .body(version().to_string())
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
        schema: || PageSchema {
            schema: json!({"type": "object", "description": "An OpenAPI 3.1 document."}),
            components: Vec::new(),
            example: json!({"openapi": "3.1.0"}),
        },
        answer: |state| {
            HttpResponse::Ok()
                .content_type(JSON)
                .body(state.openapi_json())
        },
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
        schema: || text("openapi: 3.1.0\n"),
        answer: |state| {
            HttpResponse::Ok()
                .content_type("application/yaml")
                .body(state.openapi_yaml())
        },
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

fn plain(text: &'static str) -> HttpResponse {
    HttpResponse::Ok().content_type(TEXT).body(text)
}

/// A page that is one object with one list.
pub(super) fn listed<T: serde::Serialize>(name: &str, items: &[T]) -> HttpResponse {
    one(&std::collections::BTreeMap::from([(name, items)]))
}

/// A page that is one object.
pub(super) fn one<T: serde::Serialize>(item: &T) -> HttpResponse {
    let mut body = Vec::new();
    match encode::json(item, &mut body) {
        Ok(()) => HttpResponse::Ok().content_type(JSON).body(body),
        Err(problem) => super::failure::response(problem),
    }
}

fn sources_schema() -> PageSchema {
    let example = json!({"sources": bibliography::sources().get(..1).unwrap_or_default()});
    list_schema::<Source>("sources", "All sources.", example)
}

fn cautions_schema() -> PageSchema {
    let example = json!({"cautions": caution::all().get(..1).unwrap_or_default()});
    list_schema::<CautionEntry>("cautions", "All cautions.", example)
}

/// Version of the published contract.
pub(super) const SCHEMA_VERSION: &str = "1";

fn version() -> Value {
    let mut version = json!({
        "version": env!("CARGO_PKG_VERSION"),
        "model_version": MODEL_VERSION,
        "schema_version": SCHEMA_VERSION,
    });
    if let Some(commit) = option_env!("EXTRACTION_MATHS_COMMIT") {
        version["commit"] = commit.into();
    }
    version
}

fn version_schema() -> PageSchema {
    let text = |description: &str| json!({"type": "string", "description": description});
    PageSchema {
        schema: json!({
            "type": "object",
            "required": ["version", "model_version", "schema_version"],
            "properties": {
                "version": text("Version of the program."),
                "model_version": text("Version of the numbers: raised when any answer changes."),
                "schema_version": text("Version of the contract: the v1 of the paths."),
                "commit": text("Commit that the program was built from."),
            },
        }),
        components: Vec::new(),
        example: json!({
            "version": env!("CARGO_PKG_VERSION"),
            "model_version": MODEL_VERSION,
            "schema_version": SCHEMA_VERSION,
        }),
    }
}
