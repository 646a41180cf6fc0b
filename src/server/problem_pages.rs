//! `/problems` and `/problems/{code}`: what the `type` of a problem document leads to, as JSON
//! for a program and as a page for a person.

use actix_web::HttpResponse;
use serde::Serialize;
use serde_json::json;
use utoipa::ToSchema;

use super::failure;
use super::html::{self, escaped, with_code};
use super::negotiate;
use super::page::{Asked, PageSchema, item_schema, list_schema};
use super::pages::{listed, one};
use crate::api::calculation::UNCANCELLED;
use crate::api::problem::{FaultCode, Problem, ProblemCode, ProblemDocument};
use crate::api::registry::REGISTRY;

/// A kind of problem.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct ProblemKind {
    /// Stable code, as in `code` of a problem document.
    code: ProblemCode,
    /// Where this kind is described, as in `type` of a problem document.
    #[serde(rename = "type")]
    #[schema(format = "uri-reference")]
    type_uri: String,
    /// HTTP status.
    status: u16,
    /// What happened.
    title: &'static str,
    /// What the caller can do about it.
    remedy: &'static str,
    /// A problem document of this kind.
    example: ProblemDocument,
    /// Codes that `errors` of this kind can hold; left out where it holds none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fault_codes: Vec<FaultKind>,
}

/// A kind of fault of a request.
#[derive(Debug, Serialize, ToSchema)]
struct FaultKind {
    /// Stable code, as in `errors` of a problem document.
    code: FaultCode,
    /// What it means.
    meaning: &'static str,
}

impl ProblemKind {
    fn of(code: ProblemCode) -> Self {
        let faults: &[FaultCode] = if code == ProblemCode::ValidationFailed {
            FaultCode::ALL
        } else {
            &[]
        };
        Self {
            code,
            type_uri: path(code),
            status: code.status(),
            title: code.title(),
            remedy: code.remedy(),
            example: example(code).document("5f0c8e"),
            fault_codes: faults
                .iter()
                .map(|code| FaultKind {
                    code: *code,
                    meaning: code.meaning(),
                })
                .collect(),
        }
    }
}

fn path(code: ProblemCode) -> String {
    format!("/problems/{}", code.as_str())
}

/// A problem of this kind; a real one where a wrong request shows it.
fn example(code: ProblemCode) -> Problem {
    let wrong: [(_, &[u8]); 3] = [
        (
            ProblemCode::ValidationFailed,
            br#"{"workings": 1, "unheard_of": 1}"#,
        ),
        (ProblemCode::MalformedJson, br#"{"workings": true,}"#),
        (ProblemCode::EmptyBody, b""),
    ];
    let body = wrong.iter().find(|(shows, _)| *shows == code);
    body.zip(REGISTRY.first())
        .and_then(|((_, body), entry)| entry.answer(body, &UNCANCELLED, &mut Vec::new()).err())
        .unwrap_or_else(|| Problem::new(code, code.title()))
}

/// All codes, as they stand in a path.
pub(super) fn codes() -> Vec<&'static str> {
    ProblemCode::ALL.iter().map(|code| code.as_str()).collect()
}

/// Whether a person or a program asks.
#[derive(Debug, Clone, Copy)]
enum Reader {
    Program,
    Person,
}

/// Forms of these pages.
const OFFERS: [(&str, Reader); 2] = [
    ("application/json", Reader::Program),
    ("text/html", Reader::Person),
];

/// The page of one kind.
pub(super) fn show_one(asked: &Asked<'_>) -> HttpResponse {
    let name = asked.request.match_info().get("code").unwrap_or_default();
    let Some(code) = ProblemCode::ALL.iter().find(|code| code.as_str() == name) else {
        return failure::response(Problem::new(
            ProblemCode::NotFound,
            "there is no problem of this code; /problems lists all",
        ));
    };
    let kind = ProblemKind::of(*code);
    match negotiate::media_type(asked.request.headers(), &OFFERS) {
        Ok(Reader::Program) => one(&kind),
        Ok(Reader::Person) => html::page(kind.title, &written(&kind)),
        Err(problem) => failure::response(problem),
    }
}

/// The page of all kinds.
pub(super) fn show_all(asked: &Asked<'_>) -> HttpResponse {
    let kinds: Vec<_> = ProblemCode::ALL
        .iter()
        .copied()
        .map(ProblemKind::of)
        .collect();
    match negotiate::media_type(asked.request.headers(), &OFFERS) {
        Ok(Reader::Program) => listed("problems", &kinds),
        Ok(Reader::Person) => {
            let items = kinds.iter().map(|kind| {
                let (path, title) = (&kind.type_uri, escaped(kind.title));
                let code = kind.code.as_str();
                let status = kind.status;
                format!("<dt><a href=\"{path}\"><code>{code}</code></a></dt>\n<dd>{status}. {title}.</dd>\n")
            });
            let list: String = items.collect();
            html::page("Problems", &format!("<dl>\n{list}</dl>\n"))
        }
        Err(problem) => failure::response(problem),
    }
}

fn written(kind: &ProblemKind) -> String {
    let example = serde_json::to_string_pretty(&kind.example).unwrap_or_default();
    let faults: String = kind
        .fault_codes
        .iter()
        .map(|fault| {
            let (code, meaning) = (fault.code.as_str(), with_code(fault.meaning));
            format!("<dt><code>{code}</code></dt>\n<dd>{meaning}</dd>\n")
        })
        .collect();
    let faults = if faults.is_empty() {
        faults
    } else {
        format!("<h2>Codes in <code>errors</code></h2>\n<dl>\n{faults}</dl>\n")
    };
    format!(
        "<p>Code <code>{}</code>, status {}.</p>\n<h2>What to do</h2>\n<p>{}</p>\n\
         <h2>Example</h2>\n<pre>{}</pre>\n{faults}<p><a href=\"/problems\">All problems</a>, \
         <a href=\"/docs/\">documentation</a></p>\n",
        kind.code.as_str(),
        kind.status,
        with_code(kind.remedy),
        escaped(&example),
    )
}

/// Schema of one kind.
pub(super) fn schema_one() -> PageSchema {
    item_schema::<ProblemKind>(json!(ProblemKind::of(ProblemCode::EmptyBody)))
}

/// Schema of the list.
pub(super) fn schema_all() -> PageSchema {
    let example = json!({"problems": [ProblemKind::of(ProblemCode::EmptyBody)]});
    list_schema::<ProblemKind>("problems", "All kinds of problems.", example)
}
