//! Everything that is served besides the calculations: one table, from which the routes and
//! their part of the document are made.

use actix_web::HttpResponse;
use actix_web::http::header::{CACHE_CONTROL, LOCATION};
use serde_json::{Value, json};

use super::state::State;
use crate::api::basket_sizes::{self, BasketSize};
use crate::api::bibliography::{self, Source};
use crate::api::caution::{self, CautionEntry};
use crate::api::encode;
use crate::api::milks::{self, MilkEntry};
use crate::api::provenance::MODEL_VERSION;
use crate::api::registry::Schemas;

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
    pub(super) answer: fn(&State) -> HttpResponse,
}

/// What a page's body looks like.
#[derive(Debug)]
pub(super) struct PageSchema {
    pub(super) schema: Value,
    pub(super) components: Vec<(String, Value)>,
    pub(super) example: Value,
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
    },
    Page {
        path: "/v1/reference/baskets",
        operation_id: "list_baskets",
        summary: "Common basket diameters",
        description: "Diameters by which espresso baskets are sold, with the doses that `basket-capacity` answers for the \
            diameter alone. Trade sizes: no standard on basket dimensions is published.",
        tag: KNOWLEDGE,
        status: 200,
        media_type: JSON,
        schema: baskets_schema,
        answer: |_| match basket_sizes::all() {
            Ok(baskets) => listed("baskets", &baskets),
            Err(error) => super::failure::response(error.into()),
        },
    },
    Page {
        path: "/v1/reference/milks",
        operation_id: "list_milks",
        summary: "Milks by their fat",
        description: "The milks that `milk_id` names in `milk-steaming`, with composition, heat capacity and density. The \
            compositions are from memory. Plant drinks are left out: no source for their heat is at hand.",
        tag: KNOWLEDGE,
        status: 200,
        media_type: JSON,
        schema: milks_schema,
        answer: |_| match milks::all() {
            Ok(milks) => listed("milks", &milks),
            Err(error) => super::failure::response(error.into()),
        },
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
        answer: |state| reusable(JSON, state.openapi_json()),
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
        answer: |state| reusable("application/yaml", state.openapi_yaml()),
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

fn reusable(media_type: &'static str, body: actix_web::web::Bytes) -> HttpResponse {
    HttpResponse::Ok()
        .content_type(media_type)
        .insert_header((CACHE_CONTROL, "public, max-age=300"))
        .body(body)
}

fn listed<T: serde::Serialize>(name: &str, items: &[T]) -> HttpResponse {
    let mut body = Vec::new();
    let list = std::collections::BTreeMap::from([(name, items)]);
    match encode::json(&list, &mut body) {
        Ok(()) => reusable(JSON, body.into()),
        Err(problem) => super::failure::response(problem),
    }
}

/// The OpenAPI document itself, whichever notation it is written in.
fn document_schema() -> PageSchema {
    PageSchema {
        schema: json!({"type": "object", "description": "An OpenAPI 3.1 document."}),
        components: Vec::new(),
        example: json!({"openapi": "3.1.0"}),
    }
}

fn text(example: &str) -> PageSchema {
    PageSchema {
        schema: json!({"type": "string"}),
        components: Vec::new(),
        example: example.into(),
    }
}

fn list_schema<T: utoipa::ToSchema>(name: &str, description: &str, example: Value) -> PageSchema {
    let Schemas {
        name: item,
        root,
        mut components,
    } = Schemas::of::<T>();
    let reference = format!("#/components/schemas/{item}");
    components.push((item, root));
    PageSchema {
        schema: json!({
            "type": "object",
            "required": [name],
            "properties": {name: {
                "type": "array",
                "description": description,
                "items": {"$ref": reference},
            }},
        }),
        components,
        example,
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

fn baskets_schema() -> PageSchema {
    let example = json!({"baskets": basket_sizes::all().unwrap_or_default()});
    list_schema::<BasketSize>("baskets", "Common diameters, the smallest first.", example)
}

fn milks_schema() -> PageSchema {
    let example = json!({"milks": milks::all().unwrap_or_default()});
    list_schema::<MilkEntry>("milks", "Milks, the leanest first.", example)
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
