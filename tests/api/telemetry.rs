//! What the operator sees: series that no caller can add to, results that are no numbers, the
//! span of a request, and lines that stay lines.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

use reqwest::Method;
use serde_json::Value;

use crate::support::Service;
use crate::support::served::{metric, post_json, send, serve};
use crate::support::standin::REGISTRY;

/// How many series there are.
async fn series(base: &str) -> usize {
    let url = format!("{base}/metrics");
    let text = send(Method::GET, &url, &[], "").await.text;
    text.lines().filter(|line| !line.starts_with('#')).count()
}

/// Sends requests at once and reads until each has its answer.
fn pipelined(stream: &mut TcpStream, requests: &[String]) {
    stream
        .write_all(requests.concat().as_bytes())
        .expect("sent");
    let mut text = String::new();
    let mut buffer = [0; 65536];
    while text.matches("HTTP/1.1 404").count() < requests.len() {
        let length = stream.read(&mut buffer).expect("answers in time");
        assert!(length > 0, "the connection was ended: {text}");
        text.push_str(&String::from_utf8_lossy(&buffer[..length]));
    }
}

/// Paths that nothing answers, no two alike.
fn scan(count: usize) -> Vec<String> {
    const BELOW: [&str; 6] = ["", "v1/", "problems/", "docs/", "v1/ratio/", "v1/charts/"];
    let mut state = 1_u64;
    (0..count)
        .map(|place| {
            // multiplier and increment of a common linear congruential generator
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            let below = BELOW[place % BELOW.len()];
            format!("GET /{below}{state:x} HTTP/1.1\r\nhost: a\r\n\r\n")
        })
        .collect()
}

#[actix_web::test]
async fn a_scan_of_ten_thousand_paths_adds_no_series() {
    let base = serve(&["--log", "error"], &REGISTRY);
    let address = base.trim_start_matches("http://");
    let mut stream = TcpStream::connect(address).expect("a connection");
    let limit = Some(Duration::from_secs(20));
    stream.set_read_timeout(limit).expect("a limit");
    let requests = scan(10_100);
    let (first, rest) = requests.split_at(100);
    pipelined(&mut stream, first);
    series(&base).await;
    let before = series(&base).await;
    for some in rest.chunks(100) {
        pipelined(&mut stream, some);
    }
    assert_eq!(series(&base).await, before);
    let unmatched = r#"http_server_request_duration_seconds_count{http_request_method="GET",http_response_status_code="404",http_route="unmatched""#;
    assert!(metric(&base, unmatched).await > 6000.0);
}

#[actix_web::test]
async fn a_request_is_active_once() {
    let base = serve(&[], &REGISTRY);
    // the one that asks
    let active = metric(&base, "http_server_active_requests").await;
    assert!((active - 1.0).abs() < 0.5, "{active}");
}

#[actix_web::test]
async fn results_that_are_no_finite_number_are_counted_however_they_were_asked_for() {
    let base = serve(&[], &REGISTRY);
    let request = r#"{"units":1,"misdeed":"not_finite"}"#;
    let counted = async || metric(&base, "non_finite_results_total").await;
    let is = |count: f64, wanted: f64| (count - wanted).abs() < 0.5;
    assert!(is(counted().await, 0.0));
    post_json(&format!("{base}/v1/light"), request)
        .await
        .assert_problem(500, "internal");
    assert!(is(counted().await, 1.0));
    let batch = format!(r#"{{"calls":[{{"calculation":"light","request":{request}}}]}}"#);
    let batch = post_json(&format!("{base}/v1/batch"), &batch).await;
    assert_eq!(batch.status, 200, "{}", batch.text);
    assert!(is(counted().await, 2.0));
    // heavy work goes another way, through the pool
    post_json(&format!("{base}/v1/heavy"), request)
        .await
        .assert_problem(500, "internal");
    assert!(is(counted().await, 3.0));
    let csv = [("content-type", "text/csv")];
    let rows = "units,misdeed\n1,not_finite\n1,\n1,not_finite\n";
    let rows = send(Method::POST, &format!("{base}/v1/light"), &csv, rows).await;
    assert_eq!(rows.status, 200, "{}", rows.text);
    assert!(is(counted().await, 5.0), "{}", rows.text);
}

/// Sends heads on one connection and reads until it is closed.
fn exchange(service: &Service, requests: &[&str]) -> String {
    let mut stream = TcpStream::connect(service.address()).expect("a connection");
    for request in requests {
        stream.write_all(request.as_bytes()).expect("sent");
    }
    let mut text = String::new();
    stream.read_to_string(&mut text).expect("answers");
    text
}

/// The lines logged once `count` of them are there.
fn lines(service: &Service, count: usize) -> Vec<String> {
    let begun = Instant::now();
    loop {
        let lines = service.log();
        if lines.len() >= count {
            return lines;
        }
        assert!(begun.elapsed() < Duration::from_secs(10), "{lines:?}");
        std::thread::yield_now();
    }
}

#[test]
fn a_root_span_names_the_request_and_the_trace() {
    let service = Service::start(&["--log", "request=debug"]);
    // the example of W3C Trace Context, section 3.2.4
    let traced = "GET /v1/nothing HTTP/1.1\r\nhost: a\r\nconnection: close\r\nx-request-id: till-7\r\n\
        traceparent: 00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01\r\n\r\n";
    exchange(&service, &[traced]);
    let lines = lines(&service, 1);
    let line: Value = serde_json::from_str(&lines[0]).expect("JSON");
    let span = &line["span"];
    assert_eq!(span["name"], "request", "{line}");
    assert_eq!(span["request_id"], "till-7");
    assert_eq!(span["trace_id"], "4bf92f3577b34da6a3ce929d0e0e4736");
    assert_eq!(span["http.route"], "unmatched");
    assert_eq!(line["status"], 404);
}

#[test]
fn no_text_of_a_caller_ends_a_line_or_colours_one() {
    let hostile = [
        "GET /%0a%1b%5b31m HTTP/1.1\r\nhost: a\r\nx-request-id: a\tb\r\n\r\n",
        "GET /a%0d%0a?b=%00 HTTP/1.1\r\nhost: a\r\nx-request-id: \"},{\"\r\ntraceparent: 00-\t-\r\n\r\n",
        "GET /v1/ratio?dose_g=%1b%0a HTTP/1.1\r\nhost: a\r\nuser-agent: \u{9b}31m\r\nconnection: close\r\n\r\n",
    ];
    for format in ["json", "text"] {
        let service = Service::start(&["--log-format", format, "--log", "debug"]);
        exchange(&service, &hostile);
        let is_access = |line: &&String| line.contains("access") && line.contains("404");
        let begun = Instant::now();
        while service.log().iter().filter(is_access).count() < 2 {
            assert!(begun.elapsed() < Duration::from_secs(10));
            std::thread::yield_now();
        }
        for line in service.log() {
            assert!(!line.contains(char::is_control), "{line:?}");
            let is_whole = match format {
                "json" => serde_json::from_str::<Value>(&line).is_ok(),
                _ => line.starts_with("20"),
            };
            assert!(is_whole, "{line:?}");
        }
    }
}

/// The drawing of pixels would tell the letters that its font has not, one line each.
#[test]
fn no_label_of_a_caller_is_logged() {
    let service = Service::start(&["--log", "info"]);
    let drawn = "HEAD /v1/charts/boiling-point?altitude_m=10&format=png&width=300&title=%E8%B1%86 HTTP/1.1\r\n\
        host: a\r\nconnection: close\r\n\r\n";
    let answer = exchange(&service, &[drawn]);
    assert!(answer.contains("image/png"), "{answer}");
    let begun = Instant::now();
    while !service.log().iter().any(|line| line.contains("access")) {
        assert!(begun.elapsed() < Duration::from_secs(10));
        std::thread::yield_now();
    }
    assert!(!service.log().concat().contains('\u{8c46}'));
}
