//! Any bytes as lines for any flat calculation: one line of JSON back for each that is not blank.
#![no_main]

use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::registry;
use extraction_maths::api::rows::dialect::Dialect;
use extraction_maths::api::rows::{Form, Lines, Rows};
use extraction_maths::api::wanted::Wanted;
use libfuzzer_sys::{Corpus, fuzz_target};

// the first line names the calculation, the rest are the lines
fuzz_target!(|data: &[u8]| -> Corpus {
    let Some(end) = data.iter().position(|byte| *byte == b'\n') else {
        return Corpus::Reject;
    };
    let entry = std::str::from_utf8(&data[..end])
        .ok()
        .and_then(registry::find);
    let Some(entry) = entry.filter(|entry| entry.is_flat()) else {
        return Corpus::Reject;
    };
    // the service closes the last line before it hands it on
    let block = [&data[end + 1..], b"\n"].concat();
    let answered = Lines::new(entry, None, Wanted::default()).rows(&block, "id", &UNCANCELLED);
    assert_eq!(answered.panics, 0);
    let text = std::str::from_utf8(&answered.text).expect("UTF-8");
    assert!(
        text.lines()
            .all(|line| line.starts_with('{') && line.ends_with('}'))
    );
    let is_blank = |line: &&[u8]| line.iter().all(u8::is_ascii_whitespace);
    let asked = block
        .split(|byte| *byte == b'\n')
        .filter(|line| !is_blank(line))
        .count();
    assert_eq!(text.lines().count(), asked);
    let table = Lines::new(
        entry,
        Some(Form::Csv(Dialect::SEMICOLONS)),
        Wanted::default(),
    );
    let answered = table.rows(&block, "id", &UNCANCELLED);
    assert_eq!(answered.panics, 0);
    assert!(std::str::from_utf8(&answered.text).is_ok());
    Corpus::Keep
});
