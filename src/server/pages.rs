//! Everything that is served besides the calculations: one table, from which the routes and
//! their part of the document are made.

use actix_web::HttpResponse;
use actix_web::http::header::LOCATION;
use serde_json::json;

use super::page::{
    JSON, KNOWLEDGE, OPERATION, Page, PageSchema, Parameter, TEXT, list_schema, text,
};
use super::{caching, capabilities, catalogue, links, problem_pages, version};
use crate::api::basket_sizes::{self, BasketSize};
use crate::api::bibliography::{self, Source};
use crate::api::caution::{self, CautionEntry};
use crate::api::encode;
use crate::api::water::profiles::{self, WaterProfile};
use crate::api::water::salts::{self, SaltForm};

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
        path: "/v1/reference/baskets",
        operation_id: "list_baskets",
        summary: "Common basket diameters",
        description: "Diameters by which espresso baskets are sold, with the doses that `basket-capacity` answers for the \
            diameter alone. Trade sizes: no standard on basket dimensions is published.",
        tag: KNOWLEDGE,
        schema: baskets_schema,
        answer: |_| match basket_sizes::all() {
            Ok(baskets) => listed("baskets", &baskets),
            Err(error) => super::failure::response(error.into()),
        },
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/capabilities",
        operation_id: "read_capabilities",
        summary: "Calculations, limits and settings in force",
        description: "Every calculation with what a call of it may use, the formats, the limits and settings of the \
            running service, and its versions.",
        tag: KNOWLEDGE,
        schema: capabilities::schema,
        answer: capabilities::page,
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/water-profiles",
        operation_id: "list_water_profiles",
        summary: "Published brewing-water profiles",
        description: "Dated data sets that `profile` of `brewing-water` can name, each with its limits and how it is \
            known. None is a law of nature, and editions differ.",
        tag: KNOWLEDGE,
        schema: profiles_schema,
        answer: |_| listed("water_profiles", &profiles::ALL),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/salts",
        operation_id: "list_salts",
        summary: "Salts for brewing water",
        description: "Every salt that `water-dosing` knows, in each form in which it is sold: molar mass with its water \
            of crystallisation, and what 100 mg/L of it brings. Use food-grade salts only.",
        tag: KNOWLEDGE,
        schema: salts_schema,
        answer: |_| salts_page(),
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
        schema: document_schema,
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

/// The OpenAPI document itself, whichever notation it is written in.
fn document_schema() -> PageSchema {
    PageSchema {
        schema: json!({"type": "object", "description": "An OpenAPI 3.1 document."}),
        components: Vec::new(),
        example: json!({"openapi": "3.1.0"}),
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

fn profiles_schema() -> PageSchema {
    let example = json!({"water_profiles": profiles::ALL.get(..1).unwrap_or_default()});
    list_schema::<WaterProfile>("water_profiles", "All profiles.", example)
}

fn salts_schema() -> PageSchema {
    let forms = salts::forms().unwrap_or_default();
    let example = json!({"salts": forms.get(..1).unwrap_or_default()});
    list_schema::<SaltForm>("salts", "Every salt in every form.", example)
}

fn salts_page() -> HttpResponse {
    match salts::forms() {
        Ok(forms) => listed("salts", &forms),
        Err(error) => super::failure::response(error.into()),
    }
}
