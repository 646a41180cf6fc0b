//! The part of the document about calculations asked by query: their parameters.

use serde_json::{Map, Value, json};

use super::document::published_answer;
use crate::api::registry::Entry;
use crate::api::reserved::PARAMETERS;

/// The parameters of a flat calculation: its fields, then those that every one has.
pub(super) fn parameters(entry: &Entry) -> Vec<Value> {
    let root = entry.request_schema().root;
    let required = root["required"].as_array().cloned().unwrap_or_default();
    // parameters cannot be null, as answers cannot
    let schema = published_answer(root);
    let example = example(entry);
    let mut parameters: Vec<_> = schema["properties"]
        .as_object()
        .into_iter()
        .flatten()
        .map(|(name, property)| {
            let is_required = required.iter().any(|other| other == name);
            parameter(name, is_required, property, &example)
        })
        .collect();
    parameters.extend(reserved());
    parameters
}

/// The reserved parameters, which stand beside a body too.
pub(super) fn reserved() -> impl Iterator<Item = Value> {
    PARAMETERS.iter().map(|parameter| {
        let schema = match parameter.words {
            [] => json!({"type": "string"}),
            ["true", "false"] => json!({"type": "boolean"}),
            words => json!({"type": "string", "enum": words}),
        };
        json!({
            "name": parameter.name,
            "in": "query",
            "required": false,
            "description": parameter.meaning,
            "schema": schema,
        })
    })
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
