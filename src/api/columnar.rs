//! A calculation about one long series: `text/csv` is then one request, a column a list, and the
//! series of its answer can be had as `text/csv` too.
//!
//! The table is turned into the JSON request that means the same, so that it is judged, refused
//! and answered by the same code.

use std::fmt::Write;

use serde_json::{Map, Value, json};

use super::decode::{self, Decimal, Fields, is_number};
use super::problem::{Fault, FaultCode, Problem, ProblemCode};
use super::registry::Entry;
use super::rows::dialect::Dialect;
use super::rows::record;
use super::shape::Shape;

/// Which columns of a table are which lists of a request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Columnar {
    /// The column of instants, and the list of the request that it is.
    pub instants: &'static str,
    /// The column of values at these instants, and the list that it is.
    pub values: &'static str,
    /// Columns that become a series of their own: column, and field with `time_s` and `value`.
    pub series: &'static [(&'static str, &'static str)],
    /// The output that is an object of lists, and a table by itself.
    pub answer: &'static str,
}

impl Columnar {
    /// The columns that a table may have.
    pub fn columns(&self) -> impl Iterator<Item = &'static str> {
        let series = self.series.iter().map(|(column, _)| *column);
        [self.instants, self.values].into_iter().chain(series)
    }

    fn has(&self, name: &str) -> bool {
        self.columns().any(|column| column == name)
    }
}

/// The JSON request that a table, and the fields beside it, mean.
///
/// # Errors
/// 400 for text that is not UTF-8 and for an empty table, 422 for a header with unknown or
/// doubled names and for rows of another length.
pub fn request(
    entry: &Entry,
    columnar: &Columnar,
    table: &[u8],
    fields: Fields<'_>,
) -> Result<Vec<u8>, Problem> {
    let text = std::str::from_utf8(table)
        .map_err(|_| Problem::new(ProblemCode::InvalidEncoding, "the table is not UTF-8"))?;
    let text = text
        .trim_start_matches('\u{feff}')
        .trim_start_matches(['\r', '\n']);
    if text.trim().is_empty() {
        let detail = "the body is empty where a table is needed";
        return Err(Problem::new(ProblemCode::EmptyBody, detail));
    }
    let mut table = Table::open(columnar, text);
    table.faults.extend(beside(entry, columnar, fields));
    if table.faults.is_empty() {
        table.read();
    }
    if !table.faults.is_empty() {
        return Err(Problem::invalid(table.faults));
    }
    let mut request = table.lists();
    for (name, text) in fields.pairs() {
        if !text.is_empty() {
            request.insert(name.to_owned(), scalar(entry, name, text));
        }
    }
    Ok(Value::Object(request).to_string().into_bytes())
}

/// What is wrong with the fields beside a table.
fn beside(entry: &Entry, columnar: &Columnar, fields: Fields<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for (name, text) in fields.pairs() {
        let shape = shape_of(entry, name);
        let is_series = columnar.series.iter().any(|(_, field)| *field == name);
        let pointer = format!("/{}", decode::pointer_part(name));
        let fault = if columnar.has(name) || is_series {
            let detail = "this is a column of the table";
            Some(Fault::new(pointer, FaultCode::Contradictory, detail))
        } else if !matches!(
            shape,
            Some(Shape::Number(_) | Shape::Text { .. } | Shape::Flag)
        ) {
            let detail = "there is no such field that could stand beside a table";
            Some(Fault::new(pointer, FaultCode::UnknownField, detail))
        } else if seen.contains(&name) {
            let detail = "the field is given twice";
            Some(Fault::new(pointer, FaultCode::DuplicateField, detail))
        } else if matches!(shape, Some(Shape::Number(_)))
            && decode::is_not_finite(text, Decimal::Point)
        {
            let detail = "no number, or none that a double can hold";
            Some(Fault::new(pointer, FaultCode::NotFinite, detail))
        } else {
            None
        };
        seen.push(name);
        faults.extend(fault);
        if faults.len() >= decode::MOST_FAULTS {
            break;
        }
    }
    faults
}

fn shape_of<'e>(entry: &'e Entry, name: &str) -> Option<&'e Shape> {
    let mut fields = entry.shape().fields().iter();
    fields
        .find(|field| field.name == name)
        .map(|field| &field.shape)
}

/// A field of a query as JSON; what does not fit its shape stays a text, and is refused as one.
fn scalar(entry: &Entry, name: &str, text: &str) -> Value {
    let word = text.trim_ascii();
    match shape_of(entry, name) {
        Some(Shape::Number(_)) => number(word, Decimal::Point),
        Some(Shape::Flag) if word.eq_ignore_ascii_case("true") => Value::Bool(true),
        Some(Shape::Flag) if word.eq_ignore_ascii_case("false") => Value::Bool(false),
        _ => Value::from(text),
    }
}

fn number(text: &str, decimal: Decimal) -> Value {
    let text = text.trim_ascii();
    let point = match decimal {
        Decimal::Point => text.to_owned(),
        Decimal::Comma => text.replace(',', "."),
    };
    let value = is_number(text, decimal)
        .then(|| point.parse::<f64>().ok())
        .flatten();
    value.map_or_else(|| Value::from(text), Value::from)
}

fn not_finite(column: &str, row: usize) -> Fault {
    let pointer = format!("/{}", decode::pointer_part(column));
    let detail = format!("row {row}: no number, or none that a double can hold");
    Fault::new(pointer, FaultCode::NotFinite, detail)
}

/// A table on its way to lists.
struct Table<'t> {
    columnar: &'t Columnar,
    dialect: Dialect,
    rest: &'t str,
    names: Vec<&'t str>,
    cells: Vec<Vec<Value>>,
    faults: Vec<Fault>,
}

impl<'t> Table<'t> {
    fn open(columnar: &'t Columnar, text: &'t str) -> Self {
        let end = record::end(text.as_bytes(), None).unwrap_or(text.len());
        let (header, rest) = text.split_at(end);
        let dialect = Dialect::of_header(header.as_bytes());
        let names = record::trimmed(header).split(char::from(dialect.delimiter));
        let names: Vec<_> = names.map(|name| name.trim().trim_matches('"')).collect();
        let mut table = Self {
            columnar,
            dialect,
            rest,
            cells: vec![Vec::new(); names.len()],
            faults: Vec::new(),
            names,
        };
        table.judge_header();
        table
    }

    fn judge_header(&mut self) {
        for (place, name) in self.names.iter().enumerate().take(decode::MOST_FAULTS) {
            let pointer = format!("/{}", decode::pointer_part(name));
            if !self.columnar.has(name) {
                let known: Vec<_> = self.columnar.columns().collect();
                let detail = format!("there is no such column; there are {}", known.join(", "));
                self.faults
                    .push(Fault::new(pointer, FaultCode::UnknownField, detail));
            } else if self.names.iter().take(place).any(|other| other == name) {
                let detail = "the column is there twice";
                self.faults
                    .push(Fault::new(pointer, FaultCode::DuplicateField, detail));
            }
        }
        for needed in [self.columnar.instants, self.columnar.values] {
            if !self.names.contains(&needed) {
                let detail = "the table needs this column";
                let pointer = format!("/{needed}");
                self.faults
                    .push(Fault::new(pointer, FaultCode::Required, detail));
            }
        }
    }

    fn read(&mut self) {
        let (mut unquoted, mut spans) = (String::new(), Vec::new());
        let most = self.names.len();
        let mut row = 0;
        while !self.rest.is_empty() {
            let end = record::end(self.rest.as_bytes(), Some(self.dialect.delimiter));
            let (line, rest) = self.rest.split_at(end.unwrap_or(self.rest.len()));
            self.rest = rest;
            let line = record::trimmed(line);
            if line.trim().is_empty() {
                continue;
            }
            let delimiter = self.dialect.delimiter;
            let text = record::split(line, delimiter, most + 1, &mut unquoted, &mut spans);
            if spans.len() != most {
                let detail = format!(
                    "row {} has another number of cells than the header",
                    row + 1
                );
                self.faults
                    .push(Fault::new("", FaultCode::WrongType, detail));
                return;
            }
            let named = self.cells.iter_mut().zip(&self.names);
            for ((column, name), (begin, end)) in named.zip(&spans) {
                let cell = text.get(*begin..*end).unwrap_or_default().trim();
                if decode::is_not_finite(cell, self.dialect.decimal) {
                    self.faults.push(not_finite(name, row + 1));
                }
                column.push(if cell.is_empty() {
                    Value::Null
                } else {
                    number(cell, self.dialect.decimal)
                });
            }
            if self.faults.len() >= decode::MOST_FAULTS {
                return;
            }
            row += 1;
        }
    }

    /// The lists; where a cell is empty, its list has no item for that row.
    fn lists(mut self) -> Map<String, Value> {
        let mut lists = Map::new();
        let columnar = *self.columnar;
        let place = |name: &str| self.names.iter().position(|other| *other == name);
        let instants = place(columnar.instants)
            .and_then(|place| self.cells.get(place).cloned())
            .unwrap_or_default();
        let at = |values: Vec<Value>| -> (Vec<Value>, Vec<Value>) {
            let pairs = instants.iter().cloned().zip(values);
            pairs.filter(|(_, value)| !value.is_null()).unzip()
        };
        let places = columnar
            .columns()
            .map(|name| (name, place(name)))
            .collect::<Vec<_>>();
        for (name, place) in places {
            let column = place.and_then(|place| self.cells.get_mut(place));
            let Some(column) = column
                .map(std::mem::take)
                .filter(|_| name != columnar.instants)
            else {
                continue;
            };
            let (times, values) = at(column);
            match columnar.series.iter().find(|(column, _)| *column == name) {
                Some((_, _)) if values.is_empty() => {}
                Some((_, field)) => {
                    lists.insert(
                        (*field).to_owned(),
                        json!({"time_s": times, "value": values}),
                    );
                }
                None => {
                    lists.insert(columnar.instants.to_owned(), times.into());
                    lists.insert(columnar.values.to_owned(), values.into());
                }
            }
        }
        lists
    }
}

/// The series of an answer as a table; only the header where the answer has none.
#[must_use]
pub fn answer(columnar: &Columnar, answer: &Value, dialect: Dialect) -> Vec<u8> {
    let none = Map::new();
    let lists = answer[columnar.answer].as_object().unwrap_or(&none);
    let columns: Vec<_> = lists.values().filter_map(Value::as_array).collect();
    let delimiter = char::from(dialect.delimiter).to_string();
    let names: Vec<_> = lists.keys().map(String::as_str).collect();
    let mut out = format!("{}\r\n", names.join(&delimiter)).into_bytes();
    let mut cell = String::new();
    for row in 0..columns.first().map_or(0, |column| column.len()) {
        for (place, column) in columns.iter().enumerate() {
            if place > 0 {
                out.push(dialect.delimiter);
            }
            cell.clear();
            // writing to a String cannot fail
            let _ = write!(cell, "{}", column.get(row).unwrap_or(&Value::Null));
            dialect.push_number(cell.as_bytes(), &mut out);
        }
        out.extend_from_slice(b"\r\n");
    }
    out
}

/// The first example of a calculation as a table, as far as it is one, and the table of its
/// answer.
#[must_use]
pub fn example(entry: &Entry, columnar: &Columnar) -> (String, String) {
    let body = entry.examples.first().map_or("{}", |example| example.body);
    let asked: Value = serde_json::from_str(body).unwrap_or_default();
    let mut table = format!("{},{}\r\n", columnar.instants, columnar.values);
    let lists = [columnar.instants, columnar.values].map(|name| asked[name].as_array());
    if let [Some(instants), Some(values)] = lists {
        for (instant, value) in instants.iter().zip(values) {
            let _ = write!(table, "{instant},{value}\r\n");
        }
    }
    let mut out = Vec::new();
    // the document's tests answer every example, so this one is
    let _ = entry.answer(body.as_bytes(), &super::calculation::UNCANCELLED, &mut out);
    let answered = serde_json::from_slice(&out).unwrap_or_default();
    let series = answer(columnar, &answered, Dialect::COMMAS);
    (table, String::from_utf8(series).unwrap_or_default())
}
