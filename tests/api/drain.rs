//! How the service ends: told by a signal, it says so, finishes what it has begun, and leaves
//! with success.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::process::Command;
use std::time::{Duration, Instant};

use crate::support::Service;

const BODY: &str = r#"{"dose_g":18,"brew_ratio":2}"#;

impl Service {
    fn signal(&self, name: &str) {
        let id = self.child.id().to_string();
        let sent = Command::new("kill").args([name, &id]).status();
        assert!(sent.expect("kill runs").success());
    }

    fn connection(&self) -> TcpStream {
        let stream = TcpStream::connect(self.address()).expect("a connection");
        let limit = Some(Duration::from_secs(20));
        stream.set_read_timeout(limit).expect("a limit");
        stream
    }

    fn readiness(&self) -> String {
        let mut stream = self.connection();
        let request = "GET /readyz HTTP/1.1\r\nhost: a\r\nconnection: close\r\n\r\n";
        stream.write_all(request.as_bytes()).expect("sent");
        rest(&mut stream)
    }
}

/// All that comes until the connection is closed.
fn rest(stream: &mut TcpStream) -> String {
    let mut text = String::new();
    stream.read_to_string(&mut text).expect("an answer");
    text
}

/// Asks again until it is so; a service that never gets there fails the test.
fn until(mut is_so: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !is_so() {
        assert!(begun.elapsed() < Duration::from_secs(20), "it never is");
        std::thread::yield_now();
    }
}

fn ends_well_on(name: &str) {
    let mut service = Service::start(&["--drain-wait", "1", "--grace", "15"]);
    assert!(service.readiness().starts_with("HTTP/1.1 200"));
    let mut begun = service.connection();
    let (head, tail) = BODY.split_at(10);
    let length = BODY.len();
    let request = format!(
        "POST /v1/ratio HTTP/1.1\r\nhost: a\r\ncontent-type: application/json\r\ncontent-length: {length}\r\n\r\n{head}"
    );
    begun.write_all(request.as_bytes()).expect("sent");
    // a connection that is idle must not hold up the end
    let mut idle = service.connection();
    idle.write_all(b"GET /livez HTTP/1.1\r\nhost: a\r\n\r\n")
        .expect("sent");
    let mut first = [0; 12];
    idle.read_exact(&mut first).expect("an answer");
    assert_eq!(&first, b"HTTP/1.1 200");

    service.signal(name);
    let mut answer = String::new();
    until(|| {
        answer = service.readiness();
        !answer.starts_with("HTTP/1.1 200")
    });
    assert!(answer.starts_with("HTTP/1.1 503"), "{answer}");
    assert!(answer.contains("\r\nretry-after: 1\r\n"), "{answer}");
    assert!(answer.contains(r#""code":"draining""#), "{answer}");
    // told again, it goes on ending as it did
    service.signal("-TERM");
    service.signal("-INT");
    until(|| TcpStream::connect(service.address()).is_err());
    begun.write_all(tail.as_bytes()).expect("still taken");
    let answer = rest(&mut begun);
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(answer.contains("\r\nconnection: close\r\n"), "{answer}");
    assert!(answer.contains(r#""beverage_mass_g":36.0"#), "{answer}");
    let ended = service.child.wait().expect("an end");
    assert!(ended.success(), "{ended}");
}

#[test]
fn a_terminated_service_finishes_what_it_has_begun() {
    ends_well_on("-TERM");
}

#[test]
fn an_interrupted_service_ends_as_a_terminated_one() {
    ends_well_on("-INT");
}

#[test]
fn a_request_that_never_ends_does_not_hold_the_service_beyond_its_grace() {
    let mut service = Service::start(&["--drain-wait", "0", "--grace", "1"]);
    let mut stalled = service.connection();
    let head = "POST /v1/ratio HTTP/1.1\r\nhost: a\r\ncontent-length: 100\r\n\r\n{";
    stalled.write_all(head.as_bytes()).expect("sent");
    assert!(service.readiness().starts_with("HTTP/1.1 200"));
    service.signal("-TERM");
    let ended = service.child.wait().expect("an end");
    assert!(ended.success(), "{ended}");
}
