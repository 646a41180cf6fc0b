//! Flat calculations by rows: CSV under a header, or one JSON object a line, in blocks whose
//! memory is bounded.
//!
//! Reading order: how a row is written and read, which columns an answer has and how it is
//! written into them, then a block of CSV, a block of lines, and a single answer as CSV.

use std::panic::{AssertUnwindSafe, catch_unwind};

use super::calculation::Call;
use super::problem::{Fault, Problem};
use super::registry::Entry;
use super::wanted::Wanted;

pub mod columns;
pub mod dialect;
pub mod record;

mod cells;
mod csv;
mod layout;
mod lines;
mod once;
mod put;

pub use cells::Source;
pub(crate) use cells::{Cells, Sink};
pub use csv::Table;
pub use lines::Lines;
pub use once::{example, one_row_csv};

/// Longest row in bytes, line end included.
pub const LONGEST_ROW: usize = 64 * 1024;
/// Most rows of one call.
pub const MOST_ROWS: u64 = 10_000_000;

/// What answers are written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Rows under a header.
    Csv(dialect::Dialect),
    /// One JSON object a line.
    Ndjson,
}

impl Form {
    /// A fault for each wanted output that the calculation does not have, or that cannot be told
    /// in this form.
    #[must_use]
    pub fn faults(self, wanted: &Wanted, entry: &Entry) -> Vec<Fault> {
        match self {
            Self::Csv(_) => wanted.faults(entry, |path, _| layout::why_not_in_a_table(path, entry)),
            Self::Ndjson => wanted.faults(entry, |_, _| None),
        }
    }
}

/// What came of a block of rows.
#[derive(Debug, Default)]
pub struct Answered {
    /// The answers, in order.
    pub text: Vec<u8>,
    /// Rows that our code failed on.
    pub panics: u64,
    /// Rows whose result was no finite number.
    pub non_finite: u64,
}

/// Requests by rows, and how each block of them is answered.
pub trait Rows: Send + Sync {
    /// The byte between the cells of a row; none where every line is a row.
    fn delimiter(&self) -> Option<u8>;

    /// What answers are written as.
    fn form(&self) -> Form;

    /// What stands before the first answer.
    fn head(&self) -> Vec<u8>;

    /// An answer that says only what went wrong, such as a row too long to be read.
    fn failure(&self, problem: &Problem, request_id: &str) -> Vec<u8>;

    /// Answers a block of whole rows, in order; a bad one spoils no other.
    fn rows(&self, block: &[u8], request_id: &str, call: &Call<'_>) -> Answered;
}

impl Answered {
    /// Runs the work of one row; a panic in it is a problem of that row.
    fn guarded(
        &mut self,
        entry: &Entry,
        work: impl FnOnce(&mut Vec<u8>) -> Result<(), Problem>,
    ) -> Result<(), Problem> {
        let length = self.text.len();
        let text = &mut self.text;
        match catch_unwind(AssertUnwindSafe(|| work(text))) {
            Ok(came) => {
                let is_non_finite = came.as_ref().is_err_and(Problem::is_non_finite);
                self.non_finite += u64::from(is_non_finite);
                came
            }
            Err(_) => {
                self.text.truncate(length);
                self.panics += 1;
                Err(Problem::internal(format!("a panic in {}", entry.name)))
            }
        }
    }

    /// Ends the JSON answer of a row, or writes its problem instead.
    fn push_line(&mut self, came: Result<(), Problem>, request_id: &str) {
        match came {
            Ok(()) => self.text.push(b'\n'),
            Err(problem) => lines::push_problem(&problem, request_id, &mut self.text),
        }
    }
}
