//! From the JSON of an answer to the response that the caller asked for.

use actix_web::HttpResponse;
use actix_web::http::Method;
use actix_web::http::header::{
    CACHE_CONTROL, CONTENT_LOCATION, CONTENT_SECURITY_POLICY, HeaderName, HeaderValue,
};
use serde_json::Value;

use super::caching;
use super::form::Form;
use super::html;
use crate::api::columnar;
use crate::api::paths::{self, value_at};
use crate::api::problem::Problem;
use crate::api::query_text::{self, push_escaped};
use crate::api::registry::Entry;
use crate::api::reserved::Format;
use crate::api::rows::columns::CAUTION_CODES;
use crate::api::shape::Shape;

/// Tells that a resource answers `QUERY`, and with which media types (RFC 10008).
pub(super) const ACCEPT_QUERY: HeaderName = HeaderName::from_static("accept-query");
/// Tells which bodies a resource reads (W3C, Linked Data Platform 1.0; from memory).
pub(super) const ACCEPT_POST: HeaderName = HeaderName::from_static("accept-post");
/// What charts take with `QUERY`, as a structured field.
pub(super) const QUERY_TYPES: HeaderValue = HeaderValue::from_static("\"application/json\"");

/// What a calculation takes with `QUERY`, as a structured field.
pub(super) fn query_types(entry: &Entry) -> HeaderValue {
    if entry.is_flat() {
        let types = "\"application/json\", \"text/csv\", \"application/x-ndjson\"";
        HeaderValue::from_static(types)
    } else if entry.columnar.is_some() {
        HeaderValue::from_static("\"application/json\", \"text/csv\"")
    } else {
        QUERY_TYPES
    }
}

/// Media types of the bodies that a calculation reads.
pub(super) fn body_types(entry: &Entry) -> &'static str {
    if entry.is_flat() {
        "application/json, text/csv, application/x-ndjson"
    } else if entry.columnar.is_some() {
        "application/json, text/csv"
    } else {
        "application/json"
    }
}

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
        .insert_header((ACCEPT_QUERY, query_types(entry)));
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
    for (place, path) in form.wanted.select.iter().enumerate() {
        address.push_str(if place == 0 { "&select=" } else { "," });
        push_escaped(path, &mut address);
    }
    if form.wanted.decimal_comma {
        address.push_str("&decimal=comma");
    }
    if form.wanted.display {
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
    let answer: Value = serde_json::from_slice(answer).map_err(unwritable)?;
    if let Some(own) = form.own(entry) {
        return Ok((own.write)(&answer, form.dialect()).into_bytes());
    }
    let part = form.wanted.part_of(entry, answer);
    let decimal_comma = form.wanted.decimal_comma;
    match form.format {
        Format::Json => serde_json::to_vec(&part).map_err(unwritable),
        Format::Ndjson => {
            let mut line = serde_json::to_vec(&part).map_err(unwritable)?;
            line.push(b'\n');
            Ok(line)
        }
        Format::Csv => Ok(csv_of(entry, &part, form)),
        Format::Html => Err(Problem::internal("a page of a calculation that has none")),
        Format::Text => Ok(match form.wanted.select.as_slice() {
            [path] => cell(value_at(&part, path), decimal_comma).into_bytes(),
            _ => lines(&part, decimal_comma).into_bytes(),
        }),
    }
}

fn unwritable(error: serde_json::Error) -> Problem {
    Problem::internal(format!("answer not rewritable: {error}"))
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
fn cells(answer: &Value) -> Vec<(String, &Value)> {
    let mut found = Vec::new();
    collect_cells(answer, "", &mut found);
    found
}

fn collect_cells<'v>(value: &'v Value, prefix: &str, found: &mut Vec<(String, &'v Value)>) {
    for (name, value) in value.as_object().into_iter().flatten() {
        let path = format!("{prefix}{name}");
        match value {
            Value::Object(_) => collect_cells(value, &format!("{path}."), found),
            Value::Array(items) if items.iter().any(|item| item.is_object() || item.is_array()) => {
            }
            Value::Null
            | Value::Bool(_)
            | Value::Number(_)
            | Value::String(_)
            | Value::Array(_) => found.push((path, value)),
        }
    }
}

/// A whole answer for a person: an output a line, then what to mind.
fn lines(answer: &Value, decimal_comma: bool) -> String {
    let mut text = String::new();
    for (path, value) in cells(answer) {
        let value = cell(Some(value), decimal_comma);
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
fn csv_of(entry: &Entry, answer: &Value, form: &Form) -> Vec<u8> {
    if let Some(columnar) = &entry.columnar
        && !form.is_part()
    {
        return columnar::answer(columnar, answer, form.dialect());
    }
    let to = form.dialect();
    let (mut head, mut row) = (Vec::new(), Vec::new());
    for (path, value) in table_cells(entry, answer, form) {
        to.push_text(path.as_bytes(), &mut head);
        head.push(to.delimiter);
        let text = cell(value, form.wanted.decimal_comma);
        if value.is_some_and(|value| is_number(entry, &path, value)) {
            to.push_own(text.as_bytes(), &mut row);
        } else {
            to.push_text(text.as_bytes(), &mut row);
        }
        row.push(to.delimiter);
    }
    if !form.is_part() {
        head.extend_from_slice(CAUTION_CODES.as_bytes());
        head.push(to.delimiter);
        let cautions = answer["cautions"].as_array().into_iter().flatten();
        let codes: Vec<_> = cautions.filter_map(|it| it["code"].as_str()).collect();
        to.push_text(codes.join(";").as_bytes(), &mut row);
        row.push(to.delimiter);
    }
    let ended = |mut line: Vec<u8>| {
        line.pop();
        line.extend_from_slice(b"\r\n");
        line
    };
    [ended(head), ended(row)].concat()
}

/// The columns of a table: what the answer has, or all that is selected, so that a column does not
/// come and go with the request.
fn table_cells<'v>(
    entry: &Entry,
    answer: &'v Value,
    form: &Form,
) -> Vec<(String, Option<&'v Value>)> {
    let has = |path: &str| paths::shape_at(entry.answer_shape(), path).is_some();
    let selected = form.wanted.select.iter().filter(|path| has(path));
    let mut found = Vec::new();
    for path in selected {
        let cells = paths::cells(entry.answer_shape(), path);
        found.extend(cells.into_iter().map(|path| {
            let value = value_at(answer, &path);
            (path, value)
        }));
    }
    // rounded texts, and objects with names of their own, have no shape
    let others = cells(answer)
        .into_iter()
        .filter(|(path, _)| !form.is_part() || !has(path));
    found.extend(others.map(|(path, value)| (path, Some(value))));
    found
}

/// Whether a cell begins with a number of ours: it is one, or several, or one that is rounded.
fn is_number(entry: &Entry, path: &str, value: &Value) -> bool {
    match value {
        Value::Number(_) => true,
        Value::Array(items) => items.iter().all(Value::is_number),
        Value::String(_) => {
            let shown = path.strip_prefix("display.");
            let shape = shown.and_then(|path| paths::shape_at(entry.answer_shape(), path));
            matches!(shape, Some(Shape::Number(_)))
        }
        Value::Null | Value::Bool(_) | Value::Object(_) => false,
    }
}
