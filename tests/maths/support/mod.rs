//! Comparison with values as they are printed, and reading of the tables in `tests/data`.

use std::path::PathBuf;

/// Half a unit in the last printed digit of a number written in decimal notation.
///
/// `"0.353658941e-2"` allows 0.5e-11; `"16"` allows 0.5.
pub(crate) fn half_last_digit(printed: &str) -> f64 {
    let (mantissa, exponent) = match printed.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, exponent.parse::<i32>().expect("an exponent")),
        None => (printed, 0),
    };
    let decimals = mantissa.split_once('.').map_or(0, |(_, digits)| {
        i32::try_from(digits.len()).expect("few digits")
    });
    0.5 * 10f64.powi(exponent - decimals)
}

/// Asserts that a computed value rounds to the value as printed in a source.
///
/// # Panics
/// When it does not; the message shows both and the tolerance.
#[track_caller]
pub(crate) fn published(computed: f64, printed: &str, unit: &str) {
    let expected: f64 = printed.parse().expect("a printed number");
    // a little slack lets a value that lies exactly on the half digit pass
    let allowed = half_last_digit(printed) * (1.0 + 1e-9) + expected.abs() * 1e-15;
    assert!(
        (computed - expected).abs() <= allowed,
        "computed {computed} {unit}, published {printed} {unit}, allowed ±{allowed}"
    );
}

/// Asserts that two numbers agree to a relative tolerance (absolute where the expected is 0).
///
/// # Panics
/// When they do not.
#[track_caller]
pub(crate) fn relative(computed: f64, expected: f64, tolerance: f64, what: &str) {
    let scale = if expected == 0.0 { 1.0 } else { expected.abs() };
    assert!(
        (computed - expected).abs() <= tolerance * scale,
        "{what}: computed {computed}, expected {expected}, relative tolerance {tolerance}"
    );
}

/// The rows of a table in `tests/data`, header read, as string records.
pub(crate) fn table(name: &str) -> Vec<std::collections::HashMap<String, String>> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name);
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|e| panic!("{path:?}: {e}"));
    let rows: Vec<_> = reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    rows
}

/// A row of a table, by the names in its header.
pub(crate) type Row = std::collections::HashMap<String, String>;

/// The rows of a table whose column `kind` holds this word.
pub(crate) fn rows_of_kind(name: &str, kind: &str) -> Vec<Row> {
    let mut rows = table(name);
    rows.retain(|row| row["kind"] == kind);
    assert!(!rows.is_empty(), "{name} has no rows of kind {kind}");
    rows
}

/// The number in a column of a row.
#[track_caller]
pub(crate) fn cell(row: &Row, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|e| panic!("{column} of {row:?}: {e}"))
}
