//! The compute pool: faults stay inside a call, deadlines free the thread, overload is refused
//! at once and nobody else notices.

use std::io::Write;
use std::time::{Duration, Instant};

use crate::support::served::{await_metric, metric, post_json, send, serve};
use crate::support::standin::{BUDGET, REGISTRY};

/// Work without end, as far as any deadline is concerned.
const ENDLESS: &str = r#"{"units":900000000}"#;

fn one_permit() -> String {
    serve(&["--compute-permits", "1"], &REGISTRY)
}

#[tokio::test]
async fn a_panic_is_a_problem_and_the_pool_lives() {
    let base = one_permit();
    for path in ["heavy", "light"] {
        let url = format!("{base}/v1/{path}");
        for _ in 0..3 {
            let reply = post_json(&url, r#"{"units":1,"misdeed":"panic"}"#).await;
            reply.assert_problem(500, "internal");
            assert!(!reply.text.contains("secret"), "{}", reply.text);
        }
        let reply = post_json(&url, r#"{"units":1,"misdeed":"not_finite"}"#).await;
        reply.assert_problem(500, "internal");
        assert_eq!(post_json(&url, r#"{"units":1}"#).await.status, 200);
    }
    assert!((metric(&base, "panics_total").await - 6.0).abs() < 0.5);
    await_metric(&base, "compute_permits_in_use", 0.0).await;
}

#[tokio::test]
async fn a_deadline_ends_the_work_and_frees_the_thread() {
    let base = one_permit();
    let url = format!("{base}/v1/heavy");
    let reply = post_json(&url, ENDLESS).await;
    reply.assert_problem(503, "deadline_exceeded");
    assert!((1..=5).contains(&reply.retry_after()));
    assert_eq!(post_json(&url, r#"{"units":1}"#).await.status, 200);
    assert!(metric(&base, "shed_total{reason=\"deadline\"}").await > 0.5);
    let counted = metric(
        &base,
        "calculation_duration_seconds_count{calculation=\"heavy\"}",
    );
    assert!(counted.await > 1.5);
}

#[tokio::test]
async fn work_that_never_asks_is_answered_for_and_keeps_its_permit_until_it_ends() {
    let base = one_permit();
    let url = format!("{base}/v1/heavy");
    let reply = post_json(&url, r#"{"units":1,"misdeed":"deaf"}"#).await;
    reply.assert_problem(503, "deadline_exceeded");
    await_metric(&base, "compute_permits_in_use", 0.0).await;
    assert_eq!(post_json(&url, r#"{"units":1}"#).await.status, 200);
}

#[tokio::test]
async fn a_caller_that_hangs_up_is_not_worked_for() {
    let base = one_permit();
    let address = base.strip_prefix("http://").expect("a URL");
    let mut caller = std::net::TcpStream::connect(address).expect("a connection");
    let head = format!(
        "POST /v1/sweep HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\ncontent-length: {}\r\n\r\n",
        ENDLESS.len()
    );
    caller.write_all((head + ENDLESS).as_bytes()).expect("sent");
    await_metric(&base, "compute_permits_in_use", 1.0).await;
    let hung_up = Instant::now();
    drop(caller);
    await_metric(&base, "compute_permits_in_use", 0.0).await;
    // the deadline of a sweep is ten seconds
    assert!(hung_up.elapsed() < Duration::from_secs(6));
}

#[tokio::test]
async fn overload_is_refused_at_once_and_light_calls_do_not_notice() {
    let base = one_permit();
    let url = format!("{base}/v1/sweep");
    let holding = tokio::spawn({
        let url = url.clone();
        async move { post_json(&url, ENDLESS).await }
    });
    await_metric(&base, "compute_permits_in_use", 1.0).await;
    let calls: Vec<_> = (0..12)
        .map(|_| {
            let url = url.clone();
            tokio::spawn(async move { post_json(&url, ENDLESS).await })
        })
        .collect();
    let ratio = format!("{base}/v1/ratio");
    for _ in 0..20 {
        let started = Instant::now();
        let reply = post_json(&ratio, r#"{"dose_g":18,"brew_ratio":2}"#).await;
        assert_eq!(reply.status, 200);
        assert!(started.elapsed() < Duration::from_secs(2));
    }
    // neither what is wrong nor what costs too much needs a permit to be refused
    let reply = post_json(&url, r#"{"units":true}"#).await;
    reply.assert_problem(422, "validation_failed");
    let reply = post_json(&url, r#"{"units":2000000000}"#).await;
    reply.assert_problem(422, "work_too_large");
    let detail = reply.body["detail"].as_str().expect("a text");
    assert!(
        detail.contains("2000000000") && detail.contains(&BUDGET.to_string()),
        "{detail}"
    );
    for call in calls {
        let reply = call.await.expect("an answer");
        reply.assert_problem(503, "overloaded");
        assert!((1..=5).contains(&reply.retry_after()));
    }
    let full = metric(&base, "shed_total{reason=\"queue_full\"}").await;
    let waited = metric(&base, "shed_total{reason=\"queue_wait\"}").await;
    assert!((full + waited - 12.0).abs() < 0.5, "{full} {waited}");
    holding.abort();
    await_metric(&base, "compute_permits_in_use", 0.0).await;
}

/// Work that is heavy by its request takes a permit and a deadline in every form, and the light
/// requests of the same calculation none.
#[tokio::test]
async fn what_is_heavy_by_its_request_goes_to_the_pool_in_every_form() {
    let base = one_permit();
    let url = format!("{base}/v1/varying");
    let query = format!("{url}?units=900000000");
    let get = |url: String, accept: &'static str| async move {
        send(reqwest::Method::GET, &url, &[("accept", accept)], "").await
    };
    let late = "deadline_exceeded";
    post_json(&url, ENDLESS).await.assert_problem(503, late);
    for accept in ["application/json", "text/csv", "text/plain"] {
        let mut url = query.clone();
        if accept == "text/plain" {
            url += "&select=value";
        }
        get(url, accept).await.assert_problem(503, late);
    }
    let as_row = format!("{url}?format=csv");
    post_json(&as_row, ENDLESS).await.assert_problem(503, late);
    await_metric(&base, "compute_permits_in_use", 0.0).await;

    // while the permit is held, heavy requests are refused and light ones answered
    let sweep = format!("{base}/v1/sweep");
    let holding = tokio::spawn(async move { post_json(&sweep, ENDLESS).await });
    await_metric(&base, "compute_permits_in_use", 1.0).await;
    get(query.clone(), "application/json")
        .await
        .assert_problem(503, "overloaded");
    let batch = format!("{base}/v1/batch");
    let call = |units: u32| {
        let request = format!(r#"{{"units":{units}}}"#);
        format!(r#"{{"calls":[{{"id":"a","calculation":"varying","request":{request}}}]}}"#)
    };
    let heavy = post_json(&batch, &call(900_000_000)).await;
    heavy.assert_problem(503, "overloaded");
    assert_eq!(post_json(&batch, &call(1)).await.status, 200);
    assert_eq!(post_json(&url, r#"{"units":1}"#).await.status, 200);
    for accept in ["application/json", "text/csv"] {
        let light = get(format!("{url}?units=1"), accept).await;
        assert_eq!(light.status, 200, "{}", light.text);
    }
    holding.abort();
    await_metric(&base, "compute_permits_in_use", 0.0).await;
}

#[tokio::test]
async fn what_is_heavy_by_its_request_is_refused_by_rows_and_spoils_no_other_row() {
    let base = one_permit();
    let url = format!("{base}/v1/varying");
    let headers = [("content-type", "text/csv")];
    let table = "units\n1\n900000000\n2\n";
    let reply = send(reqwest::Method::POST, &url, &headers, table).await;
    assert_eq!(reply.status, 200);
    let told: Vec<bool> = reply
        .text
        .lines()
        .skip(1)
        .map(|row| row.contains("work_too_large"))
        .collect();
    assert_eq!(told, [false, true, false], "{}", reply.text);
}
