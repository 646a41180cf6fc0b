//! What a hostile or broken caller can send: each row gets its one response, and nobody after
//! it notices. Raw sockets, since a client library would mend the input.

// a table reads best with one row a line
#[rustfmt::skip]
mod bulk;
#[rustfmt::skip]
mod guards;
mod row;
#[rustfmt::skip]
mod rows;
mod verdict;
mod wire;

use std::time::{Duration, Instant};

use serde_json::Value;

use crate::keys::{File, OF_ABC};
use crate::support::Service;
use row::{Afterwards, REFERENCE, Row, line, post, with_header};
use verdict::{Findings, check_response, is_problem};
use wire::{Connection, Response};

/// A service, and the request that it must answer alike before and after everything.
struct Subject {
    service: Service,
    reference: Vec<u8>,
    good: Vec<u8>,
}

impl Subject {
    fn start(arguments: &[&str], reference: Vec<u8>) -> Self {
        let service = Service::start(arguments);
        let good = exchange(service.address(), &reference).body;
        assert!(good.starts_with(b"{\"dose_g\":18.3"), "{good:?}");
        Self {
            service,
            reference,
            good,
        }
    }

    fn address(&self) -> &str {
        self.service.address()
    }
}

/// What a request on a connection of its own is answered.
fn exchange(address: &str, request: &[u8]) -> Response {
    let mut connection = Connection::open(address);
    connection.send(request);
    connection.response().expect("a response")
}

/// Sends a row, and holds the response and the connection to what the row says.
fn play(subject: &Subject, row: &Row, findings: &Findings) {
    let good = &subject.good;
    let mut connection = Connection::open(subject.address());
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
        connection.send(&subject.reference);
        let next = connection.response();
        let is_reference = next.as_ref().is_some_and(|r| r.body == *good);
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
fn check_alive(subject: &mut Subject, row: &Row, findings: &Findings) -> Duration {
    findings.check(subject.service.is_alive(), row, || {
        "the process has ended".to_owned()
    });
    let started = Instant::now();
    let live = exchange(subject.address(), &line("GET /livez HTTP/1.1"));
    let took = started.elapsed();
    let is_live = live.status == 200 && live.body == b"ok";
    findings.check(is_live, row, || "/livez does not answer".to_owned());
    let is_same = exchange(subject.address(), &subject.reference).body == subject.good;
    findings.check(is_same, row, || {
        "the reference answer has changed".to_owned()
    });
    took
}

fn play_all(rows: &[Row]) {
    let subject = Subject::start(&["--body-deadline", "1"], post(REFERENCE));
    play_all_on(subject, rows);
}

fn play_all_on(mut subject: Subject, rows: &[Row]) {
    let findings = Findings::default();
    let mut times: Vec<_> = rows
        .iter()
        .map(|row| {
            play(&subject, row, &findings);
            check_alive(&mut subject, row, &findings)
        })
        .collect();
    check_log(&subject.service, rows.len());
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

/// In little time: whatever is announced, no more is inflated than a body may have.
#[test]
fn a_body_that_grows_without_measure_is_refused_at_its_limit() {
    let started = Instant::now();
    let rows = bulk::bombs();
    let made = started.elapsed();
    play_all(&rows);
    let took = started.elapsed().checked_sub(made).unwrap_or_default();
    // a debug build with half a second a row; to inflate them all takes it minutes
    let most = Duration::from_millis(500) * u32::try_from(rows.len()).expect("few rows");
    assert!(took < most, "{took:?}");
}

#[test]
fn hostile_tables_and_lines_spoil_their_own_row_only() {
    play_all(&[bulk::tables(), bulk::lines()].concat());
}

#[test]
fn hostile_calls_of_a_batch_spoil_nothing_else() {
    play_all(&bulk::batches());
}

#[test]
fn addresses_and_heads_that_are_too_long_are_refused() {
    play_all(&guards::lengths());
}

#[test]
fn pages_of_strange_origins_read_nothing_and_known_ones_read_refusals_too() {
    let arguments = [
        "--body-deadline",
        "1",
        "--cors-origins",
        "https://till.example",
    ];
    let subject = Subject::start(&arguments, post(REFERENCE));
    play_all_on(subject, &guards::origins());
}

#[test]
fn hostile_keys_open_nothing() {
    let file = File::new("hostile", &format!("lab:{OF_ABC}"));
    let arguments = ["--body-deadline", "1", "--keys-file", file.path()];
    let subject = Subject::start(&arguments, with_header("authorization: Bearer abc"));
    play_all_on(subject, &guards::keys());
}

/// Sixty calls at once from one address, where it may make five and one more each second.
#[test]
fn a_flood_from_one_address_is_refused_and_another_one_served() {
    let slow = ["--rate-per-second", "1", "--rate-burst", "5"];
    let arguments = [&slow[..], &["--trusted-proxies", "127.0.0.0/8"]].concat();
    let from = |address: &str| with_header(&format!("x-forwarded-for: {address}"));
    let subject = Subject::start(&arguments, from("198.51.100.2"));
    let mut connection = Connection::open(subject.address());
    // the origin of a page, so that it can be seen that the page may read the refusal
    let one = with_header("x-forwarded-for: 198.51.100.1\r\norigin: https://till.example");
    connection.send(&one.repeat(60));
    connection.finish();
    let responses: Vec<_> = std::iter::from_fn(|| connection.response()).collect();
    let refused = responses.iter().find(|r| r.status == 429);
    let refused = refused.expect("a refusal");
    assert!(is_problem(refused, 429, "quota_exceeded"), "{refused:?}");
    assert_eq!(refused.header("access-control-allow-origin"), Some("*"));
    assert!(refused.header("retry-after").is_some(), "{refused:?}");
    let other = exchange(subject.address(), &subject.reference);
    assert_eq!(other.body, subject.good);
    let live = exchange(subject.address(), &line("GET /livez HTTP/1.1"));
    assert_eq!(live.status, 200);
}

/// All at once, since each of them waits for a deadline.
#[test]
fn a_sender_that_lets_the_service_wait_is_given_up() {
    let mut subject = Subject::start(&["--body-deadline", "1"], post(REFERENCE));
    let rows = rows::slownesses();
    let findings = Findings::default();
    std::thread::scope(|scope| {
        for row in &rows {
            let subject = &subject;
            let findings = &findings;
            scope.spawn(move || play(subject, row, findings));
        }
    });
    for row in &rows {
        check_alive(&mut subject, row, &findings);
    }
    findings.report();
}
