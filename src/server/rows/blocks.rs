//! What has arrived of a body by rows, and where the next block of whole rows ends.

use actix_web::web::{Bytes, BytesMut};

use crate::api::rows::{LONGEST_ROW, record};

/// Bytes from which a block is worked without waiting for more.
pub(super) const FULL_BLOCK: usize = 256 * 1024;
/// Most rows of a block, which bounds the size of its answers.
const MOST_ROWS_A_BLOCK: u64 = 4096;

/// A piece of a body.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Piece {
    /// So many whole rows.
    Rows(Bytes, u64),
    /// A row was too long; the rest of it is dropped.
    TooLong,
}

/// Bytes that have arrived and are not yet in a block.
#[derive(Debug)]
pub(super) struct Arrived {
    bytes: BytesMut,
    delimiter: Option<u8>,
    is_skipping: bool,
    is_over: bool,
}

impl Arrived {
    /// The start of a body whose rows end as the delimiter says.
    pub(super) fn new(bytes: BytesMut, delimiter: Option<u8>) -> Self {
        Self {
            bytes,
            delimiter,
            is_skipping: false,
            is_over: false,
        }
    }

    /// Adds what has arrived.
    pub(super) fn push(&mut self, chunk: &[u8]) {
        let mut chunk = chunk;
        if self.is_skipping {
            let Some(end) = record::end(chunk, None) else {
                return;
            };
            self.is_skipping = false;
            chunk = chunk.get(end..).unwrap_or_default();
        }
        self.bytes.extend_from_slice(chunk);
    }

    /// Nothing more will arrive; the last row may lack its line end.
    pub(super) fn close(&mut self) {
        if !self.is_over && !self.bytes.is_empty() && !self.bytes.ends_with(b"\n") {
            self.bytes.extend_from_slice(b"\n");
        }
        self.is_over = true;
    }

    /// Drops everything, and all that is still to come.
    pub(super) fn abandon(&mut self) {
        self.bytes.clear();
        self.is_over = true;
    }

    /// Whether nothing more will arrive.
    pub(super) const fn is_over(&self) -> bool {
        self.is_over
    }

    /// Whether all that has arrived is in a block.
    pub(super) fn is_empty(&self) -> bool {
        self.bytes.is_empty()
    }

    /// Whether a full block has arrived, so that reading can wait.
    pub(super) fn is_full(&self) -> bool {
        self.bytes.len() >= FULL_BLOCK + LONGEST_ROW
    }

    /// The next block of at most `most` rows: a full one, or what rows there are when
    /// `is_hurried`.
    pub(super) fn next(&mut self, is_hurried: bool, most: u64) -> Option<Piece> {
        if !is_hurried && self.bytes.len() < FULL_BLOCK {
            return None;
        }
        let (end, rows) = self.whole_rows(most.min(MOST_ROWS_A_BLOCK));
        if end > 0 {
            return Some(Piece::Rows(self.bytes.split_to(end).freeze(), rows));
        }
        let is_unended = self.bytes.len() > LONGEST_ROW || self.is_over;
        (is_unended && !self.bytes.is_empty()).then(|| self.drop_row())
    }

    /// End and number of the rows that are whole.
    fn whole_rows(&self, most: u64) -> (usize, u64) {
        let (mut end, mut rows) = (0, 0);
        while rows < most && end < FULL_BLOCK {
            let rest = self.bytes.get(end..).unwrap_or_default();
            // no look further than a row may reach
            let reach = rest.get(..LONGEST_ROW).unwrap_or(rest);
            let Some(length) = record::end(reach, self.delimiter) else {
                break;
            };
            end += length;
            rows += 1;
        }
        (end, rows)
    }

    /// Drops a row without an end within reach. An open quote may have swallowed the lines after
    /// it, so the first line is the row that is wrong.
    fn drop_row(&mut self) -> Piece {
        match record::end(&self.bytes, None) {
            Some(end) => drop(self.bytes.split_to(end)),
            None => {
                self.bytes.clear();
                self.is_skipping = !self.is_over;
            }
        }
        Piece::TooLong
    }
}

#[cfg(test)]
mod tests {
    use actix_web::web::BytesMut;

    use super::{Arrived, FULL_BLOCK, Piece};
    use crate::api::rows::LONGEST_ROW;

    fn arrived(text: &str) -> Arrived {
        Arrived::new(BytesMut::from(text.as_bytes()), Some(b','))
    }

    fn rows(piece: Option<Piece>) -> (String, u64) {
        match piece {
            Some(Piece::Rows(bytes, rows)) => (String::from_utf8(bytes.to_vec()).unwrap(), rows),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn whole_rows_are_handed_out_in_a_hurry_and_the_rest_waits_for_its_end() {
        let mut body = arrived("1,2\n3,");
        assert_eq!(body.next(false, u64::MAX), None, "no full block");
        assert_eq!(rows(body.next(true, u64::MAX)), ("1,2\n".to_owned(), 1));
        assert_eq!(body.next(true, u64::MAX), None);
        body.push(b"4");
        body.close();
        assert_eq!(rows(body.next(true, u64::MAX)), ("3,4\n".to_owned(), 1));
        assert_eq!(body.next(true, u64::MAX), None);
    }

    #[test]
    fn a_block_has_no_more_rows_than_its_answers_may_need_memory_for() {
        let mut body = arrived(&"1\n".repeat(FULL_BLOCK));
        assert_eq!(rows(body.next(false, u64::MAX)).1, 4096);
    }

    #[test]
    fn a_row_without_end_is_dropped_up_to_its_end_and_the_next_one_read() {
        let mut body = arrived("");
        body.push(&[b'1'; LONGEST_ROW + 1]);
        assert_eq!(body.next(true, u64::MAX), Some(Piece::TooLong));
        body.push(&[b'1'; LONGEST_ROW]);
        assert_eq!(body.next(true, u64::MAX), None);
        body.push(b"1\n2,3\n");
        assert_eq!(rows(body.next(true, u64::MAX)), ("2,3\n".to_owned(), 1));
    }

    #[test]
    fn an_open_quote_spoils_its_own_line_only() {
        let mut body = arrived("\"1,2\n3,4\n5,6\n");
        assert_eq!(
            body.next(true, u64::MAX),
            None,
            "the quote may still be closed"
        );
        body.close();
        assert_eq!(body.next(true, u64::MAX), Some(Piece::TooLong));
        assert_eq!(
            rows(body.next(true, u64::MAX)),
            ("3,4\n5,6\n".to_owned(), 2)
        );
    }
}
