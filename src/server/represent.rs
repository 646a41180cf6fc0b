//! From the JSON of an answer to the response that the caller asked for.

use actix_web::HttpResponse;
use actix_web::http::Method;
use actix_web::http::header::{
    CACHE_CONTROL, CONTENT_LOCATION, CONTENT_SECURITY_POLICY, HeaderName, HeaderValue,
};
use serde_json::{Map, Value};

use super::caching;
use super::form::Form;
use super::html;
use crate::api::columnar;
use crate::api::display;
use crate::api::problem::Problem;
use crate::api::query_text::{self, push_escaped};
use crate::api::registry::Entry;
use crate::api::reserved::Format;

/// Tells that a resource answers `QUERY`, and with which media types (RFC 10008).
pub(super) const ACCEPT_QUERY: HeaderName = HeaderName::from_static("accept-query");
/// What `QUERY` takes, as a structured field.
pub(super) const QUERY_TYPES: HeaderValue = HeaderValue::from_static("\"application/json\"");

/// An answer as it was computed.
#[derive(Debug)]
pub(super) struct Computed {
    /// The answer as JSON.
    pub(super) answer: Vec<u8>,
    /// The address that asks for it; empty when there is none.
    pub(super) address: String,
}

/// The response with an answer in the form wanted.
///
/// # Errors
/// [`Problem::internal`] when the answer cannot be written, which is a mistake of ours.
pub(super) fn response(
    entry: &Entry,
    computed: Computed,
    form: &Form,
    method: &Method,
) -> Result<HttpResponse, Problem> {
    let location = location(computed.address, form);
    let body = if form.is_as_computed(entry) {
        computed.answer
    } else {
        rewritten(entry, &computed.answer, form)?
    };
    let mut builder = HttpResponse::Ok();
    builder
        .content_type(content_type(form.format))
        .insert_header((ACCEPT_QUERY, QUERY_TYPES));
    if let Some(location) = location {
        builder.insert_header((CONTENT_LOCATION, location));
    }
    if form.format == Format::Html {
        builder.insert_header((CONTENT_SECURITY_POLICY, html::STYLED));
    }
    if *method != Method::POST {
        builder.insert_header((CACHE_CONTROL, HeaderValue::from_static(caching::A_DAY)));
    }
    Ok(builder.body(body))
}

const fn content_type(format: Format) -> HeaderValue {
    HeaderValue::from_static(match format {
        Format::Json => "application/json",
        Format::Csv => "text/csv; charset=utf-8; header=present",
        Format::Ndjson => "application/x-ndjson",
        Format::Text => "text/plain; charset=utf-8",
        Format::Html => html::TYPE,
    })
}

/// The address that gives the same answer to a GET, when it is short enough.
fn location(mut address: String, form: &Form) -> Option<HeaderValue> {
    if address.is_empty() {
        return None;
    }
    if form.format != Format::Json {
        address.push_str("&format=");
        address.push_str(name(form.format));
    }
    if let Some(path) = &form.select {
        address.push_str("&select=");
        push_escaped(path, &mut address);
    }
    if form.decimal_comma {
        address.push_str("&decimal=comma");
    }
    if form.display {
        address.push_str("&display=true");
    }
    if address.len() > query_text::LONGEST {
        return None;
    }
    HeaderValue::try_from(address).ok()
}

/// Name of a format in a query.
const fn name(format: Format) -> &'static str {
    match format {
        Format::Json => "json",
        Format::Csv => "csv",
        Format::Ndjson => "ndjson",
        Format::Text => "text",
        Format::Html => "html",
    }
}

fn rewritten(entry: &Entry, answer: &[u8], form: &Form) -> Result<Vec<u8>, Problem> {
    let mut answer: Value = serde_json::from_slice(answer).map_err(unwritable)?;
    if form.display {
        answer["display"] = display::of(entry.headlines, &answer, form.decimal_comma);
    }
    if let Some(own) = form.own(entry) {
        return Ok((own.write)(&answer, form.dialect()).into_bytes());
    }
    let selected = form.select.as_deref().map(|path| selected(&answer, path));
    match form.format {
        Format::Json => {
            serde_json::to_vec(selected.as_ref().unwrap_or(&answer)).map_err(unwritable)
        }
        Format::Ndjson => {
            let mut line =
                serde_json::to_vec(selected.as_ref().unwrap_or(&answer)).map_err(unwritable)?;
            line.push(b'\n');
            Ok(line)
        }
        Format::Csv => csv_of(entry, selected.as_ref().unwrap_or(&answer), form),
        Format::Html => Err(Problem::internal("a page of a calculation that has none")),
        Format::Text => Ok(match &form.select {
            Some(path) => cell(value_at(&answer, path), form.decimal_comma).into_bytes(),
            None => lines(&answer, form.decimal_comma).into_bytes(),
        }),
    }
}

fn unwritable(error: serde_json::Error) -> Problem {
    Problem::internal(format!("answer not rewritable: {error}"))
}

/// The output at a path with dots.
fn value_at<'v>(answer: &'v Value, path: &str) -> Option<&'v Value> {
    path.split('.')
        .try_fold(answer, |value, name| value.get(name))
}

/// One output where it stands in the answer, and nothing else; empty when this answer has no
/// such output.
fn selected(answer: &Value, path: &str) -> Value {
    let Some(value) = value_at(answer, path) else {
        return Value::Object(Map::new());
    };
    path.rsplit('.').fold(value.clone(), |inside, name| {
        Value::Object(Map::from_iter([(name.to_owned(), inside)]))
    })
}

/// An output as the text of one cell: lists are joined, what does not exist is empty.
fn cell(value: Option<&Value>, decimal_comma: bool) -> String {
    match value {
        None | Some(Value::Null | Value::Object(_)) => String::new(),
        Some(Value::Bool(flag)) => flag.to_string(),
        Some(Value::Number(number)) if decimal_comma => number.to_string().replace('.', ","),
        Some(Value::Number(number)) => number.to_string(),
        Some(Value::String(text)) => text.clone(),
        Some(Value::Array(items)) => {
            let cells: Vec<_> = items
                .iter()
                .map(|item| cell(Some(item), decimal_comma))
                .collect();
            cells.join(";")
        }
    }
}

/// The outputs of an answer that fit a cell, by their path.
fn cells(answer: &Value, decimal_comma: bool) -> Vec<(String, String)> {
    let mut found = Vec::new();
    collect_cells(answer, "", decimal_comma, &mut found);
    found
}

fn collect_cells(
    value: &Value,
    prefix: &str,
    decimal_comma: bool,
    found: &mut Vec<(String, String)>,
) {
    for (name, value) in value.as_object().into_iter().flatten() {
        let path = format!("{prefix}{name}");
        match value {
            Value::Object(_) => collect_cells(value, &format!("{path}."), decimal_comma, found),
            Value::Array(items) if items.iter().any(|item| item.is_object() || item.is_array()) => {
            }
            Value::Null
            | Value::Bool(_)
            | Value::Number(_)
            | Value::String(_)
            | Value::Array(_) => {
                found.push((path, cell(Some(value), decimal_comma)));
            }
        }
    }
}

/// A whole answer for a person: an output a line, then what to mind.
fn lines(answer: &Value, decimal_comma: bool) -> String {
    let mut text = String::new();
    for (path, value) in cells(answer, decimal_comma) {
        text.push_str(&format!("{path}: {value}\n"));
    }
    for caution in answer["cautions"].as_array().into_iter().flatten() {
        text.push_str(&format!(
            "caution: {}\n",
            caution["text"].as_str().unwrap_or_default()
        ));
    }
    text
}

/// One answer as CSV: a header and a row, or the table of its series where it is about one.
///
/// # Errors
/// [`Problem::internal`] when the row cannot be written, which is a mistake of ours.
fn csv_of(entry: &Entry, answer: &Value, form: &Form) -> Result<Vec<u8>, Problem> {
    if let Some(columnar) = &entry.columnar
        && form.select.is_none()
    {
        return Ok(columnar::answer(columnar, answer, form.dialect()));
    }
    let separator = if form.decimal_comma { ";" } else { "," };
    let (names, values): (Vec<_>, Vec<_>) = cells(answer, form.decimal_comma).into_iter().unzip();
    let row = |cells: &[String]| {
        let quoted: Vec<_> = cells.iter().map(|cell| quoted(cell)).collect();
        quoted.join(separator) + "\r\n"
    };
    Ok((row(&names) + &row(&values)).into_bytes())
}

fn quoted(cell: &str) -> String {
    if cell.contains(['"', ',', ';', '\r', '\n']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}
