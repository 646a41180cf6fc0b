//! The cells of a row, and what is written into them.

use serde::Serialize;

use super::columns::{Columns, PROVENANCE, Slot};
use super::put::Put;
use crate::api::decode::Fields;
use crate::api::problem::Problem;
use crate::api::provenance::Provenance;

/// Where a request comes from.
#[derive(Debug, Clone, Copy)]
pub enum Source<'a> {
    /// Names and texts.
    Fields(Fields<'a>),
    /// A JSON text.
    Json(&'a [u8]),
}

/// Where the cells of an answer go, and those of its request when it came as JSON.
#[derive(Debug)]
pub(crate) struct Sink<'a> {
    pub(crate) request: Option<(&'a Columns, &'a mut Cells)>,
    pub(crate) answer: (&'a Columns, &'a mut Cells),
}

impl Sink<'_> {
    /// Writes the request.
    pub(crate) fn put_request<R: Serialize>(&mut self, request: &R) -> Result<(), Problem> {
        match &mut self.request {
            Some((columns, cells)) => cells.fill(columns, request),
            None => Ok(()),
        }
    }

    /// Writes the answer.
    pub(crate) fn put_answer<R: Serialize>(
        &mut self,
        result: &R,
        provenance: &Provenance,
    ) -> Result<(), Problem> {
        let (columns, cells) = &mut self.answer;
        cells.fill(columns, result)?;
        let first = columns.all.len() - PROVENANCE.len();
        let codes = provenance
            .cautions
            .iter()
            .map(|caution| caution.code.as_str());
        let sources = provenance.sources.iter().map(AsRef::as_ref);
        let version = provenance.model_version.as_ref();
        cells.put_joined(first, std::iter::once(provenance.basis.word()));
        cells.put_joined(first + 1, sources);
        cells.put_joined(first + 2, std::iter::once(version));
        cells.put_joined(first + 3, codes);
        Ok(())
    }
}

/// The cells of one row; numbers are written with a point, texts as they are.
#[derive(Debug)]
pub(crate) struct Cells {
    pub(super) text: Vec<u8>,
    spans: Vec<(usize, usize)>,
}

impl Cells {
    /// Empty cells for these columns.
    pub(crate) fn of(columns: &Columns) -> Self {
        Self {
            text: Vec::new(),
            spans: vec![(0, 0); columns.all.len()],
        }
    }

    /// Empties all cells.
    pub(crate) fn clear(&mut self) {
        self.text.clear();
        self.spans.fill((0, 0));
    }

    /// A cell; empty when nothing was put there.
    pub(crate) fn get(&self, column: usize) -> &[u8] {
        let span = self.spans.get(column);
        span.and_then(|(begin, end)| self.text.get(*begin..*end))
            .unwrap_or_default()
    }

    fn fill<R: Serialize>(&mut self, columns: &Columns, value: &R) -> Result<(), Problem> {
        let put = Put {
            slot: &columns.root,
            cells: self,
        };
        value
            .serialize(put)
            .map_err(|error| Problem::non_finite(format!("row not writable: {error}")))
    }

    /// Writes the cell that a slot names.
    pub(super) fn put(&mut self, slot: &Slot, write: impl FnOnce(&mut Vec<u8>)) {
        if let Slot::Cell(column) = slot {
            let begin = self.text.len();
            write(&mut self.text);
            self.close(*column, begin);
        }
    }

    /// Writes a text into a column.
    pub(super) fn put_text(&mut self, column: usize, text: &str) {
        let begin = self.text.len();
        self.text.extend_from_slice(text.as_bytes());
        self.close(column, begin);
    }

    fn put_joined<'t>(&mut self, column: usize, words: impl Iterator<Item = &'t str>) {
        let begin = self.text.len();
        for (place, word) in words.enumerate() {
            if place > 0 {
                self.text.push(b';');
            }
            self.text.extend_from_slice(word.as_bytes());
        }
        self.close(column, begin);
    }

    /// Ends the cell that began at this length of the text.
    pub(super) fn close(&mut self, column: usize, begin: usize) {
        if let Some(span) = self.spans.get_mut(column) {
            *span = (begin, self.text.len());
        }
    }
}
