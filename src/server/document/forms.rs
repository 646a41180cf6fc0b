//! What the document says of the forms of an answer: parameters, headers, `display`, `QUERY`.

use serde_json::{Map, Value, json};

use crate::api::calculation::Headline;
use crate::api::columnar::{self, Columnar};
use crate::api::registry::Entry;
use crate::api::reserved::{Format, PARAMETERS};
use crate::server::form::OFFERS;
use crate::server::html;
use crate::server::page::Page;
use crate::server::rows::CSV;
use crate::server::teacher;

/// The reserved query parameters, with the formats that the calculation has.
pub(super) fn parameters(entry: &Entry) -> Vec<Value> {
    let has_page = entry.own_forms.iter().any(|own| own.format == Format::Html);
    let is_offered = |word: &&str| *word != "html" || has_page;
    let described = PARAMETERS.iter().map(|parameter| {
        let mut schema = json!({"type": "string"});
        if parameter.words == ["true", "false"] {
            schema = json!({"type": "boolean", "default": false});
        } else if !parameter.words.is_empty() {
            let words = parameter.words.iter().copied().filter(is_offered);
            schema["enum"] = words.collect::<Vec<_>>().into();
        }
        json!({
            "name": parameter.name,
            "in": "query",
            "required": false,
            "description": parameter.meaning,
            "schema": schema,
        })
    });
    described.collect()
}

/// The other method that a calculation answers, which OpenAPI 3.1 has no word for.
pub(super) fn query() -> Value {
    json!({
        "method": "QUERY",
        "specification": "https://www.rfc-editor.org/info/rfc10008",
        "description": "The same request body, the same answer as POST; safe, idempotent and cacheable.",
        "accept-query": ["application/json"],
    })
}

/// Adds the other forms of an answer and its headers.
pub(super) fn add_to_answer(response: &mut Value, entry: &Entry) {
    for (media_type, _) in OFFERS.iter().skip(1) {
        response["content"][*media_type] = json!({"schema": {"type": "string"}});
    }
    for own in entry.own_forms {
        response["content"][own.media_type] = json!({"schema": {"type": "string"}});
    }
    let headers = &mut response["headers"];
    headers["accept-query"] = header("That `QUERY` is answered, and with which media types.");
    headers["etag"] = header("A hash of the body; on answers to GET and QUERY.");
    headers["cache-control"] = header("For how long the answer may be kept.");
    if entry.is_flat() {
        headers["content-location"] = header(
            "Address that gives the same answer to a GET, when it has at most 2000 characters.",
        );
    }
}

/// Adds the table that is one request, and the table of its answer's series.
pub(super) fn add_table(entry: &Entry, columnar: &Columnar, post: &mut Value) {
    let (asked, answered) = columnar::example(entry, columnar);
    let text = |example: String| json!({"schema": {"type": "string"}, "example": example});
    post["requestBody"]["content"][CSV] = text(asked);
    post["responses"]["200"]["content"][CSV] = text(answered);
    let columns: Vec<_> = columnar.columns().collect();
    let about = format!(
        "\n\nAs a table: `text/csv` is one request, a row an instant, with the columns `{}`; those after the second are optional \
        and may have empty cells. The other fields stand in the query, such as `?dose_g=18`; beside a JSON body they are refused. A \
        header with semicolons means decimal commas. With `format=csv`, or an `Accept` that prefers `text/csv`, the answer is the \
        table of its `{}`.",
        columns.join("`, `"),
        columnar.answer
    );
    if let Some(Value::String(description)) = post.get_mut("description") {
        description.push_str(&about);
    }
    post["x-table"] = json!({"media-type": CSV, "columns": columns, "answer": columnar.answer});
}

/// Adds the path parameter of a page, its HTML form, and what makes it worth keeping.
pub(super) fn add_to_page(operation: &mut Value, page: &Page) {
    let mut parameters = Vec::new();
    if let Some(parameter) = &page.parameter {
        parameters.push(json!({
            "name": parameter.name,
            "in": "path",
            "required": true,
            "description": parameter.description,
            "schema": {"type": "string", "enum": (parameter.words)()},
        }));
    }
    let response = &mut operation["responses"][page.status.to_string()];
    if page.has_html {
        let essence = html::TYPE.split(';').next().unwrap_or_default();
        response["content"][essence] = json!({"schema": {"type": "string"}});
    }
    if page.keep.is_some() {
        response["headers"]["etag"] = header("A hash of the body.");
        response["headers"]["cache-control"] = header("For how long the page may be kept.");
    }
    if !parameters.is_empty() {
        operation["parameters"] = parameters.into();
    }
    if page.keep.is_some() {
        add_revalidation(operation);
    }
}

/// Adds what lets a caller ask whether the body it has is still the right one.
pub(super) fn add_revalidation(operation: &mut Value) {
    operation["responses"]["304"] = json!({
        "description": "The body is the one of the entity tag sent.",
        "headers": {"etag": header("A hash of the body.")},
    });
    let parameter = json!({
        "name": "If-None-Match",
        "in": "header",
        "required": false,
        "description": "Entity tags of the bodies that the caller has.",
        "schema": {"type": "string"},
    });
    add_parameter(operation, parameter);
}

/// Adds a parameter to those that an operation has.
pub(super) fn add_parameter(operation: &mut Value, parameter: Value) {
    match operation["parameters"].as_array_mut() {
        Some(parameters) => parameters.push(parameter),
        None => operation["parameters"] = json!([parameter]),
    }
}

/// The header that opens solutions, where an answer may hold some.
pub(super) fn teacher_key() -> Value {
    json!({
        "name": teacher::HEADER.as_str(),
        "in": "header",
        "required": false,
        "description": "The teacher's key. When the service was given one, worked solutions are in the answer only with it, and no such answer may be kept; without one they are open. The answer says which in `solutions`.",
        "schema": {"type": "string"},
    })
}

fn header(description: &str) -> Value {
    json!({"description": description, "schema": {"type": "string"}})
}

/// The schema of `display`: a text for each headline, where the output itself stands.
pub(super) fn display(headlines: &[Headline]) -> Value {
    let description =
        "The main outputs as rounded texts with their unit; only with `display=true`.";
    let mut schema = object(description);
    for headline in headlines {
        let mut place = &mut schema;
        for name in headline.path.split('.') {
            let properties = &mut place["properties"];
            if properties[name].is_null() {
                properties[name] = object("Outputs of this part of the answer.");
            }
            place = &mut properties[name];
        }
        let description = format!("`{}` to {} decimals.", headline.path, headline.decimals);
        *place = json!({"type": "string", "description": description});
    }
    schema
}

fn object(description: &str) -> Value {
    let none = Map::new();
    json!({"type": "object", "description": description, "properties": none})
}
