//! Any bytes as the body of any calculation: an answer of JSON or a problem that is not ours.
#![no_main]

use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::registry;
use libfuzzer_sys::{Corpus, fuzz_target};

// the first line names the calculation, the rest is the body
fuzz_target!(|data: &[u8]| -> Corpus {
    let Some(end) = data.iter().position(|byte| *byte == b'\n') else {
        return Corpus::Reject;
    };
    let entry = std::str::from_utf8(&data[..end]).ok().and_then(registry::find);
    let Some(entry) = entry else {
        return Corpus::Reject;
    };
    let mut out = Vec::new();
    match entry.answer(&data[end + 1..], &UNCANCELLED, &mut out) {
        Ok(()) => assert!(out.starts_with(b"{") && out.ends_with(b"}")),
        Err(problem) => assert!(problem.code().status() < 500, "{problem}: {:?}", problem.private()),
    }
    Corpus::Keep
});
