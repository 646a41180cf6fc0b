//! The operations of the document: what is sent, what comes back, how it fails.

use serde_json::{Map, Value, json};

use super::schemas::published_answer;
use super::{Components, behind_the_gate, forms, look_up};
use crate::api::calculation::Weight;
use crate::api::problem::ProblemCode;
use crate::api::registry::Entry;
use crate::server::page::{Page, PageSchema};

/// Problems that any calculation can answer, besides those about the request's fields.
pub(in crate::server) const COMMON: [ProblemCode; 12] = [
    ProblemCode::MalformedJson,
    ProblemCode::Unauthenticated,
    ProblemCode::NotFound,
    ProblemCode::MethodNotAllowed,
    ProblemCode::NotAcceptable,
    ProblemCode::RequestTimeout,
    ProblemCode::BodyTooLarge,
    ProblemCode::UriTooLong,
    ProblemCode::UnsupportedMediaType,
    ProblemCode::ValidationFailed,
    ProblemCode::QuotaExceeded,
    ProblemCode::Internal,
];

impl Components {
    pub(super) fn calculation(&mut self, entry: &'static Entry) -> Value {
        let request = self.request(entry);
        let answer = self.answer(entry);
        let mut responses = Map::new();
        let mut answers = with_headers(json!({
            "description": "The answer, with its sources and cautions.",
            "content": {"application/json": {"schema": answer, "examples": examples(entry, entry.example_answers().to_vec())}},
        }));
        forms::add_to_answer(&mut answers, entry);
        responses.insert("200".to_owned(), answers);
        let overloaded = (entry.weight != Weight::Light).then_some(ProblemCode::Overloaded);
        for code in COMMON
            .into_iter()
            .chain(overloaded)
            .filter(|code| *code != ProblemCode::NotFound)
        {
            let name = self.problem(code, entry);
            responses.insert(
                code.status().to_string(),
                json!({"$ref": format!("#/components/responses/{name}")}),
            );
        }
        let mut operation = json!({
            "tags": [entry.tag.name()],
            "summary": entry.summary,
            "description": described(entry),
            "operationId": format!("compute_{}", entry.name.replace(['-', '/'], "_")),
            "parameters": forms::parameters(entry),
            "x-query": forms::query(),
            "requestBody": {
                "required": true,
                "description": "The request; see the examples.",
                "content": {"application/json": {"schema": request, "examples": examples(entry, requested(entry))}},
            },
            "responses": responses,
        });
        if entry.has_solutions {
            forms::add_parameter(&mut operation, forms::teacher_key());
        }
        behind_the_gate(&mut operation);
        operation
    }

    /// The same calculation by query.
    pub(super) fn look_up(&mut self, entry: &'static Entry, post: &Value) -> Value {
        let overloaded = &post["responses"]["503"];
        let mut operation = json!({
            "tags": post["tags"],
            "summary": post["summary"],
            "description": format!(
                "{}\n\nThe same answer as to the body with these fields, byte for byte. Lists are written with commas.",
                described(entry)
            ),
            "operationId": format!("look_up_{}", entry.name.replace(['-', '/'], "_")),
            "parameters": look_up::parameters(entry),
            "responses": {
                "200": post["responses"]["200"],
                "400": self.reference(ProblemCode::BadQuery),
                "405": self.reference(ProblemCode::MethodNotAllowed),
                "406": self.reference(ProblemCode::NotAcceptable),
                "414": self.reference(ProblemCode::UriTooLong),
                "422": post["responses"]["422"],
                "500": self.reference(ProblemCode::Internal),
                "401": self.reference(ProblemCode::Unauthenticated),
                "429": self.reference(ProblemCode::QuotaExceeded),
            },
        });
        if !overloaded.is_null() {
            operation["responses"]["503"] = overloaded.clone();
        }
        behind_the_gate(&mut operation);
        forms::add_revalidation(&mut operation);
        operation
    }

    pub(super) fn page(&mut self, page: &'static Page) -> Value {
        let PageSchema {
            schema,
            components,
            example,
        } = (page.schema)();
        for (name, component) in components {
            self.schemas.insert(name, published_answer(component));
        }
        let media_type = page.media_type.split(';').next().unwrap_or_default();
        let mut response = with_headers(json!({
            "description": page.summary,
            "content": {media_type: {"schema": schema, "example": example}},
        }));
        if page.status == 303 {
            response["headers"]["location"] = json!({"description": "Where to go.", "schema": {"type": "string", "format": "uri-reference"}});
        }
        let mut operation = json!({
            "tags": [page.tag],
            "summary": page.summary,
            "description": page.description,
            "operationId": page.operation_id,
            "responses": {
                page.status.to_string(): response,
                "405": self.reference(ProblemCode::MethodNotAllowed),
                "500": self.reference(ProblemCode::Internal),
            },
        });
        for code in refusals(page) {
            operation["responses"][code.status().to_string()] = self.reference(code);
        }
        forms::add_to_page(&mut operation, page);
        if is_behind_the_gate(page) {
            behind_the_gate(&mut operation);
        }
        operation
    }
}

/// Problems that a page can answer, besides a wrong method.
fn refusals(page: &Page) -> Vec<ProblemCode> {
    [
        (page.parameter.is_some(), ProblemCode::NotFound),
        (page.has_html, ProblemCode::NotAcceptable),
        (is_behind_the_gate(page), ProblemCode::Unauthenticated),
        (is_behind_the_gate(page), ProblemCode::QuotaExceeded),
    ]
    .into_iter()
    .filter_map(|(is_possible, code)| is_possible.then_some(code))
    .collect()
}

fn is_behind_the_gate(page: &Page) -> bool {
    page.path.starts_with("/v1/")
}

fn described(entry: &Entry) -> String {
    let rules: Vec<_> = entry
        .rules
        .iter()
        .map(|rule| format!("- {}", rule.sentence()))
        .collect();
    if rules.is_empty() {
        return entry.description.to_owned();
    }
    format!("{}\n\n{}", entry.description, rules.join("\n"))
}

fn examples(entry: &Entry, values: impl IntoIterator<Item = Value>) -> Value {
    let named = entry.examples.iter().zip(values).map(|(example, value)| {
        (
            example.name.to_owned(),
            json!({"summary": example.summary, "value": value}),
        )
    });
    Value::Object(named.collect())
}

fn requested(entry: &Entry) -> Vec<Value> {
    let bodies = entry.examples.iter().map(|example| example.body);
    bodies
        .map(|body| serde_json::from_str(body).unwrap_or_default())
        .collect()
}

pub(super) fn with_headers(mut response: Value) -> Value {
    response["headers"] = json!({
        "x-request-id": {
            "description": "Id of the request: the caller's, when it sent a sane one.",
            "schema": {"type": "string"},
        },
        "server-timing": {
            "description": "Time that the service took, in milliseconds.",
            "schema": {"type": "string"},
        },
        "link": {
            "description": "Where the description, the documentation and the state of the service are (RFC 8631).",
            "schema": {"type": "string"},
        },
        "vary": {
            "description": "Request headers that the response depends on.",
            "schema": {"type": "string"},
        },
    });
    response
}
