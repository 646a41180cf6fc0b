//! Where a record of CSV ends, and which cells it has.
//!
//! A line without a quote, which is nearly every line, is found and split by searching for
//! single bytes. Quotes are read as RFC 4180 has them: they count where a cell begins, and a
//! doubled one stands for itself.

use memchr::{memchr, memchr_iter};

/// Offset behind the record at the start of a text, its line end included; none when it goes
/// on behind the text. Without a delimiter, every line is a record.
#[must_use]
pub fn end(text: &[u8], delimiter: Option<u8>) -> Option<usize> {
    let newline = memchr(b'\n', text)?;
    let line = text.get(..newline)?;
    match delimiter {
        Some(delimiter) if memchr(b'"', line).is_some() => quoted_end(text, delimiter),
        Some(_) | None => Some(newline + 1),
    }
}

fn quoted_end(text: &[u8], delimiter: u8) -> Option<usize> {
    let mut quotes = Quotes::new(delimiter);
    let is_end = |byte: &u8| quotes.step(*byte) == Step::End;
    text.iter().position(is_end).map(|place| place + 1)
}

/// Which quotes of a record mean something.
struct Quotes {
    delimiter: u8,
    is_inside: bool,
    is_start: bool,
    was_closed: bool,
}

/// What a byte means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Content,
    Quote,
    Delimiter,
    End,
}

impl Quotes {
    const fn new(delimiter: u8) -> Self {
        Self {
            delimiter,
            is_inside: false,
            is_start: true,
            was_closed: false,
        }
    }

    fn step(&mut self, byte: u8) -> Step {
        let was_closed = std::mem::take(&mut self.was_closed);
        let was_start = std::mem::take(&mut self.is_start);
        if self.is_inside {
            if byte != b'"' {
                return Step::Content;
            }
            self.is_inside = false;
            self.was_closed = true;
            return Step::Quote;
        }
        match byte {
            b'"' if was_start => {
                self.is_inside = true;
                Step::Quote
            }
            // the second one of a doubled quote
            b'"' if was_closed => {
                self.is_inside = true;
                Step::Content
            }
            b'\n' => Step::End,
            byte if byte == self.delimiter => {
                self.is_start = true;
                Step::Delimiter
            }
            _ => Step::Content,
        }
    }
}

/// A record without its line end.
#[must_use]
pub fn trimmed(record: &str) -> &str {
    let line = record.strip_suffix('\n').unwrap_or(record);
    line.strip_suffix('\r').unwrap_or(line)
}

/// Splits a record, line end taken off, into at most `most` cells: `spans` tells where each
/// one stands in the text that comes back, which is the record itself or `unquoted`.
pub fn split<'t>(
    record: &'t str,
    delimiter: u8,
    most: usize,
    unquoted: &'t mut String,
    spans: &mut Vec<(usize, usize)>,
) -> &'t str {
    spans.clear();
    if memchr(b'"', record.as_bytes()).is_some() {
        return split_quoted(record, delimiter, most, unquoted, spans);
    }
    let mut begin = 0;
    for place in memchr_iter(delimiter, record.as_bytes()).take(most) {
        spans.push((begin, place));
        begin = place + 1;
    }
    if spans.len() < most {
        spans.push((begin, record.len()));
    }
    record
}

fn split_quoted<'t>(
    record: &str,
    delimiter: u8,
    most: usize,
    unquoted: &'t mut String,
    spans: &mut Vec<(usize, usize)>,
) -> &'t str {
    unquoted.clear();
    let mut quotes = Quotes::new(delimiter);
    let mut begin = 0;
    for letter in record.chars() {
        // no letter outside ASCII means anything
        let byte = u8::try_from(letter).ok().filter(u8::is_ascii);
        let step = quotes.step(byte.unwrap_or(b'a'));
        match step {
            Step::Content | Step::End => unquoted.push(letter),
            Step::Quote => {}
            Step::Delimiter if spans.len() < most => {
                spans.push((begin, unquoted.len()));
                begin = unquoted.len();
            }
            Step::Delimiter => {}
        }
    }
    if spans.len() < most {
        spans.push((begin, unquoted.len()));
    }
    unquoted
}

#[cfg(test)]
mod tests {
    use super::{end, split, trimmed};
    use proptest::prelude::{prop_assert_eq, proptest};

    fn cells(record: &str) -> Vec<String> {
        let (mut unquoted, mut spans) = (String::new(), Vec::new());
        let text = split(trimmed(record), b',', 99, &mut unquoted, &mut spans);
        spans.iter().map(|(b, e)| text[*b..*e].to_owned()).collect()
    }

    fn records(text: &str) -> Vec<Vec<String>> {
        let mut rest = text;
        let mut records = Vec::new();
        while let Some(end) = end(rest.as_bytes(), Some(b',')) {
            records.push(cells(&rest[..end]));
            rest = &rest[end..];
        }
        assert_eq!(rest, "", "of {text:?}");
        records
    }

    /// RFC 4180 section 2, the examples of rules 1, 5, 6 and 7.
    #[test]
    fn the_records_of_the_standard_are_read_as_it_says() {
        assert_eq!(records("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n").len(), 2);
        assert_eq!(cells("\"aaa\",\"bbb\",\"ccc\"\r\n"), ["aaa", "bbb", "ccc"]);
        let read = records("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n");
        assert_eq!(read[0], ["aaa", "b\r\nbb", "ccc"]);
        assert_eq!(read[1], ["zzz", "yyy", "xxx"]);
        assert_eq!(
            cells("\"aaa\",\"b\"\"bb\",\"ccc\"\n"),
            ["aaa", "b\"bb", "ccc"]
        );
    }

    #[test]
    fn a_quote_inside_a_cell_is_a_letter_and_an_open_one_has_no_end() {
        assert_eq!(cells("5\" wide,x\n"), ["5\" wide", "x"]);
        assert_eq!(end(b"\"open,1\n2,3\n", Some(b',')), None);
        assert_eq!(end(b"\"open,1\n2,3\n", None), Some(8));
        assert_eq!(cells(",\n"), ["", ""]);
    }

    proptest! {
        /// The csv crate, another implementation of RFC 4180, as reference.
        #[test]
        fn whatever_another_writer_writes_is_read_back(
            table in proptest::collection::vec(proptest::collection::vec("[a\",\r\né ]{0,6}", 2), 1..6)
        ) {
            let mut writer = ::csv::Writer::from_writer(Vec::new());
            for row in &table {
                writer.write_record(row).unwrap();
            }
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            prop_assert_eq!(records(&text), table);
        }
    }
}
