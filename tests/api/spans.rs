//! Spans that leave for a collector: by the protocol's own JSON, named by the conventions of
//! OpenTelemetry for HTTP servers (version 1.23 and later, stable).

use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::process::Command;
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use serde_json::Value;

use crate::support::Service;

/// The example of W3C Trace Context, section 3.2.4.
const TRACE: &str = "4bf92f3577b34da6a3ce929d0e0e4736";
const PARENT: &str = "00f067aa0ba902b7";

/// Takes what is sent to a collector; its address, and the bodies as they come.
fn collector() -> (String, Receiver<(String, Value)>) {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}", listener.local_addr().expect("an address"));
    let (sender, receiver) = channel();
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let taken = take(stream.expect("a connection"));
            if sender.send(taken).is_err() {
                return;
            }
        }
    });
    (address, receiver)
}

/// Reads one request and answers it; its first line and its body.
fn take(mut stream: TcpStream) -> (String, Value) {
    let mut text = Vec::new();
    let mut buffer = [0; 4096];
    loop {
        let length = stream.read(&mut buffer).expect("a request");
        assert!(length > 0, "the request ended early");
        text.extend_from_slice(&buffer[..length]);
        let seen = String::from_utf8_lossy(&text).into_owned();
        if let Some((head, body)) = seen.split_once("\r\n\r\n")
            && body.len() >= announced(head)
        {
            let answer = "HTTP/1.1 200 OK\r\ncontent-type: application/json\r\ncontent-length: 2\r\nconnection: close\r\n\r\n{}";
            stream.write_all(answer.as_bytes()).expect("answered");
            let line = head.lines().next().expect("a line").to_owned();
            return (line, serde_json::from_str(body).expect("JSON"));
        }
    }
}

fn announced(head: &str) -> usize {
    let mut lengths = head.lines().filter_map(|line| {
        let (name, value) = line.split_once(':')?;
        let is_length = name.eq_ignore_ascii_case("content-length");
        is_length.then(|| value.trim().parse().expect("a length"))
    });
    lengths.next().expect("a length")
}

/// Sends requests one after another, each on a connection of its own.
fn ask(service: &Service, requests: &[&str]) {
    for request in requests {
        let mut stream = TcpStream::connect(service.address()).expect("a connection");
        stream.write_all(request.as_bytes()).expect("sent");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("an answer");
        assert!(answer.starts_with("HTTP/1.1 "), "{answer}");
    }
}

/// Ends a service as an operator does, and waits until it is gone.
fn end(mut service: Service) {
    let id = service.child.id().to_string();
    let sent = Command::new("kill").args(["-TERM", &id]).status();
    assert!(sent.expect("kill runs").success());
    assert!(service.child.wait().expect("an end").success());
}

/// All spans in a body, with the resource that they are of.
fn spans(body: &Value) -> Vec<Value> {
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let scopes = list(&body["resourceSpans"]).into_iter();
    let scopes = scopes.flat_map(|resource| list(&resource["scopeSpans"]));
    scopes.flat_map(|scope| list(&scope["spans"])).collect()
}

/// An attribute as text; empty when there is none.
fn attribute(attributes: &Value, name: &str) -> String {
    let all = attributes.as_array().expect("attributes");
    let Some(pair) = all.iter().find(|pair| pair["key"] == name) else {
        return String::new();
    };
    // the protocol's JSON writes an integer as text, so that every reader keeps it whole
    let kinds = pair["value"].as_object().expect("a value");
    let value = kinds.values().next().expect("a value");
    value
        .as_str()
        .map_or_else(|| value.to_string(), str::to_owned)
}

const RATIO: &str = "POST /v1/ratio?display=true HTTP/1.1\r\nhost: a\r\nconnection: close\r\n\
    content-type: application/json\r\ncontent-length: 28\r\n\
    traceparent: 00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01\r\n\r\n\
    {\"dose_g\":18,\"brew_ratio\":2}";
const UNKNOWN: &str = "BREW /nothing HTTP/1.1\r\nhost: a\r\nconnection: close\r\n\r\n";
const UNSAMPLED: &str = "GET /livez HTTP/1.1\r\nhost: a\r\nconnection: close\r\n\
    traceparent: 00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-00\r\n\r\n";

#[test]
fn spans_reach_the_collector_before_the_service_ends() {
    let (address, bodies) = collector();
    let service = Service::start(&["--otlp-endpoint", &address, "--drain-wait", "0"]);
    ask(&service, &[RATIO, UNKNOWN, UNSAMPLED]);
    let log = std::sync::Arc::clone(service.lines());
    end(service);

    let (line, body) = bodies
        .recv_timeout(Duration::from_secs(20))
        .expect("spans in time");
    assert_eq!(line, "POST /v1/traces HTTP/1.1");
    let resource = &body["resourceSpans"][0]["resource"]["attributes"];
    assert_eq!(attribute(resource, "service.name"), "extraction-maths");
    let spans = spans(&body);
    // whoever called said that the third is not to be kept
    assert_eq!(spans.len(), 2, "{body}");

    let ratio = &spans[0];
    assert_eq!(ratio["name"], "POST /v1/ratio");
    assert_eq!(ratio["traceId"], TRACE);
    assert_eq!(ratio["parentSpanId"], PARENT);
    // SPAN_KIND_SERVER of the protocol
    assert_eq!(ratio["kind"], 2);
    assert_eq!(ratio["status"]["code"].as_u64().unwrap_or(0), 0, "{ratio}");
    for (name, value) in [
        ("http.request.method", "POST"),
        ("http.route", "/v1/ratio"),
        ("http.response.status_code", "200"),
        ("url.scheme", "http"),
        ("url.path", "/v1/ratio"),
    ] {
        assert_eq!(attribute(&ratio["attributes"], name), value, "{ratio}");
    }
    assert!(!body.to_string().contains("display"), "no query is sent");

    let unknown = &spans[1];
    assert_eq!(unknown["name"], "HTTP");
    let attributes = &unknown["attributes"];
    assert_eq!(attribute(attributes, "http.request.method"), "_OTHER");
    assert_eq!(attribute(attributes, "http.route"), "");
    assert_eq!(attribute(attributes, "problem.code"), "not_found");
    // its log line names the trace that the span began
    let trace = unknown["traceId"].as_str().expect("a trace");
    let log = log.lock().expect("no panic while it is held").join("\n");
    assert!(log.contains(trace), "{log}");
}

#[test]
fn a_collector_that_is_not_there_costs_no_answer() {
    // a port that was free a moment ago
    let free = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}", free.local_addr().expect("an address"));
    drop(free);
    let service = Service::start(&["--otlp-endpoint", &address, "--drain-wait", "0"]);
    ask(&service, &[RATIO, UNKNOWN]);
    end(service);
}

#[test]
fn an_address_that_is_none_is_refused_at_the_start() {
    for wrong in ["collector:4318", "https://127.0.0.1:4318", "http://"] {
        let run = Command::new(env!("CARGO_BIN_EXE_extraction-maths"))
            .args(["serve", "--listen", "127.0.0.1:0", "--otlp-endpoint", wrong])
            .output()
            .expect("the program starts");
        assert_eq!(run.status.code(), Some(2), "{wrong}");
        assert!(String::from_utf8_lossy(&run.stderr).contains("otlp-endpoint"));
    }
}
