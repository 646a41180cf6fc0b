//! Any bytes as `Accept` and `Accept-Encoding`: one of what is on offer, or a refusal.
#![no_main]

use actix_web::http::header::{ACCEPT, ACCEPT_ENCODING, HeaderMap, HeaderValue};
use extraction_maths::server::negotiate::{accepts_gzip, media_type};
use libfuzzer_sys::{Corpus, fuzz_target};

const OFFERS: [(&str, u8); 4] = [
    ("application/json", 0),
    ("text/csv", 1),
    ("application/x-ndjson", 2),
    ("text/plain", 3),
];

// each line is a header of its own, as a caller may send several
fuzz_target!(|data: &[u8]| -> Corpus {
    let mut headers = HeaderMap::new();
    for line in data.split(|byte| *byte == b'\n') {
        let Ok(value) = HeaderValue::from_bytes(line) else {
            return Corpus::Reject;
        };
        headers.append(ACCEPT, value.clone());
        headers.append(ACCEPT_ENCODING, value);
    }
    match media_type(&headers, &OFFERS) {
        Ok(offer) => assert!(offer < 4),
        Err(problem) => assert_eq!(problem.code().status(), 406),
    }
    let _ = accepts_gzip(&headers);
    Corpus::Keep
});
