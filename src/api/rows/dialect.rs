//! How CSV is written: RFC 4180, with either of the two habits of spreadsheets, and safe to
//! open in one.

use crate::api::decode::Decimal;

/// What stands between cells, and what marks decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dialect {
    /// Byte between two cells.
    pub delimiter: u8,
    /// Mark of the decimals.
    pub decimal: Decimal,
}

impl Dialect {
    /// Commas between cells, points in numbers.
    pub const COMMAS: Self = Self {
        delimiter: b',',
        decimal: Decimal::Point,
    };
    /// Semicolons between cells, commas in numbers.
    pub const SEMICOLONS: Self = Self {
        delimiter: b';',
        decimal: Decimal::Comma,
    };

    /// The dialect in which a header is written.
    #[must_use]
    pub fn of_header(header: &[u8]) -> Self {
        if header.contains(&b';') {
            Self::SEMICOLONS
        } else {
            Self::COMMAS
        }
    }

    /// Appends a number that is written with a point.
    pub(crate) fn push_number(self, number: &[u8], out: &mut Vec<u8>) {
        match self.decimal {
            Decimal::Point => out.extend_from_slice(number),
            Decimal::Comma => {
                let comma = |byte: &u8| if *byte == b'.' { b',' } else { *byte };
                out.extend(number.iter().map(comma));
            }
        }
    }

    /// Appends a text, quoted where it must be, and with an apostrophe before what a
    /// spreadsheet would take for a formula.
    pub(crate) fn push_text(self, text: &[u8], out: &mut Vec<u8>) {
        let is_formula = matches!(
            text,
            [b'=' | b'+' | b'-' | b'@' | b'\t' | b'\r' | b'\n', ..]
        );
        if !is_formula {
            return self.push_own(text, out);
        }
        out.extend_from_slice(b"\"'");
        push_inside(text, out);
        out.push(b'"');
    }

    /// Appends a text of our own that begins with a number, so that its sign is no formula;
    /// quoted where it must be.
    pub(crate) fn push_own(self, text: &[u8], out: &mut Vec<u8>) {
        let is_special =
            |byte: &u8| *byte == self.delimiter || matches!(byte, b'"' | b'\r' | b'\n');
        if !text.iter().any(is_special) {
            return out.extend_from_slice(text);
        }
        out.push(b'"');
        push_inside(text, out);
        out.push(b'"');
    }
}

/// Appends a text as it stands between quotes.
fn push_inside(text: &[u8], out: &mut Vec<u8>) {
    for part in text.split_inclusive(|byte| *byte == b'"') {
        out.extend_from_slice(part);
        if part.ends_with(b"\"") {
            out.push(b'"');
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Dialect;

    fn text(dialect: Dialect, text: &str) -> String {
        let mut out = Vec::new();
        dialect.push_text(text.as_bytes(), &mut out);
        String::from_utf8(out).unwrap()
    }

    /// RFC 4180 section 2, rules 5 to 7.
    #[test]
    fn what_needs_quotes_is_quoted_and_quotes_are_doubled() {
        assert_eq!(text(Dialect::COMMAS, "aaa"), "aaa");
        assert_eq!(text(Dialect::COMMAS, "b,bb"), "\"b,bb\"");
        assert_eq!(text(Dialect::COMMAS, "b\r\nbb"), "\"b\r\nbb\"");
        assert_eq!(text(Dialect::COMMAS, "b\"bb"), "\"b\"\"bb\"");
        assert_eq!(text(Dialect::SEMICOLONS, "b,b;b"), "\"b,b;b\"");
        assert_eq!(text(Dialect::SEMICOLONS, "b,b"), "b,b");
    }

    #[test]
    fn a_text_that_a_spreadsheet_would_run_is_made_harmless() {
        for start in ["=", "+", "-", "@", "\t", "\r", "\n"] {
            let written = text(Dialect::COMMAS, &format!("{start}SUM(A1)"));
            assert_eq!(written, format!("\"'{start}SUM(A1)\""));
        }
    }
}
