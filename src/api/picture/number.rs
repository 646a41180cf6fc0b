//! Numbers as they stand in a picture.

use std::fmt::Write;

/// Appends a length or a coordinate, rounded to hundredths, without trailing zeros.
pub(crate) fn push(out: &mut String, value: f64) {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a picture is some thousand units wide; what is beyond saturates"
    )]
    let hundredths = libm::round(value * 100.0) as i64;
    if hundredths < 0 {
        out.push('-');
    }
    let size = hundredths.unsigned_abs();
    let (whole, part) = (size / 100, size % 100);
    // writing to a String does not fail
    let _ = match part {
        0 => write!(out, "{whole}"),
        part if part % 10 == 0 => write!(out, "{whole}.{}", part / 10),
        part => write!(out, "{whole}.{part:02}"),
    };
}

/// A number for people: so many decimals, and a minus sign that is as wide as a plus.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(size) if size.bytes().all(|byte| matches!(byte, b'0' | b'.')) => size.to_owned(),
        Some(size) => format!("\u{2212}{size}"),
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::{fixed, push};

    #[test]
    fn coordinates_are_short() {
        for (value, expected) in [
            (0.0, "0"),
            (-0.001, "0"),
            (1.5, "1.5"),
            (-2.05, "-2.05"),
            (100.999, "101"),
            (0.05, "0.05"),
        ] {
            let mut out = String::new();
            push(&mut out, value);
            assert_eq!(out, expected, "{value}");
        }
    }

    #[test]
    fn nothing_has_no_sign() {
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(fixed(-2.0, 0), "\u{2212}2");
        assert_eq!(fixed(18.25, 1), "18.2");
    }
}
