//! The fields of a request or an answer, one by one, out of the published schema.

use serde_json::Value;

use crate::api::provenance::shown;
use crate::api::schemas::Schemas;
use crate::api::units::unit_of;
use crate::server::html::{escaped, with_code};

/// Objects inside objects that are still written out.
const DEEPEST: usize = 6;

/// Words that are still written out.
const MOST_WORDS: usize = 24;

/// How a field is spoken of that need not be there.
#[derive(Debug, Clone, Copy)]
pub(super) enum Side {
    /// The caller may give it.
    Request,
    /// The answer may have it.
    Answer,
}

/// A field by its path.
#[derive(Debug)]
struct Row {
    path: String,
    is_required: bool,
    kind: String,
    description: String,
}

/// The fields as a list of descriptions.
pub(super) fn list(schemas: &Schemas, side: Side) -> String {
    let mut rows = Vec::new();
    gather(&mut rows, "", &schemas.root, &schemas.components);
    if rows.is_empty() {
        return String::new();
    }
    let items: String = rows.iter().map(|row| item(row, side)).collect();
    format!("<dl class=\"fields\">\n{items}</dl>\n")
}

fn item(row: &Row, side: Side) -> String {
    let presence = match (side, row.is_required) {
        (Side::Request, true) => "<strong>required</strong>",
        (Side::Request, false) => "optional",
        (Side::Answer, true) => "always",
        (Side::Answer, false) => "where it applies",
    };
    format!(
        "<div><dt><code>{}</code></dt><dd class=\"kind\">{}; {presence}</dd><dd>{}</dd></div>\n",
        breakable(&row.path),
        with_code(&row.kind),
        with_code(&row.description),
    )
}

/// A name that a narrow column may break behind its underscores.
fn breakable(name: &str) -> String {
    escaped(name).replace('_', "_<wbr>").replace('.', ".<wbr>")
}

fn gather(rows: &mut Vec<Row>, before: &str, schema: &Value, components: &[(String, Value)]) {
    let required = schema["required"].as_array();
    for (name, property) in schema["properties"].as_object().into_iter().flatten() {
        let path = format!("{before}{name}");
        let target = resolved(property, components);
        let mark = if is(target, "array") { "[]." } else { "." };
        let inner = resolved(items_or_self(target), components);
        rows.push(Row {
            is_required: required.is_some_and(|names| names.iter().any(|n| n == name.as_str())),
            kind: kind(name, target, components),
            description: description(property, target).replace('\n', " "),
            path: path.clone(),
        });
        if is(inner, "object") && path.matches('.').count() < DEEPEST {
            gather(rows, &format!("{path}{mark}"), inner, components);
        }
    }
}

/// What a schema describes, without the reference and the `null` in front of it.
fn resolved<'a>(schema: &'a Value, components: &'a [(String, Value)]) -> &'a Value {
    let given = schema["oneOf"].as_array().and_then(|options| {
        let mut options = options.iter();
        options.find(|option| option["type"] != "null")
    });
    let schema = given.unwrap_or(schema);
    let name = schema["$ref"].as_str().and_then(|to| to.rsplit('/').next());
    let found = components
        .iter()
        .find(|(other, _)| Some(other.as_str()) == name);
    found.map_or(schema, |(_, component)| component)
}

fn items_or_self(schema: &Value) -> &Value {
    schema.get("items").unwrap_or(schema)
}

/// The nearest description: that of the field, not that of its type.
fn description(property: &Value, target: &Value) -> String {
    let option = property["oneOf"].as_array().and_then(|options| {
        let mut texts = options
            .iter()
            .filter_map(|option| option["description"].as_str());
        texts.next()
    });
    let own = property["description"].as_str().or(option);
    let text = own.or_else(|| target["description"].as_str());
    text.unwrap_or_default().to_owned()
}

fn is(schema: &Value, kind: &str) -> bool {
    let kinds = &schema["type"];
    kinds == kind
        || kinds
            .as_array()
            .is_some_and(|all| all.iter().any(|k| k == kind))
}

/// What the value may be, in words.
fn kind(name: &str, schema: &Value, components: &[(String, Value)]) -> String {
    if is(schema, "array") {
        let inner = kind(name, resolved(&schema["items"], components), components);
        return format!(
            "list{} of: {inner}",
            interval(schema, "minItems", "maxItems")
        );
    }
    if is(schema, "number") || is(schema, "integer") {
        let own = schema["x-unit"].as_str();
        let unit = match own.unwrap_or_else(|| unit_of(name)) {
            "1" => String::new(),
            unit => format!(" in {unit}"),
        };
        let what = if is(schema, "integer") {
            "whole number"
        } else {
            "number"
        };
        return format!("{what}{unit}{}", interval(schema, "minimum", "maximum"));
    }
    if is(schema, "boolean") {
        return "`true` or `false`".to_owned();
    }
    if let Some(words) = schema["enum"].as_array() {
        let words: Vec<_> = words.iter().filter_map(Value::as_str).collect();
        if words.len() > MOST_WORDS {
            return format!("one of {} words", words.len());
        }
        return format!("one of `{}`", words.join("`, `"));
    }
    match (is(schema, "object"), schema["format"] == "date") {
        (true, _) => "object".to_owned(),
        (false, true) => "date, as `2026-11-25`".to_owned(),
        (false, false) => format!("text{}", longest(schema)),
    }
}

fn longest(schema: &Value) -> String {
    let most = schema["maxLength"].as_u64();
    most.map_or_else(String::new, |most| format!(" of {most} characters at most"))
}

fn interval(schema: &Value, least: &str, most: &str) -> String {
    match (schema[least].as_f64(), schema[most].as_f64()) {
        (Some(least), Some(most)) => format!(", {} to {}", shown(least), shown(most)),
        (Some(least), None) => format!(", from {}", shown(least)),
        (None, Some(most)) => format!(", to {}", shown(most)),
        (None, None) => String::new(),
    }
}
