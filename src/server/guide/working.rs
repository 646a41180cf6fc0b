//! The formulas of a calculation, as the derivation of an example shows them, and the sources
//! that its examples rest on.

use std::borrow::Cow;

use serde_json::{Value, json};

use crate::api::bibliography::{self, Source};
use crate::api::calculation::UNCANCELLED;
use crate::api::provenance::shown;
use crate::api::registry::Entry;
use crate::server::html::{escaped, with_code};

/// Steps that stand open; the others are folded away.
const OPEN_STEPS: usize = 12;

/// The answer of an example that shows its derivation, with what the example is about.
fn worked(entry: &'static Entry) -> Option<(&'static str, Cow<'static, Value>)> {
    let mut answered = entry.examples.iter().zip(entry.example_answers());
    if let Some((example, answer)) = answered.find(|(_, answer)| derivation(answer).is_some()) {
        return Some((example.summary, Cow::Borrowed(answer)));
    }
    let example = entry.examples.first()?;
    let mut request: Value = serde_json::from_str(example.body).ok()?;
    request["workings"] = json!(true);
    let mut out = Vec::new();
    let body = request.to_string();
    entry.answer(body.as_bytes(), &UNCANCELLED, &mut out).ok()?;
    let answer: Value = serde_json::from_slice(&out).ok()?;
    derivation(&answer).is_some().then_some(())?;
    Some((example.summary, Cow::Owned(answer)))
}

/// The steps of an answer, or of the first answer inside it that has some.
fn derivation(answer: &Value) -> Option<&[Value]> {
    match answer {
        Value::Object(fields) => match fields.get("workings").and_then(Value::as_array) {
            Some(steps) => Some(steps),
            None => fields.values().find_map(derivation),
        },
        Value::Array(items) => items.iter().find_map(derivation),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => None,
    }
}

/// The derivation as a list of steps.
pub(super) fn steps(entry: &'static Entry) -> String {
    let Some((about, answer)) = worked(entry) else {
        return String::new();
    };
    let steps = derivation(&answer).unwrap_or_default();
    let all: Vec<_> = steps.iter().map(step).collect();
    let (open, folded) = all.split_at(all.len().min(OPEN_STEPS));
    let more = if folded.is_empty() {
        String::new()
    } else {
        format!(
            "<details><summary>The other {} steps</summary>\n<ol class=\"steps\" start=\"{}\">\n{}</ol>\n</details>\n",
            folded.len(),
            OPEN_STEPS + 1,
            folded.concat()
        )
    };
    format!(
        "<p>The derivation of an example, which any request gets with <code>\"workings\": true</code>. \
         {}.</p>\n<ol class=\"steps\">\n{}</ol>\n{more}",
        with_code(about),
        open.concat(),
    )
}

fn step(step: &Value) -> String {
    let text = |name: &str| escaped(step[name].as_str().unwrap_or_default());
    let unit = match step["unit"].as_str() {
        None | Some("1") => String::new(),
        Some(unit) => format!(" {}", escaped(unit)),
    };
    let value = step["value"].as_f64().map(shown).unwrap_or_default();
    let source = text("source");
    format!(
        "<li><h3><code>{}</code></h3>\n<p class=\"formula\">{}</p>\n<p>{} = <strong>{value}{unit}</strong> \
         <a href=\"#source-{source}\">{source}</a></p></li>\n",
        text("step"),
        text("formula"),
        text("substituted"),
    )
}

/// Ids of the sources that the answers of all examples name, in their order.
fn ids(entry: &'static Entry) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    let worked = worked(entry).map(|(_, answer)| answer);
    for answer in entry.example_answers().iter().chain(worked.as_deref()) {
        let steps = derivation(answer).unwrap_or_default().iter();
        let named = answer["sources"].as_array().into_iter().flatten();
        let all = named.chain(steps.map(|step| &step["source"]));
        for id in all.filter_map(Value::as_str) {
            if !ids.iter().any(|known| known == id) {
                ids.push(id.to_owned());
            }
        }
    }
    ids
}

/// The sources, each with its equation and how it is known.
pub(super) fn sources(entry: &'static Entry) -> String {
    let ids = ids(entry);
    let known = ids.iter().filter_map(|id| {
        let mut sources = bibliography::sources().iter();
        sources.find(|source| source.id == *id)
    });
    let items: String = known.map(source).collect();
    if items.is_empty() {
        return items;
    }
    format!("<p>What the examples of this page rest on; every answer names its own.</p>\n{items}")
}

fn source(source: &Source) -> String {
    let id = escaped(&source.id);
    let equation = source
        .equation
        .as_ref()
        .map_or_else(String::new, |equation| {
            format!("<p class=\"formula\">{}</p>\n", escaped(equation))
        });
    let line = |name: &str, text: &str| {
        format!("<div><dt>{name}</dt><dd>{}</dd></div>\n", with_code(text))
    };
    format!(
        "<article class=\"source\" id=\"source-{id}\">\n<h3><code>{id}</code></h3>\n<p>{}</p>\n{equation}\
         <dl class=\"lines\">\n{}{}{}{}</dl>\n</article>\n",
        with_code(&source.citation),
        line("Gives", &source.gives),
        line("Valid for", &source.valid_for),
        line("Uncertainty", &source.uncertainty),
        line("How it is known", &source.known),
    )
}
