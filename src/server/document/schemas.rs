//! The schemas of requests and answers, as they are published.

use serde_json::{Value, json};

use super::Components;
use super::forms;
use crate::api::provenance::Provenance;
use crate::api::registry::Entry;
use crate::api::schemas::Schemas;
use crate::api::units::unit_of;

impl Components {
    /// Adds the request schema and answers a reference to it.
    pub(super) fn request(&mut self, entry: &'static Entry) -> Value {
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
    pub(super) fn answer(&mut self, entry: &'static Entry) -> Value {
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
            // where a request has the same one, its bounds hold for both
            let known = self.schemas.entry(name);
            known.or_insert_with(|| published_answer(component));
        }
        let name = result.name.replace("Response", "Answer");
        let reference = json!({"$ref": format!("#/components/schemas/{name}")});
        self.schemas.insert(name, published_answer(whole));
        reference
    }
}

/// A schema of answers: numbers with their unit, and no `null`, since an answer holds none.
pub(super) fn published_answer(schema: Value) -> Value {
    without_null(with_units(schema))
}

pub(super) fn with_units(mut schema: Value) -> Value {
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
