//! A number as it stands in a query or a cell.

/// What marks the decimals of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Decimal {
    /// A point: `1.5`.
    #[default]
    Point,
    /// A comma: `1,5`; a point is then refused, since it may mark thousands.
    Comma,
}

/// Why a text is not a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NotANumber {
    /// It is a word of another kind.
    Word,
    /// It says NaN or infinity, or is too large for a double.
    NotFinite,
}

/// Longest number with a decimal comma that is read; a double needs at most 25 characters.
const LONGEST: usize = 400;

/// The finite number that a text stands for: digits, sign, decimals and exponent as in JSON,
/// with blanks around it ignored; the zero before the point may be missing, a plus may not
/// lead.
pub(super) fn number(text: &str, decimal: Decimal) -> Result<f64, NotANumber> {
    let text = text.trim_ascii();
    match decimal {
        Decimal::Point => with_point(text),
        Decimal::Comma => with_comma(text),
    }
}

fn with_point(text: &str) -> Result<f64, NotANumber> {
    let is_plain =
        |byte: &u8| byte.is_ascii_digit() || matches!(byte, b'.' | b'-' | b'+' | b'e' | b'E');
    if !text.as_bytes().iter().all(is_plain) || text.starts_with('+') {
        return Err(if names_no_number(text) {
            NotANumber::NotFinite
        } else {
            NotANumber::Word
        });
    }
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        Ok(_) => Err(NotANumber::NotFinite),
        Err(_) => Err(NotANumber::Word),
    }
}

fn with_comma(text: &str) -> Result<f64, NotANumber> {
    let mut pointed = [0; LONGEST];
    let is_read = text.len() <= LONGEST && !text.contains('.');
    let Some(pointed) = pointed.get_mut(..text.len()).filter(|_| is_read) else {
        return Err(NotANumber::Word);
    };
    for (to, from) in pointed.iter_mut().zip(text.bytes()) {
        *to = if from == b',' { b'.' } else { from };
    }
    match std::str::from_utf8(pointed) {
        Ok(pointed) => with_point(pointed),
        Err(_) => Err(NotANumber::Word),
    }
}

fn names_no_number(text: &str) -> bool {
    let word = text.strip_prefix(['+', '-']).unwrap_or(text);
    ["nan", "inf", "infinity"]
        .iter()
        .any(|name| word.eq_ignore_ascii_case(name))
}

#[cfg(test)]
mod tests {
    use super::{Decimal, NotANumber, number};
    use proptest::prelude::{any, prop_assert, prop_assert_eq, proptest};

    #[test]
    fn only_plain_decimal_numbers_are_numbers() {
        for (text, value) in [("18", 18.0), (" -0.5 ", -0.5), ("1e3", 1000.0), (".5", 0.5)] {
            let read = number(text, Decimal::Point).unwrap();
            assert_eq!(read.to_bits(), f64::to_bits(value), "{text}");
        }
        for text in [
            "", "+1", "0x10", "1_000", "1,5", "1 8", "--1", "e", "1e", "a",
        ] {
            assert_eq!(
                number(text, Decimal::Point),
                Err(NotANumber::Word),
                "{text}"
            );
        }
        for text in ["NaN", "-nan", "inf", "+INF", "-Infinity", "1e999", "-1e999"] {
            let read = number(text, Decimal::Point);
            assert_eq!(read, Err(NotANumber::NotFinite), "{text}");
        }
    }

    #[test]
    fn with_decimal_commas_a_point_is_refused_rather_than_guessed() {
        let read = number("-1,5e3", Decimal::Comma).unwrap();
        assert_eq!(read.to_bits(), f64::to_bits(-1500.0));
        for text in ["1.500", "1.500,5", "1,2,3", &"1".repeat(500)] {
            let read = number(text, Decimal::Comma);
            assert_eq!(read, Err(NotANumber::Word), "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_reads_as_nan_or_infinity(text in ".{0,12}|[-+0-9.,eEinfaNty]{0,12}") {
            for decimal in [Decimal::Point, Decimal::Comma] {
                prop_assert!(number(&text, decimal).map_or(true, f64::is_finite), "{text}");
            }
        }

        #[test]
        fn every_finite_double_comes_back_bit_for_bit(value in any::<f64>()) {
            if value.is_finite() {
                let text = value.to_string();
                let read = number(&text, Decimal::Point).unwrap();
                prop_assert_eq!(read.to_bits(), value.to_bits());
                let read = number(&text.replace('.', ","), Decimal::Comma).unwrap();
                prop_assert_eq!(read.to_bits(), value.to_bits());
            }
        }
    }
}
