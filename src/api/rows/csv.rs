//! CSV in: a header that names fields of the request, then a request a row.

use super::columns::Columns;
use super::dialect::Dialect;
use super::layout::{Layout, Row};
use super::{Answered, Cells, Form, Rows, Sink, Source, lines, record};
use crate::api::calculation::Call;
use crate::api::decode::{self, Fields, Writing};
use crate::api::problem::{Fault, FaultCode, Problem, ProblemCode};
use crate::api::registry::Entry;
use crate::api::wanted::Wanted;

/// A header that was understood, and everything that its rows need.
#[derive(Debug)]
pub struct Table {
    entry: &'static Entry,
    names: Vec<&'static str>,
    dialect: Dialect,
    form: Form,
    wanted: Wanted,
    layout: Layout,
}

impl Table {
    /// Reads a header; `form` is what answers are written as, by default the header's own, and
    /// `wanted` what they tell.
    ///
    /// # Errors
    /// 400 for text that is not UTF-8, 422 for every name that is unknown, given twice or
    /// missing.
    pub fn open(
        entry: &'static Entry,
        header: &[u8],
        form: Option<Form>,
        wanted: Wanted,
    ) -> Result<Self, Problem> {
        let header = header.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(header);
        let text = std::str::from_utf8(header)
            .map_err(|_| Problem::new(ProblemCode::InvalidEncoding, "the header is not UTF-8"))?;
        let dialect = Dialect::of_header(header);
        let names = names(entry, record::trimmed(text), dialect.delimiter)?;
        Ok(Self {
            layout: Layout::new(&names, entry, &wanted),
            wanted,
            form: form.unwrap_or(Form::Csv(dialect)),
            entry,
            names,
            dialect,
        })
    }
}

impl Rows for Table {
    fn delimiter(&self) -> Option<u8> {
        Some(self.dialect.delimiter)
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
                let row = Row {
                    request: &|_| "",
                    written: self.dialect.decimal,
                    answer: Err(problem),
                };
                self.layout.push(&row, to, &mut out);
            }
            Form::Ndjson => lines::push_problem(problem, request_id, &mut out),
        }
        out
    }

    fn rows(&self, block: &[u8], request_id: &str, call: &Call<'_>) -> Answered {
        let mut state = State::of(self.entry);
        let mut rest = block;
        while let Some(end) = record::end(rest, Some(self.dialect.delimiter)) {
            if call.is_cancelled() {
                break;
            }
            let (row, after) = rest.split_at(end);
            match std::str::from_utf8(row) {
                Ok(text) => self.row(record::trimmed(text), request_id, call, &mut state),
                Err(_) => {
                    let detail = "the row is not UTF-8";
                    let problem = Problem::new(ProblemCode::InvalidEncoding, detail);
                    let failure = self.failure(&problem, request_id);
                    state.answered.text.extend_from_slice(&failure);
                }
            }
            rest = after;
        }
        state.answered
    }
}

impl Table {
    /// Answers one record; an empty line is none.
    fn row(&self, text: &str, request_id: &str, call: &Call<'_>, state: &mut State<'_>) {
        if text.is_empty() {
            return;
        }
        let most = self.names.len();
        // one more than there are names tells that there are too many
        let (spans, unquoted) = (&mut state.spans, &mut state.unquoted);
        let text = record::split(text, self.dialect.delimiter, most + 1, unquoted, spans);
        let fields = Fields {
            names: &self.names,
            text,
            spans: &state.spans,
            writing: Writing::row(self.dialect.decimal),
        };
        let (columns, cells, answered) = (state.columns, &mut state.cells, &mut state.answered);
        let came = answered.guarded(self.entry, |out| match self.form {
            _ if fields.spans.len() != most => Err(ragged(most)),
            Form::Ndjson => lines::answer(self.entry, &self.wanted, out, |out| {
                self.entry.answer_fields(fields, call, out)
            }),
            Form::Csv(_) => {
                cells.clear();
                let answer = (columns, cells);
                let sink = Sink {
                    request: None,
                    answer,
                };
                self.entry.answer_cells(Source::Fields(fields), call, sink)
            }
        });
        let Form::Csv(to) = self.form else {
            return state.answered.push_line(came, request_id);
        };
        let row = Row {
            request: &|place| cell_of(text, fields.spans, place),
            written: self.dialect.decimal,
            answer: came.as_ref().map(|()| &state.cells),
        };
        self.layout.push(&row, to, &mut state.answered.text);
    }
}

/// What the rows of a block share, so that a row allocates nothing.
struct State<'e> {
    columns: &'e Columns,
    cells: Cells,
    spans: Vec<(usize, usize)>,
    unquoted: String,
    answered: Answered,
}

impl State<'static> {
    fn of(entry: &'static Entry) -> Self {
        let columns = entry.answer_columns();
        Self {
            columns,
            cells: Cells::of(columns),
            spans: Vec::new(),
            unquoted: String::new(),
            answered: Answered::default(),
        }
    }
}

/// A cell of a record that was split; empty where it has none.
fn cell_of<'t>(text: &'t str, spans: &[(usize, usize)], place: usize) -> &'t str {
    let span = spans.get(place);
    span.and_then(|(begin, end)| text.get(*begin..*end))
        .unwrap_or_default()
}

fn ragged(names: usize) -> Problem {
    let detail = format!("the row does not have the {names} cells of the header");
    Problem::invalid(vec![Fault::new("", FaultCode::WrongType, detail)])
}

/// The fields that a header names, in its order.
fn names(entry: &'static Entry, header: &str, delimiter: u8) -> Result<Vec<&'static str>, Problem> {
    let (mut unquoted, mut spans) = (String::new(), Vec::new());
    let text = record::split(header, delimiter, usize::MAX, &mut unquoted, &mut spans);
    let given = spans
        .iter()
        .filter_map(|(begin, end)| text.get(*begin..*end));
    let given: Vec<&str> = given.map(str::trim).collect();
    let faults = decode::header_faults(&given, entry.shape());
    if !faults.is_empty() {
        return Err(Problem::invalid(faults));
    }
    let known = |name: &&str| {
        let field = entry.shape().fields().iter().find(|f| f.name == **name);
        field.map(|field| field.name.as_str())
    };
    Ok(given.iter().filter_map(known).collect())
}
