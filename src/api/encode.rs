//! Writing an answer as JSON in which no `null` can stand.

use std::io;

use serde::Serialize;

use super::problem::Problem;

/// Appends the JSON text of a value.
///
/// JSON writers turn NaN and infinities into `null` without a word. No answer of ours holds a
/// `null`, so the writer refuses to write one, which costs nothing where all is well.
///
/// # Errors
/// [`Problem::internal`] when the value holds a non-finite number or an absent value that was
/// not left out; `out` is then as it was.
pub fn json<T: Serialize + ?Sized>(value: &T, out: &mut Vec<u8>) -> Result<(), Problem> {
    let length = out.len();
    let mut writer = serde_json::Serializer::with_formatter(&mut *out, NoNull);
    value.serialize(&mut writer).map_err(|error| {
        out.truncate(length);
        Problem::internal(format!("answer not writable: {error}"))
    })
}

/// Compact JSON, but `null` is an error.
struct NoNull;

impl serde_json::ser::Formatter for NoNull {
    fn write_null<W: ?Sized + io::Write>(&mut self, _writer: &mut W) -> io::Result<()> {
        Err(io::Error::new(
            io::ErrorKind::InvalidData,
            "a null or non-finite number",
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::json;

    #[test]
    fn finite_numbers_are_written_with_full_precision() {
        let mut out = Vec::new();
        json(&[0.1 + 0.2, 18.0], &mut out).unwrap();
        assert_eq!(out, b"[0.30000000000000004,18.0]");
    }

    #[test]
    fn a_non_finite_number_is_our_fault_and_leaves_nothing_behind() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let mut out = b"kept".to_vec();
            let problem = json(&[1.0, value], &mut out).unwrap_err();
            assert_eq!(problem.code().status(), 500);
            assert_eq!(out, b"kept");
        }
    }
}
