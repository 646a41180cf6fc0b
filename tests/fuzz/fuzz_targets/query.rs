//! Any text as the query of any calculation: an answer of JSON or a problem that is not ours.
#![no_main]

use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::lookup::{Question, beside_body};
use extraction_maths::api::registry;
use libfuzzer_sys::{Corpus, fuzz_target};

// the first line names the calculation, the rest is the query
fuzz_target!(|data: &[u8]| -> Corpus {
    let text = std::str::from_utf8(data).ok();
    let Some((name, query)) = text.and_then(|text| text.split_once('\n')) else {
        return Corpus::Reject;
    };
    let Some(entry) = registry::find(name).filter(|entry| entry.is_flat()) else {
        return Corpus::Reject;
    };
    // beside a body the same text is read as well, and refused in the same cases
    let beside = beside_body(query).is_err();
    let question = Question::parse(query);
    assert_eq!(beside, question.is_err());
    let mut out = Vec::new();
    let came = question.and_then(|q| q.fields(|f| entry.answer_fields(f, &UNCANCELLED, &mut out)));
    match came {
        Ok(()) => assert!(out.starts_with(b"{") && out.ends_with(b"}")),
        Err(problem) => assert!(
            problem.code().status() < 500,
            "{problem}: {:?}",
            problem.private()
        ),
    }
    Corpus::Keep
});
