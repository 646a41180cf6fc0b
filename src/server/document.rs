//! The OpenAPI document, built from the same registry and the same table as the routes.

mod batch;
mod forms;
mod look_up;

use serde_json::{Map, Value, json};

use super::StartError;
use super::envelope::PROBLEM_JSON;
use super::page::{KNOWLEDGE, OPERATION, Page, PageSchema};
use super::pages;
use crate::api::calculation::{Call, Tag, UNCANCELLED, Weight};
use crate::api::problem::{FaultCode, Problem, ProblemCode, ProblemDocument};
use crate::api::provenance::Provenance;
use crate::api::registry::{Entry, Schemas};
use crate::api::units::unit_of;

const DESCRIPTION: &str = "\
Does this cup meet the standard, by measurement; what does the recipe become in another basket or at another \
altitude; what to change next. Stateless: the same request gets the same answer, every answer names its sources, \
and no answer depends on the clock.

**Numbers** are plain JSON numbers, computed in double precision and never rounded. The unit stands at the end of a \
field's name and in `x-unit`. In a request `null` means absent; an answer never holds `null`.

**Failures** after routing are problem documents (RFC 9457) that name every fault of a request at once. The few that \
are answered before routing (broken HTTP framing, a head that comes too slowly or is too large) have empty bodies, as has the 431 to more than 16 KiB of headers. The \
`type` of a problem leads to a page about it; `/problems` lists all.

**Forms**: the query of any calculation may name a `format`, one output to `select`, a `decimal` comma, and whether to \
add `display`; without `format`, `Accept` decides. A text of one output is made for one cell of a spreadsheet.

**Methods**: a calculation also answers `QUERY` (RFC 10008) with the same body as `POST`, and the same answer; being \
safe, it may be retried and kept. `Accept-Query` says so. An answer to a flat request names in `Content-Location` the \
address that repeats it.

**Keeping**: answers to GET and QUERY, and reference pages, carry an `ETag` that is a hash of the body; `If-None-Match` \
gives 304. HEAD is answered wherever GET is.

**Compression**: bodies from 1 KiB on are sent with gzip to those who accept it. A request may be sent with gzip or \
deflate; inflated it must keep the limit of bodies, and be no more than 20 times what was sent.

**Browsers**: pages of other origins may call the service, unless the operator says otherwise; a preflight that is \
refused is answered with 400 in plain text.

**Limits** stand in `/v1/capabilities`. Heavy calculations are answered, refused as `overloaded` after a short wait, or \
stopped at their deadline. A service may ask for a key on everything under `/v1/`, and may limit how often one key or \
one address calls; then `ratelimit-policy` and `ratelimit` say how the caller stands. A key in a browser is public, and a \
price in a kept address is logged: let the till's server side do the calling.

**Cautions** in an answer say what to mind. Hot water, steam and pressure injure: follow local codes and leave \
pressure equipment to licensed service.";

/// The document of a service with these calculations.
#[must_use]
pub fn of(registry: &'static [Entry]) -> Value {
    let mut components = Components::default();
    let mut paths = Map::new();
    for entry in registry {
        let mut operations = json!({"post": components.calculation(entry)});
        if entry.is_flat() {
            operations["get"] = components.look_up(entry, &operations["post"]);
            look_up::add_rows(entry, &mut operations["post"]);
        }
        paths.insert(entry.path().to_owned(), operations);
    }
    let mut batch = components.batch(registry);
    behind_the_gate(&mut batch);
    paths.insert(
        crate::server::batch::PATH.to_owned(),
        json!({"post": batch}),
    );
    for page in pages::ALL {
        paths.insert(page.path.to_owned(), json!({"get": components.page(page)}));
    }
    components.add_problem();
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "extraction-maths",
            "summary": env!("CARGO_PKG_DESCRIPTION"),
            "description": DESCRIPTION,
            "version": env!("CARGO_PKG_VERSION"),
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": "/", "description": "This service."}],
        "security": [],
        "tags": tags(),
        "paths": paths,
        "components": {"schemas": components.schemas, "responses": components.responses, "securitySchemes": {
            "key": {
                "type": "http",
                "scheme": "bearer",
                "description": "Needed under /v1/ when the service was given keys.",
            },
        }},
    })
}

/// Marks an operation that may need a key and may be limited in how often it is called.
fn behind_the_gate(operation: &mut Value) {
    operation["security"] = json!([{}, {"key": []}]);
}

/// The document as JSON text, indented, with a last line end.
///
/// # Errors
/// When it cannot be written, which is a mistake of ours.
pub fn json(document: &Value) -> Result<String, StartError> {
    Ok(serde_json::to_string_pretty(document)? + "\n")
}

/// The document as YAML text.
///
/// # Errors
/// When it cannot be written, which is a mistake of ours.
pub fn yaml(document: &Value) -> Result<String, StartError> {
    Ok(yaml_serde::to_string(document)?)
}

fn tags() -> Vec<Value> {
    let tag = |name: &str, description: &str| json!({"name": name, "description": description});
    let mut tags: Vec<_> = Tag::ALL
        .iter()
        .map(|t| tag(t.name(), t.description()))
        .collect();
    tags.push(tag(batch::TAG, "Many calls in one request."));
    tags.push(tag(
        KNOWLEDGE,
        "Where the numbers are from and what to mind about them.",
    ));
    tags.push(tag(OPERATION, "The running service."));
    tags
}

#[derive(Default)]
pub(super) struct Components {
    pub(super) schemas: Map<String, Value>,
    responses: Map<String, Value>,
}

/// Problems that any calculation can answer, besides those about the request's fields.
pub(super) const COMMON: [ProblemCode; 12] = [
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
    fn calculation(&mut self, entry: &'static Entry) -> Value {
        let request = self.request(entry);
        let answer = self.answer(entry);
        let mut responses = Map::new();
        let mut answers = with_headers(json!({
            "description": "The answer, with its sources and cautions.",
            "content": {"application/json": {"schema": answer, "examples": examples(entry, answered)}},
        }));
        forms::add_to_answer(&mut answers, entry);
        responses.insert("200".to_owned(), answers);
        let overloaded = (entry.weight == Weight::Heavy).then_some(ProblemCode::Overloaded);
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
            "operationId": format!("compute_{}", entry.name.replace('-', "_")),
            "parameters": forms::parameters(),
            "x-query": forms::query(),
            "requestBody": {
                "required": true,
                "description": "The request; see the examples.",
                "content": {"application/json": {"schema": request, "examples": examples(entry, requested)}},
            },
            "responses": responses,
        });
        behind_the_gate(&mut operation);
        operation
    }

    /// The same calculation by query.
    fn look_up(&mut self, entry: &'static Entry, post: &Value) -> Value {
        let mut operation = json!({
            "tags": post["tags"],
            "summary": post["summary"],
            "description": format!(
                "{}\n\nThe same answer as to the body with these fields, byte for byte. Lists are written with commas.",
                described(entry)
            ),
            "operationId": format!("look_up_{}", entry.name.replace('-', "_")),
            "parameters": look_up::parameters(entry),
            "responses": {
                "200": post["responses"]["200"],
                "400": self.reference(ProblemCode::BadQuery),
                "405": self.reference(ProblemCode::MethodNotAllowed),
                "406": self.reference(ProblemCode::NotAcceptable),
                "422": post["responses"]["422"],
                "500": self.reference(ProblemCode::Internal),
                "401": self.reference(ProblemCode::Unauthenticated),
                "429": self.reference(ProblemCode::QuotaExceeded),
            },
        });
        behind_the_gate(&mut operation);
        forms::add_revalidation(&mut operation);
        operation
    }

    fn page(&mut self, page: &'static Page) -> Value {
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
        let mut refuse = |code: ProblemCode| {
            operation["responses"][code.status().to_string()] = self.reference(code);
        };
        if page.parameter.is_some() {
            refuse(ProblemCode::NotFound);
        }
        if page.has_html {
            refuse(ProblemCode::NotAcceptable);
        }
        forms::add_to_page(&mut operation, page);
        if page.path.starts_with("/v1/") {
            behind_the_gate(&mut operation);
            for code in [ProblemCode::Unauthenticated, ProblemCode::QuotaExceeded] {
                operation["responses"][code.status().to_string()] = self.reference(code);
            }
        }
        operation
    }

    /// Adds the request schema and answers a reference to it.
    fn request(&mut self, entry: &'static Entry) -> Value {
        let Schemas {
            name,
            root,
            components,
        } = entry.request_schema();
        for (name, component) in components {
            self.schemas.insert(name, with_units(component));
        }
        let reference = json!({"$ref": format!("#/components/schemas/{name}")});
        self.schemas.insert(name, with_units(root));
        reference
    }

    /// Adds the schema of the whole answer, result and provenance in one object.
    fn answer(&mut self, entry: &'static Entry) -> Value {
        let result = entry.response_schema();
        let provenance = Schemas::of::<Provenance>();
        let mut whole = result.root;
        for (name, property) in provenance.root["properties"]
            .as_object()
            .into_iter()
            .flatten()
        {
            whole["properties"][name] = property.clone();
        }
        let required = provenance.root["required"]
            .as_array()
            .into_iter()
            .flatten()
            .cloned();
        if let Some(all) = whole["required"].as_array_mut() {
            all.extend(required);
        }
        whole["properties"]["display"] = forms::display(entry.headlines);
        for (name, component) in result.components.into_iter().chain(provenance.components) {
            self.schemas.insert(name, published_answer(component));
        }
        let name = result.name.replace("Response", "Answer");
        let reference = json!({"$ref": format!("#/components/schemas/{name}")});
        self.schemas.insert(name, published_answer(whole));
        reference
    }

    fn problem(&mut self, code: ProblemCode, entry: &'static Entry) -> String {
        if code != ProblemCode::ValidationFailed {
            self.reference(code);
            return response_name(code);
        }
        // a real one: what the calculation says to a body that is wrong in more than one way
        let name = format!("{}{}", response_name(code), pascal(entry.name));
        let problem = entry
            .answer(
                br#"{"workings": 1, "unheard_of": 1}"#,
                &UNCANCELLED,
                &mut Vec::new(),
            )
            .err()
            .unwrap_or_else(|| Problem::new(code, code.title()));
        self.responses
            .insert(name.clone(), problem_response(code, &problem));
        name
    }

    pub(super) fn reference(&mut self, code: ProblemCode) -> Value {
        let name = response_name(code);
        let problem = Problem::new(code, code.title());
        self.responses
            .entry(&name)
            .or_insert_with(|| problem_response(code, &problem));
        json!({"$ref": format!("#/components/responses/{name}")})
    }

    fn add_problem(&mut self) {
        let Schemas {
            name,
            root,
            components,
        } = Schemas::of::<ProblemDocument>();
        for (name, component) in components {
            self.schemas.insert(name, published_answer(component));
        }
        self.schemas.insert(name, published_answer(root));
        let meanings = |all: Vec<(&str, &str)>| {
            let lines: Vec<_> = all
                .iter()
                .map(|(code, meaning)| format!("- `{code}`: {meaning}"))
                .collect();
            format!(
                "Stable code; never changes its meaning.\n\n{}",
                lines.join("\n")
            )
        };
        let problems = ProblemCode::ALL
            .iter()
            .map(|code| (code.as_str(), code.title()))
            .collect();
        let faults = FaultCode::ALL
            .iter()
            .map(|code| (code.as_str(), code.meaning()))
            .collect();
        self.schemas["ProblemCode"]["description"] = meanings(problems).into();
        self.schemas["FaultCode"]["description"] = meanings(faults).into();
    }
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

fn examples(entry: &'static Entry, value: fn(&Entry, &str) -> Value) -> Value {
    let named = entry.examples.iter().map(|example| {
        (
            example.name.to_owned(),
            json!({"summary": example.summary, "value": value(entry, example.body)}),
        )
    });
    Value::Object(named.collect())
}

fn requested(_entry: &Entry, body: &str) -> Value {
    serde_json::from_str(body).unwrap_or_default()
}

fn answered(entry: &Entry, body: &str) -> Value {
    let mut out = Vec::new();
    let call: &Call<'_> = &UNCANCELLED;
    match entry.answer(body.as_bytes(), call, &mut out) {
        Ok(()) => serde_json::from_slice(&out).unwrap_or_default(),
        Err(problem) => json!(problem.document("example")),
    }
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

fn problem_response(code: ProblemCode, problem: &Problem) -> Value {
    let mut response = with_headers(json!({
        "description": explained(code),
        "content": {PROBLEM_JSON: {
            "schema": {"$ref": "#/components/schemas/Problem"},
            "example": problem.document("5f0c8e"),
        }},
    }));
    if code == ProblemCode::UnsupportedMediaType {
        response["headers"]["accept-encoding"] = json!({
            "description": "Codings that a body may have; only when the code is `unsupported_content_encoding`.",
            "schema": {"type": "string"},
        });
    }
    if code == ProblemCode::MethodNotAllowed {
        response["headers"]["allow"] =
            json!({"description": "Methods that the path answers.", "schema": {"type": "string"}});
    }
    let text =
        |description: &str| json!({"description": description, "schema": {"type": "string"}});
    let is_to_be_retried = matches!(code.status(), 429 | 503);
    if is_to_be_retried {
        response["headers"]["retry-after"] = text("Seconds after which to try again.");
    }
    if code == ProblemCode::QuotaExceeded {
        response["headers"]["ratelimit-policy"] = text("The quota: calls `q` in `w` seconds.");
        response["headers"]["ratelimit"] =
            text("What is left of it: calls `r`, and seconds `t` until it is whole again.");
    }
    if code == ProblemCode::Unauthenticated {
        response["headers"]["www-authenticate"] = text("How to present a key.");
    }
    response
}

/// What a status means; where two codes share it, both.
fn explained(code: ProblemCode) -> String {
    let sentence = |code: ProblemCode| format!("{}. {}", code.title(), code.remedy());
    let shared = |other: ProblemCode| {
        format!(
            "{} Or `{}`: {}",
            sentence(code),
            other.as_str(),
            sentence(other)
        )
    };
    match code.as_str() {
        "validation_failed" => shared(ProblemCode::WorkTooLarge),
        "overloaded" => shared(ProblemCode::DeadlineExceeded),
        _ => sentence(code),
    }
}

fn response_name(code: ProblemCode) -> String {
    pascal(code.as_str())
}

fn pascal(name: &str) -> String {
    name.split(['_', '-'])
        .flat_map(|word| {
            let mut letters = word.chars();
            letters
                .next()
                .map(|first| first.to_ascii_uppercase())
                .into_iter()
                .chain(letters)
                .collect::<Vec<_>>()
        })
        .collect()
}

/// A schema of answers: numbers with their unit, and no `null`, since an answer holds none.
fn published_answer(schema: Value) -> Value {
    without_null(with_units(schema))
}

fn with_units(mut schema: Value) -> Value {
    for (name, property) in properties_of(&mut schema) {
        if property["x-unit"].is_string() {
            // the field says its unit itself
            continue;
        }
        let kind = &property["type"];
        let is_number = |kind: &Value| *kind == "number" || *kind == "integer";
        let is_list_of_numbers =
            *kind == "array" || kind.as_array().is_some_and(|k| k.contains(&json!("array")));
        if is_number(kind)
            || kind
                .as_array()
                .is_some_and(|kinds| kinds.iter().any(is_number))
        {
            property["x-unit"] = unit_of(name).into();
        } else if is_list_of_numbers && is_number(&property["items"]["type"]) {
            property["items"]["x-unit"] = unit_of(name).into();
        }
    }
    schema
}

/// The properties of a schema; indexing with `[]` would add a null to one that has none.
fn properties_of(schema: &mut Value) -> impl Iterator<Item = (&String, &mut Value)> {
    let properties = schema.get_mut("properties");
    properties
        .and_then(Value::as_object_mut)
        .into_iter()
        .flatten()
}

fn without_null(mut schema: Value) -> Value {
    for (_, property) in properties_of(&mut schema) {
        if let Some(kinds) = property["type"].as_array() {
            let given = kinds
                .iter()
                .find(|kind| **kind != "null")
                .cloned()
                .unwrap_or_default();
            property["type"] = given;
        }
        if let Some(options) = property["oneOf"].as_array()
            && let Some(given) = options
                .iter()
                .find(|option| option["type"] != "null")
                .cloned()
        {
            *property = given;
        }
    }
    schema
}
