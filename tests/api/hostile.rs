//! What a hostile or broken caller can send: each row gets its one response, and nobody after
//! it notices. Raw sockets, since a client library would mend the input.

mod row;
// a table reads best with one row a line
#[rustfmt::skip]
mod rows;
mod wire;

use std::sync::Mutex;
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::support::Service;
use row::{Afterwards, Expected, REFERENCE, Row, line, post};
use wire::{Connection, Response};

/// Everything that is wrong is collected, so that one run shows all rows.
#[derive(Default)]
struct Findings(Mutex<Vec<String>>);

impl Findings {
    fn check(&self, is_right: bool, row: &Row, what: impl FnOnce() -> String) {
        if !is_right {
            let text = format!("{}: {}", row.name, what());
            self.0.lock().expect("no panic while it is held").push(text);
        }
    }

    fn report(self) {
        let found = self.0.into_inner().expect("no panic while it is held");
        assert!(found.is_empty(), "\n{}", found.join("\n"));
    }
}

/// The reference calculation on a connection of its own.
fn reference(address: &str) -> Response {
    let mut connection = Connection::open(address);
    connection.send(&post(REFERENCE));
    connection.response().expect("the reference answer")
}

fn check_response(row: &Row, response: Option<&Response>, good: &[u8], findings: &Findings) {
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

/// A problem document as every one is: media type, code, and the id of its header.
fn is_problem(response: &Response, status: u16, code: &str) -> bool {
    let body = response.json();
    response.status == status
        && body["status"] == status
        && body["code"] == code
        && response.header("content-type") == Some("application/problem+json")
        && response.header("x-request-id") == body["request_id"].as_str()
}

/// Sends a row, and holds the response and the connection to what the row says.
fn play(address: &str, row: &Row, good: &[u8], findings: &Findings) {
    let mut connection = Connection::open(address);
    connection.send(&row.bytes);
    if row.afterwards == Afterwards::HalfClosed {
        connection.finish();
    }
    let response = connection.response();
    check_response(row, response.as_ref(), good, findings);
    findings.check(!connection.has_hung, row, || "it hung".to_owned());
    if response.is_none() {
        return;
    }
    if row.afterwards == Afterwards::Stays {
        connection.send(&post(REFERENCE));
        let next = connection.response();
        let is_reference = next.as_ref().is_some_and(|r| r.body == good);
        findings.check(is_reference, row, || {
            format!("the next request got {next:?}")
        });
        connection.finish();
    }
    let extra = connection.response();
    findings.check(extra.is_none(), row, || {
        format!("one response too many: {extra:?}")
    });
    findings.check(!connection.has_hung, row, || {
        "the connection hung".to_owned()
    });
    let rest = connection.rest();
    findings.check(rest.is_empty(), row, || {
        format!("bytes after the response: {rest:?}")
    });
}

/// The invariant after every row; answers how long the service took to say that it lives.
fn check_alive(service: &mut Service, row: &Row, good: &[u8], findings: &Findings) -> Duration {
    findings.check(service.is_alive(), row, || {
        "the process has ended".to_owned()
    });
    let started = Instant::now();
    let mut connection = Connection::open(service.address());
    connection.send(&line("GET /livez HTTP/1.1"));
    let live = connection.response();
    let took = started.elapsed();
    let is_live = live.is_some_and(|r| r.status == 200 && r.body == b"ok");
    findings.check(is_live, row, || "/livez does not answer".to_owned());
    let is_same = reference(service.address()).body == good;
    findings.check(is_same, row, || {
        "the reference answer has changed".to_owned()
    });
    took
}

fn play_all(rows: &[Row]) {
    let mut service = Service::start(&["--body-deadline", "1"]);
    let good = reference(service.address()).body;
    assert!(good.starts_with(b"{\"dose_g\":18.3"), "{good:?}");
    let findings = Findings::default();
    let mut times: Vec<_> = rows
        .iter()
        .map(|row| {
            play(service.address(), row, &good, &findings);
            check_alive(&mut service, row, &good, &findings)
        })
        .collect();
    check_log(&service, rows.len());
    findings.report();
    // the middle one, since a busy machine can delay any single one
    times.sort_unstable();
    let middle = times[times.len() / 2];
    assert!(
        middle < Duration::from_millis(100),
        "/livez took {middle:?}"
    );
}

/// Whatever was sent, every line of the log is one JSON object, and no text of the caller's
/// has made a line of its own.
fn check_log(service: &Service, rows: usize) {
    let started = Instant::now();
    let is_access = |line: &&String| line.contains("\"target\":\"access\"");
    let lines = loop {
        let lines = service.log();
        // each row is followed by two requests at least
        let is_complete = lines.iter().filter(is_access).count() >= 2 * rows;
        if is_complete || started.elapsed() > Duration::from_secs(10) {
            break lines;
        }
        std::thread::yield_now();
    };
    assert!(
        lines.iter().filter(is_access).count() >= 2 * rows,
        "lines are missing"
    );
    for line in &lines {
        let parsed: Value = serde_json::from_str(line).unwrap_or_else(|e| panic!("{e}: {line:?}"));
        assert_ne!(parsed["level"], "ERROR", "{line}");
        assert!(!line.contains('\u{1b}'), "{line:?}");
    }
}

#[test]
fn hostile_bodies_are_refused_and_change_nothing() {
    play_all(&rows::bodies());
}

#[test]
fn hostile_media_types_codings_and_sizes_are_refused_and_change_nothing() {
    play_all(&rows::wrappings());
}

#[test]
fn hostile_heads_are_refused_and_change_nothing() {
    play_all(&rows::heads());
}

#[test]
fn hostile_queries_and_wishes_are_refused_and_change_nothing() {
    play_all(&rows::queries());
}

#[test]
fn a_request_with_two_possible_ends_gets_one_response_and_no_connection() {
    play_all(&rows::framings());
}

#[test]
fn a_body_that_is_a_request_is_not_taken_for_one() {
    play_all(&rows::leftovers());
}

#[test]
fn a_sender_that_stops_half_way_is_given_up() {
    play_all(&rows::endings());
}

/// All at once, since each of them waits for a deadline.
#[test]
fn a_sender_that_lets_the_service_wait_is_given_up() {
    let mut service = Service::start(&["--body-deadline", "1"]);
    let good = reference(service.address()).body;
    let rows = rows::slownesses();
    let findings = Findings::default();
    std::thread::scope(|scope| {
        for row in &rows {
            scope.spawn(|| play(service.address(), row, &good, &findings));
        }
    });
    for row in &rows {
        check_alive(&mut service, row, &good, &findings);
    }
    findings.report();
}
