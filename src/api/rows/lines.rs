//! NDJSON in: a JSON request a line.

use super::columns::Columns;
use super::dialect::Dialect;
use super::layout::{Layout, Row};
use super::{Answered, Cells, Form, Rows, Sink, Source, once, record};
use serde_json::Value;

use crate::api::calculation::Call;
use crate::api::decode::Decimal;
use crate::api::encode;
use crate::api::problem::{Problem, ProblemDocument};
use crate::api::registry::Entry;
use crate::api::wanted::Wanted;

/// Lines of requests to one calculation.
#[derive(Debug)]
pub struct Lines {
    entry: &'static Entry,
    form: Form,
    wanted: Wanted,
    layout: Layout,
}

/// The line that stands for a refused one.
#[derive(Debug, serde::Serialize)]
struct Refusal {
    problem: ProblemDocument,
}

/// Appends a problem as a line.
pub(super) fn push_problem(problem: &Problem, request_id: &str, out: &mut Vec<u8>) {
    let problem = problem.document(request_id);
    // a problem document holds texts and finite numbers only
    let _ = encode::json(&Refusal { problem }, out);
    out.push(b'\n');
}

/// Fills the cells of a request that was refused with what its line says, as far as it is read.
fn put_as_it_came(line: &[u8], columns: &Columns, cells: &mut Cells) {
    cells.clear();
    let Ok(Value::Object(fields)) = serde_json::from_slice(line) else {
        return;
    };
    for (place, column) in columns.all.iter().enumerate() {
        if let Some(value) = fields.get(&column.name).filter(|value| !value.is_null()) {
            cells.put_text(place, &once::cell(value));
        }
    }
}

/// Appends what is wanted of the JSON answer that `write` appends.
pub(super) fn answer(
    entry: &Entry,
    wanted: &Wanted,
    out: &mut Vec<u8>,
    write: impl FnOnce(&mut Vec<u8>) -> Result<(), Problem>,
) -> Result<(), Problem> {
    let start = out.len();
    write(out)?;
    if wanted.is_all() {
        return Ok(());
    }
    let unreadable = |error: serde_json::Error| Problem::internal(error.to_string());
    let whole = out.get(start..).unwrap_or_default();
    let answer = serde_json::from_slice(whole).map_err(unreadable)?;
    out.truncate(start);
    serde_json::to_writer(out, &wanted.part_of(entry, answer)).map_err(unreadable)
}

impl Lines {
    /// Lines answered in this form, by default as lines; as CSV, every field of the request
    /// has a column, and what is `wanted` of the answer.
    #[must_use]
    pub fn new(entry: &'static Entry, form: Option<Form>, wanted: Wanted) -> Self {
        let columns = entry.request_columns();
        let names: Vec<&str> = columns.all.iter().map(|c| c.name.as_str()).collect();
        Self {
            entry,
            form: form.unwrap_or(Form::Ndjson),
            layout: Layout::new(&names, entry, &wanted),
            wanted,
        }
    }
}

impl Rows for Lines {
    fn delimiter(&self) -> Option<u8> {
        None
    }

    fn form(&self) -> Form {
        self.form
    }

    fn head(&self) -> Vec<u8> {
        match self.form {
            Form::Csv(dialect) => self.layout.head(dialect),
            Form::Ndjson => Vec::new(),
        }
    }

    fn failure(&self, problem: &Problem, request_id: &str) -> Vec<u8> {
        let mut out = Vec::new();
        match self.form {
            Form::Csv(to) => {
                let empty = Cells::of(self.entry.request_columns());
                self.push(&empty, Err(problem), to, &mut out);
            }
            Form::Ndjson => push_problem(problem, request_id, &mut out),
        }
        out
    }

    fn rows(&self, block: &[u8], request_id: &str, call: &Call<'_>) -> Answered {
        let mut answered = Answered::default();
        let mut request = Cells::of(self.entry.request_columns());
        let mut answer = Cells::of(self.entry.answer_columns());
        let mut rest = block;
        while let Some(end) = record::end(rest, None) {
            if call.is_cancelled() {
                break;
            }
            let (line, after) = rest.split_at(end);
            rest = after;
            if line.iter().all(u8::is_ascii_whitespace) {
                continue;
            }
            match self.form {
                Form::Ndjson => {
                    let came = answered.guarded(self.entry, |out| {
                        let write = |out: &mut Vec<u8>| self.entry.answer(line, call, out);
                        self::answer(self.entry, &self.wanted, out, write)
                    });
                    answered.push_line(came, request_id);
                }
                Form::Csv(to) => {
                    request.clear();
                    answer.clear();
                    let came = answered.guarded(self.entry, |_| {
                        self.cells(line, call, &mut request, &mut answer)
                    });
                    if came.is_err() {
                        put_as_it_came(line, self.entry.request_columns(), &mut request);
                    }
                    let came = came.as_ref().map(|()| &answer);
                    self.push(&request, came, to, &mut answered.text);
                }
            }
        }
        answered
    }
}

impl Lines {
    fn cells(
        &self,
        line: &[u8],
        call: &Call<'_>,
        request: &mut Cells,
        answer: &mut Cells,
    ) -> Result<(), Problem> {
        let sink = Sink {
            request: Some((self.entry.request_columns(), request)),
            answer: (self.entry.answer_columns(), answer),
        };
        self.entry.answer_cells(Source::Json(line), call, sink)
    }

    fn push(
        &self,
        request: &Cells,
        answer: Result<&Cells, &Problem>,
        to: Dialect,
        out: &mut Vec<u8>,
    ) {
        let row = Row {
            request: &|place| std::str::from_utf8(request.get(place)).unwrap_or_default(),
            written: Decimal::Point,
            answer,
        };
        self.layout.push(&row, to, out);
    }
}
