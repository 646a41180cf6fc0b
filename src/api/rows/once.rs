//! One answer as CSV, a header and a row; and the example that the document shows.

use serde_json::Value;

use super::dialect::Dialect;
use super::layout::{Layout, Row};
use super::{Cells, Rows, Sink, Source, Table};
use crate::api::calculation::{Call, UNCANCELLED};
use crate::api::decode::Decimal;
use crate::api::problem::Problem;
use crate::api::registry::Entry;
use crate::api::wanted::Wanted;

/// Appends the answer to one request as CSV, with the columns of the fields that were given.
///
/// # Errors
/// The [`Problem`] to answer instead; `out` is then as it was.
pub fn one_row_csv(
    entry: &'static Entry,
    source: Source<'_>,
    (dialect, wanted): (Dialect, &Wanted),
    call: &Call<'_>,
    out: &mut Vec<u8>,
) -> Result<(), Problem> {
    let columns = entry.request_columns();
    let mut request = Cells::of(columns);
    let mut answer = Cells::of(entry.answer_columns());
    let sink = Sink {
        request: Some((columns, &mut request)),
        answer: (entry.answer_columns(), &mut answer),
    };
    entry.answer_cells(source, call, sink)?;
    let cells = columns.all.iter().enumerate();
    let cells = cells.map(|(place, column)| (column.name.as_str(), request.get(place)));
    let (names, cells): (Vec<&str>, Vec<&[u8]>) =
        cells.filter(|(_, cell)| !cell.is_empty()).unzip();
    let layout = Layout::new(&names, entry, wanted);
    out.extend_from_slice(&layout.head(dialect));
    let text = |place: usize| cells.get(place).copied().unwrap_or_default();
    let row = Row {
        request: &|place| std::str::from_utf8(text(place)).unwrap_or_default(),
        written: Decimal::Point,
        answer: Ok(&answer),
    };
    layout.push(&row, dialect, out);
    Ok(())
}

/// The first example of a calculation by rows: the table that asks and the one that answers.
///
/// # Errors
/// When the example is refused, which is a mistake of ours.
pub fn example(entry: &'static Entry) -> Result<(String, String), Problem> {
    let body = entry.examples.first().map_or("{}", |example| example.body);
    let broken = |error: serde_json::Error| Problem::internal(error.to_string());
    let fields: serde_json::Map<String, Value> = serde_json::from_str(body).map_err(broken)?;
    let names: Vec<&str> = fields.keys().map(String::as_str).collect();
    let mut asked = format!("{}\r\n", names.join(",")).into_bytes();
    for (place, value) in fields.values().enumerate() {
        if place > 0 {
            asked.push(b',');
        }
        Dialect::COMMAS.push_text(cell(value).as_bytes(), &mut asked);
    }
    asked.extend_from_slice(b"\r\n");
    let head_ends = names.join(",").len() + 2;
    let (head, rows) = asked.split_at(head_ends);
    let table = Table::open(entry, head, None, Wanted::default())?;
    let mut answered = table.head();
    answered.extend_from_slice(&table.rows(rows, "example", &UNCANCELLED).text);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap_or_default();
    Ok((text(asked), text(answered)))
}

/// A value of a JSON request as the cell that means the same.
pub(super) fn cell(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(items) => items.iter().map(cell).collect::<Vec<_>>().join("|"),
        Value::Null => String::new(),
        Value::Bool(_) | Value::Number(_) | Value::Object(_) => value.to_string(),
    }
}
