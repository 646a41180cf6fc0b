//! The form with which a reader calls a calculation from its page.
//!
//! A flat one is an ordinary form, which works without a script as well; the script shows the
//! answer in place. Another one is a body to edit.

use serde_json::{Map, Value};

use crate::api::registry::Entry;
use crate::api::shape::{Field, Interval, Shape};
use crate::server::html::escaped;

/// Where the script writes the answer, and where a key goes.
const ANSWER: &str = "<details><summary>A key, where the service asks for one</summary>\n\
    <div class=\"field\"><label for=\"key\">Key</label>\
    <input id=\"key\" type=\"password\" autocomplete=\"off\" data-key></div></details>\n\
    <button type=\"submit\">Calculate</button>\n</form>\n\
    <div class=\"answer\" data-answer role=\"status\" aria-live=\"polite\"></div>\n";

/// The form.
pub(super) fn form(entry: &Entry) -> String {
    let path = escaped(entry.path());
    let examples = examples(entry);
    if entry.is_flat() {
        let fields = controls(entry);
        return format!(
            "<form class=\"try\" method=\"get\" action=\"{path}\" data-try=\"query\" novalidate>\n{examples}{fields}\
             <input type=\"hidden\" name=\"display\" value=\"true\">\n{ANSWER}"
        );
    }
    let body = entry.examples.first().map_or("{}", |example| example.body);
    format!(
        "<form class=\"try\" method=\"post\" action=\"{path}?display=true\" data-try=\"body\">\n{examples}\
         <div class=\"field\"><label for=\"body\">Request</label>\n\
         <textarea id=\"body\" rows=\"16\" spellcheck=\"false\" data-body>{}</textarea></div>\n\
         <noscript><p>Sending a body needs the script of this page.</p></noscript>\n{ANSWER}",
        escaped(body.trim_end())
    )
}

fn examples(entry: &Entry) -> String {
    let options: String = entry
        .examples
        .iter()
        .map(|example| {
            let (body, summary) = (escaped(example.body.trim_end()), escaped(example.summary));
            format!("<option value=\"{body}\">{summary}</option>\n")
        })
        .collect();
    format!(
        "<div class=\"field wide\"><label for=\"example\">Start from</label>\n\
         <select id=\"example\" data-example>\n{options}</select></div>\n"
    )
}

/// A control for each field; those that neither must be given nor stand in the first example
/// are folded away.
fn controls(entry: &Entry) -> String {
    let first: Map<String, Value> = entry
        .examples
        .first()
        .and_then(|example| serde_json::from_str(example.body).ok())
        .unwrap_or_default();
    let (mut open, mut folded) = (String::new(), String::new());
    for field in entry.shape().fields() {
        let value = first.get(&field.name);
        let into = if field.is_required || value.is_some() {
            &mut open
        } else {
            &mut folded
        };
        into.push_str(&control(field, &value.map(spoken).unwrap_or_default()));
    }
    if !folded.is_empty() {
        folded = format!(
            "<details class=\"more\"><summary>All other fields</summary>\n<div class=\"grid\">\n{folded}</div></details>\n"
        );
    }
    format!("<div class=\"grid\">\n{open}</div>\n{folded}")
}

/// A value as a query writes it.
pub(super) fn spoken(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(items) => items.iter().map(spoken).collect::<Vec<_>>().join(","),
        Value::Null => String::new(),
        Value::Bool(_) | Value::Number(_) | Value::Object(_) => value.to_string(),
    }
}

fn control(field: &Field, value: &str) -> String {
    let (name, value) = (escaped(&field.name), escaped(value));
    let named = format!("id=\"field-{name}\" name=\"{name}\" aria-describedby=\"fault-{name}\"");
    let unit = match unit(&field.shape) {
        "1" => String::new(),
        unit => format!(" <span class=\"unit\">{}</span>", escaped(unit)),
    };
    format!(
        "<div class=\"field\"><label for=\"field-{name}\"><code>{}</code>{unit}</label>\n{}\n\
         <p class=\"fault\" id=\"fault-{name}\"></p></div>\n",
        name.replace('_', "_<wbr>"),
        input(&field.shape, &named, &value),
    )
}

/// Unit of a number, or of the numbers of a list.
fn unit(shape: &Shape) -> &'static str {
    match shape {
        Shape::Number(interval) => interval.unit,
        Shape::List { item, .. } => unit(item),
        Shape::Text { .. } | Shape::Flag | Shape::Object(_) => "1",
    }
}

fn input(shape: &Shape, named: &str, value: &str) -> String {
    match shape {
        Shape::Number(Interval { min, max, .. }) => format!(
            "<input {named} type=\"number\" step=\"any\" min=\"{min}\" max=\"{max}\" value=\"{value}\">"
        ),
        Shape::Text { words, .. } if !words.is_empty() => choice(named, words, value),
        Shape::Flag => choice(named, &["true".to_owned(), "false".to_owned()], value),
        Shape::Text { is_date: true, .. } => {
            format!("<input {named} type=\"date\" value=\"{value}\">")
        }
        Shape::List { .. } => {
            format!("<input {named} type=\"text\" placeholder=\"with commas\" value=\"{value}\">")
        }
        Shape::Text { .. } | Shape::Object(_) => {
            format!("<input {named} type=\"text\" value=\"{value}\">")
        }
    }
}

fn choice(named: &str, words: &[String], chosen: &str) -> String {
    let options: String = words
        .iter()
        .map(|word| {
            let word = escaped(word);
            let mark = if word == chosen { " selected" } else { "" };
            format!("<option{mark}>{word}</option>")
        })
        .collect();
    format!("<select {named}><option value=\"\">not given</option>{options}</select>")
}
