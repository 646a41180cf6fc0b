//! The part of the document about flat calculations: asked by query, and by rows.

use serde_json::{Map, Value, json};

use super::forms;
use super::schemas::published_answer;
use crate::api::calculation::UNCANCELLED;
use crate::api::registry::Entry;
use crate::api::rows;
use crate::server::rows::{CSV, NDJSON};

/// The parameters of a flat calculation: its fields, then those that every one has.
pub(super) fn parameters(entry: &Entry) -> Vec<Value> {
    let mut parameters = fields(entry);
    parameters.extend(forms::parameters(entry));
    parameters
}

/// The fields of a flat calculation as parameters.
pub(super) fn fields(entry: &Entry) -> Vec<Value> {
    let root = entry.request_schema().root;
    let required = root["required"].as_array().cloned().unwrap_or_default();
    // parameters cannot be null, as answers cannot
    let schema = published_answer(root);
    let example = example(entry);
    schema["properties"]
        .as_object()
        .into_iter()
        .flatten()
        .map(|(name, property)| {
            let is_required = required.iter().any(|other| other == name);
            parameter(name, is_required, property, &example)
        })
        .collect()
}

fn parameter(
    name: &str,
    is_required: bool,
    property: &Value,
    example: &Map<String, Value>,
) -> Value {
    let mut schema = property.clone();
    let description = match schema.as_object_mut() {
        Some(schema) => schema.remove("description"),
        None => None,
    };
    let mut parameter = json!({
        "name": name,
        "in": "query",
        "required": is_required,
        "description": description.unwrap_or_else(|| json!(format!("The field `{name}`."))),
        "schema": schema,
    });
    if property["type"] == "array" {
        parameter["style"] = "form".into();
        parameter["explode"] = false.into();
    }
    if let Some(value) = example.get(name) {
        parameter["example"] = value.clone();
    }
    parameter
}

fn example(entry: &Entry) -> Map<String, Value> {
    let first = entry.examples.first();
    first
        .and_then(|example| serde_json::from_str(example.body).ok())
        .unwrap_or_default()
}

/// Adds the forms by rows to the operation that answers a body.
pub(super) fn add_rows(entry: &'static Entry, post: &mut Value) {
    let Ok((asked, answered)) = rows::example(entry) else {
        return;
    };
    let example = entry.examples.first().map_or("{}", |example| example.body);
    let mut line = Vec::new();
    // the document's tests answer every example, so this one is
    let _ = entry.answer(example.as_bytes(), &UNCANCELLED, &mut line);
    let one_line = |text: &[u8]| {
        let value: Value = serde_json::from_slice(text).unwrap_or_default();
        format!("{value}\n")
    };
    let text = |example: String| json!({"schema": {"type": "string"}, "example": example});
    let request = &mut post["requestBody"]["content"];
    request[CSV] = text(asked);
    request[NDJSON] = text(one_line(example.as_bytes()));
    let response = &mut post["responses"]["200"]["content"];
    response[CSV] = text(answered);
    response[NDJSON] = text(one_line(&line));
    if let Some(Value::String(description)) = post.get_mut("description") {
        description.push_str(ABOUT_ROWS);
    }
}

const ABOUT_ROWS: &str = "\n\nBy rows: `text/csv` (a header of field names, a request a row, lists split by `|`, an empty cell for an \
absent field; a header with semicolons means decimal commas) or `application/x-ndjson` (a request a line). Answers come in order \
while rows are still being sent, so read while you write, or send at most some 10 000 rows at once; a row that is refused says why \
in its column `problem`, or as `{\"problem\": …}`, and spoils no other. Up to 10 000 000 rows of at most 65 536 bytes; a connection on \
which rows stand still is ended.";
