//! A row of answers: the columns of the request, then those of the answer, then what went
//! wrong. A field that is both stands once, in the place of the request, with the value of the
//! answer when there is one.

use super::Cells;
use super::columns::{CAUTION_CODES, Column};
use super::dialect::Dialect;
use crate::api::calculation::Headline;
use crate::api::decode::{Decimal, is_number};
use crate::api::display;
use crate::api::problem::Problem;
use crate::api::registry::Entry;
use crate::api::wanted::Wanted;

/// Faults that one row names; its neighbours are worth more than the rest.
const MOST_FAULTS: usize = 8;

/// The columns of a table of answers.
#[derive(Debug)]
pub(super) struct Layout {
    /// One for each name of the header; where the answer has it too, its column there.
    request: Vec<(Column, Option<usize>)>,
    /// Columns of the answer that the request does not have.
    answer: Vec<(Column, usize)>,
    /// Outputs as rounded texts.
    display: Vec<Shown>,
}

/// An output that stands in a second column as a rounded text.
#[derive(Debug)]
struct Shown {
    headline: Headline,
    place: usize,
    is_plain: bool,
}

/// One row to be written.
pub(super) struct Row<'a, 'r> {
    /// The cell of the request in a column, as it came.
    pub(super) request: &'a dyn Fn(usize) -> &'r str,
    /// What marks the decimals in the cells of the request.
    pub(super) written: Decimal,
    /// The answer, or why there is none.
    pub(super) answer: Result<&'a Cells, &'a Problem>,
}

/// Name of the last column.
const PROBLEM: &str = "problem";
/// What the names of columns with rounded texts begin with.
const DISPLAY: &str = "display.";

/// The output that a column is about.
fn output_of(column: &str) -> &str {
    if column == CAUTION_CODES {
        "cautions"
    } else {
        column
    }
}

/// Why an output cannot stand in a table, where it cannot.
pub(super) fn why_not_in_a_table(path: &str, entry: &Entry) -> Option<String> {
    let wanted = Wanted::only(path);
    let mut columns = entry.answer_columns().all.iter();
    let has_column = columns.any(|column| wanted.has(output_of(&column.name)));
    (!has_column).then(|| {
        format!("`{path}` has no column in a table; `format=ndjson` and `format=json` have it")
    })
}

impl Layout {
    /// The layout of answers to requests with these fields, of which only some outputs may be
    /// wanted.
    pub(super) fn new(names: &[&str], entry: &Entry, wanted: &Wanted) -> Self {
        let answers = &entry.answer_columns().all;
        let requests = &entry.request_columns().all;
        let column_of = |name: &str| requests.iter().find(|column| column.name == name);
        let request = names.iter().filter_map(|name| {
            let is_told = |column: &Column| column.name == *name && wanted.has(name);
            let same = answers.iter().position(is_told);
            Some((column_of(name)?.clone(), same))
        });
        let is_new = |column: &Column| {
            !names.contains(&column.name.as_str()) && wanted.has(output_of(&column.name))
        };
        let shown = |headline: &Headline| {
            let is_it = |(_, column): &(usize, &Column)| column.name == headline.path;
            let (place, column) = answers.iter().enumerate().find(is_it)?;
            wanted.shows(headline.path).then_some(Shown {
                headline: *headline,
                place,
                is_plain: column.is_plain,
            })
        };
        let places = answers.iter().enumerate();
        Self {
            request: request.collect(),
            answer: places
                .filter(|(_, column)| is_new(column))
                .map(|(place, column)| (column.clone(), place))
                .collect(),
            display: entry.headlines.iter().filter_map(shown).collect(),
        }
    }

    /// The header.
    pub(super) fn head(&self, dialect: Dialect) -> Vec<u8> {
        let mut out = Vec::new();
        let request = self.request.iter().map(|(column, _)| column);
        for column in request.chain(self.answer.iter().map(|(column, _)| column)) {
            out.extend_from_slice(column.name.as_bytes());
            out.push(dialect.delimiter);
        }
        for shown in &self.display {
            out.extend_from_slice(DISPLAY.as_bytes());
            out.extend_from_slice(shown.headline.path.as_bytes());
            out.push(dialect.delimiter);
        }
        out.extend_from_slice(PROBLEM.as_bytes());
        out.extend_from_slice(b"\r\n");
        out
    }

    /// Appends a row.
    pub(super) fn push(&self, row: &Row<'_, '_>, to: Dialect, out: &mut Vec<u8>) {
        let answered = |place: usize| row.answer.map_or(&b""[..], |cells| cells.get(place));
        for (place, (column, same)) in self.request.iter().enumerate() {
            match same.map(answered).filter(|cell| !cell.is_empty()) {
                Some(cell) => push_cell(cell, column, to, out),
                None => push_request((row.request)(place), column, row.written, to, out),
            }
            out.push(to.delimiter);
        }
        for (column, place) in &self.answer {
            push_cell(answered(*place), column, to, out);
            out.push(to.delimiter);
        }
        for shown in &self.display {
            shown.push(answered(shown.place), to, out);
            out.push(to.delimiter);
        }
        if let Err(problem) = row.answer {
            to.push_text(told(problem).as_bytes(), out);
        }
        out.extend_from_slice(b"\r\n");
    }
}

impl Shown {
    /// Appends what is shown of a cell of the answer; nothing where it is empty.
    fn push(&self, cell: &[u8], to: Dialect, out: &mut Vec<u8>) {
        let number = std::str::from_utf8(cell).map(str::parse);
        match number {
            // true and false are plain too
            Ok(Ok(value)) if self.is_plain => {
                let decimal_comma = to.decimal == Decimal::Comma;
                let text = display::number(value, &self.headline, decimal_comma);
                to.push_own(text.as_bytes(), out);
            }
            Ok(_) | Err(_) => to.push_text(cell, out),
        }
    }
}

fn push_cell(cell: &[u8], column: &Column, to: Dialect, out: &mut Vec<u8>) {
    // most columns of a wide answer are empty
    if cell.is_empty() {
        return;
    }
    if column.is_plain {
        to.push_number(cell, out);
    } else {
        to.push_text(cell, out);
    }
}

/// A cell of the request: a number as a number, anything else as a text.
fn push_request(cell: &str, column: &Column, written: Decimal, to: Dialect, out: &mut Vec<u8>) {
    let is_plain = column.is_plain && cell.split('|').all(|part| is_number(part, written));
    match (is_plain, written) {
        (true, Decimal::Point) => to.push_number(cell.as_bytes(), out),
        (true, Decimal::Comma) => to.push_number(cell.replace(',', ".").as_bytes(), out),
        (false, _) => to.push_text(cell.as_bytes(), out),
    }
}

/// A problem in one cell: `/dose_g out_of_range: 9000 g is outside 0.1 to 5000 g; …`.
fn told(problem: &Problem) -> String {
    let faults = problem.faults();
    if faults.is_empty() {
        return format!("{}: {}", problem.code().as_str(), problem.detail());
    }
    let shown = faults.iter().take(MOST_FAULTS).map(|fault| {
        let pointer = if fault.pointer.is_empty() {
            "/"
        } else {
            &fault.pointer
        };
        format!("{pointer} {}: {}", fault.code.as_str(), fault.detail)
    });
    let mut shown: Vec<_> = shown.collect();
    if faults.len() > MOST_FAULTS {
        shown.push(format!("and {} more", faults.len() - MOST_FAULTS));
    }
    shown.join("; ")
}
