//! Any bytes as a table for any flat calculation: each answer is a record as wide as the header.
#![no_main]

use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::registry;
use extraction_maths::api::rows::dialect::Dialect;
use extraction_maths::api::rows::{Form, Rows, Table, record};
use extraction_maths::api::wanted::Wanted;
use libfuzzer_sys::{Corpus, fuzz_target};

/// More than any table here has.
const MOST_CELLS: usize = 10_000;

// the first line names the calculation, the second is the header, the rest are the rows
fuzz_target!(|data: &[u8]| -> Corpus {
    let Some((entry, table)) = named(data) else {
        return Corpus::Reject;
    };
    let delimiter = Dialect::of_header(table).delimiter;
    let end = record::end(table, Some(delimiter)).unwrap_or(table.len());
    let (header, rows) = table.split_at(end);
    for form in [None, Some(Form::Ndjson)] {
        match Table::open(entry, header, form, Wanted::default()) {
            Ok(table) => answer(&table, rows),
            Err(problem) => assert!(problem.code().status() < 500, "{problem}"),
        }
    }
    Corpus::Keep
});

fn named(data: &[u8]) -> Option<(&'static registry::Entry, &[u8])> {
    let end = data.iter().position(|byte| *byte == b'\n')?;
    let entry = registry::find(std::str::from_utf8(&data[..end]).ok()?)?;
    entry.is_flat().then_some((entry, &data[end + 1..]))
}

fn answer(table: &Table, rows: &[u8]) {
    let answered = table.rows(rows, "id", &UNCANCELLED);
    assert_eq!(answered.panics, 0);
    let text = std::str::from_utf8(&answered.text).expect("UTF-8");
    assert!(text.is_empty() || text.ends_with('\n'));
    match table.form() {
        Form::Ndjson => assert!(
            text.lines()
                .all(|line| line.starts_with('{') && line.ends_with('}'))
        ),
        Form::Csv(dialect) => {
            let head = String::from_utf8(table.head()).expect("UTF-8");
            let width = cells(&head, dialect);
            let mut rest = text;
            while let Some(end) = record::end(rest.as_bytes(), Some(dialect.delimiter)) {
                assert_eq!(
                    cells(&rest[..end], dialect),
                    width,
                    "{:?} under {head:?}",
                    &rest[..end]
                );
                rest = &rest[end..];
            }
            assert!(rest.is_empty(), "{rest:?}");
        }
    }
}

fn cells(line: &str, dialect: Dialect) -> usize {
    let (mut unquoted, mut spans) = (String::new(), Vec::new());
    record::split(
        record::trimmed(line),
        dialect.delimiter,
        MOST_CELLS,
        &mut unquoted,
        &mut spans,
    );
    spans.len()
}
