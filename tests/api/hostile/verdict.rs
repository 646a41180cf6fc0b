//! What is found wrong: a response held against its row.

use std::sync::Mutex;

use serde_json::Value;

use super::row::{Expected, Row};
use super::wire::Response;

/// Everything that is wrong is collected, so that one run shows all rows.
#[derive(Default)]
pub(crate) struct Findings(Mutex<Vec<String>>);

impl Findings {
    pub(crate) fn check(&self, is_right: bool, row: &Row, what: impl FnOnce() -> String) {
        if !is_right {
            let text = format!("{}: {}", row.name, what());
            self.0.lock().expect("no panic while it is held").push(text);
        }
    }

    pub(crate) fn report(self) {
        let found = self.0.into_inner().expect("no panic while it is held");
        assert!(found.is_empty(), "\n{}", found.join("\n"));
    }
}

pub(crate) fn check_response(
    row: &Row,
    response: Option<&Response>,
    good: &[u8],
    findings: &Findings,
) {
    let shown = || match response {
        None => "no response".to_owned(),
        Some(r) => {
            let start = &r.body[..r.body.len().min(400)];
            format!("{} {}", r.status, String::from_utf8_lossy(start))
        }
    };
    let is_right = match (row.expected, response) {
        (Expected::Nothing, response) => response.is_none(),
        (_, None) => false,
        (Expected::Answer, Some(r)) => r.status == 200 && r.body == good,
        (Expected::Holds(status, texts), Some(r)) => {
            r.status == status && holds(&String::from_utf8_lossy(&r.body), texts)
        }
        (Expected::Marked(status, name, value), Some(r)) => {
            r.status == status && r.header(name).unwrap_or_default() == value
        }
        (Expected::Bare(statuses), Some(r)) => statuses.contains(&r.status) && r.body.is_empty(),
        (Expected::Problem(status, code), Some(r)) => is_problem(r, status, code),
        (Expected::Fault(pointer, code), Some(r)) => {
            let errors = r.json()["errors"].as_array().cloned().unwrap_or_default();
            let is_named = |e: &Value| e["pointer"] == pointer && e["code"] == code;
            is_problem(r, 422, "validation_failed") && errors.iter().any(is_named)
        }
    };
    findings.check(is_right, row, || {
        format!("expected {:?}, got {}", row.expected, shown())
    });
}

/// Whether a body has all texts, each one after the one before.
fn holds(body: &str, texts: &[&str]) -> bool {
    let after = |rest: &'_ str, text: &&str| rest.find(*text).map(|at| at + text.len());
    let mut at = 0;
    texts.iter().all(|text| match after(&body[at..], text) {
        Some(end) => {
            at += end;
            true
        }
        None => false,
    })
}

/// A problem document as every one is: media type, code, and the id of its header.
pub(crate) fn is_problem(response: &Response, status: u16, code: &str) -> bool {
    let body = response.json();
    response.status == status
        && body["status"] == status
        && body["code"] == code
        && response.header("content-type") == Some("application/problem+json")
        && response.header("x-request-id") == body["request_id"].as_str()
}
