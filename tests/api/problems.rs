//! How the service fails: statuses, codes, headers, and that it goes on afterwards.

use extraction_maths::api::problem::{Fault, Problem, ProblemCode};
use extraction_maths::api::registry::REGISTRY;
use reqwest::Method;
use serde_json::Value;

use crate::support::{faults, post, shared};

struct Reply {
    status: u16,
    headers: reqwest::header::HeaderMap,
    body: Value,
}

async fn send(method: Method, path: &str, media_type: Option<&str>, body: &str) -> Reply {
    let client = reqwest::Client::builder()
        .no_proxy()
        .build()
        .expect("a client");
    let mut request = client
        .request(method, format!("{}{path}", shared()))
        .body(body.to_owned());
    if let Some(media_type) = media_type {
        request = request.header("content-type", media_type);
    }
    let response = request.send().await.expect("an answer");
    Reply {
        status: response.status().as_u16(),
        headers: response.headers().clone(),
        body: serde_json::from_slice(&response.bytes().await.expect("a body")).unwrap_or_default(),
    }
}

fn assert_problem(reply: &Reply, status: u16, code: &str) {
    assert_eq!(reply.status, status, "{}", reply.body);
    assert_eq!(reply.body["code"], code, "{}", reply.body);
    assert_eq!(reply.headers["content-type"], "application/problem+json");
    assert_eq!(reply.body["status"], status);
    assert_eq!(reply.body["type"], format!("/problems/{code}"));
    let id = reply.headers["x-request-id"].to_str().expect("ASCII");
    assert_eq!(reply.body["request_id"], id);
    assert_eq!(reply.body["instance"], format!("urn:request:{id}"));
}

const JSON: Option<&str> = Some("application/json");

#[tokio::test]
async fn every_way_to_send_something_wrong_has_its_status_and_code() {
    let post = Method::POST;
    for (body, status, code) in [
        ("", 400, "empty_body"),
        (" \n", 400, "empty_body"),
        ("{", 400, "malformed_json"),
        ("{\"dose_g\":18} x", 400, "malformed_json"),
        ("{\"dose_g\":NaN}", 400, "malformed_json"),
        ("{\"dose_g\":1e999}", 400, "malformed_json"),
        ("[18,36]", 422, "validation_failed"),
        ("null", 422, "validation_failed"),
        ("{\"dose_g\":\"18\"}", 422, "validation_failed"),
    ] {
        let reply = send(post.clone(), "/v1/ratio", JSON, body).await;
        assert_problem(&reply, status, code);
    }
    let good = r#"{"dose_g":18,"brew_ratio":2}"#;
    for media_type in [
        None,
        Some("text/plain"),
        Some("application/json; charset=utf-16"),
    ] {
        let reply = send(post.clone(), "/v1/ratio", media_type, good).await;
        assert_problem(&reply, 415, "unsupported_media_type");
    }
    let reply = send(
        post.clone(),
        "/v1/ratio",
        Some("Application/JSON; charset=\"UTF-8\""),
        good,
    )
    .await;
    assert_eq!(reply.status, 200);
    assert_problem(
        &send(post, "/v1/nothing", JSON, good).await,
        404,
        "not_found",
    );
}

#[tokio::test]
async fn a_wrong_method_is_told_which_methods_there_are() {
    for entry in REGISTRY {
        let reply = send(Method::DELETE, entry.path(), None, "").await;
        assert_problem(&reply, 405, "method_not_allowed");
        let allow = reply.headers["allow"].to_str().expect("ASCII");
        assert!(allow.contains("POST"), "{allow}");
    }
    let reply = send(Method::POST, "/livez", None, "").await;
    assert_problem(&reply, 405, "method_not_allowed");
    assert_eq!(reply.headers["allow"], "GET, HEAD");
}

#[tokio::test]
async fn a_body_over_the_limit_is_refused_and_the_next_request_answered() {
    let body = format!("{{\"dose_g\":{}1}}", " ".repeat(300 * 1024));
    let reply = send(Method::POST, "/v1/ratio", JSON, &body).await;
    assert_problem(&reply, 413, "body_too_large");
    let (status, _) = post("/v1/ratio", r#"{"dose_g":18,"brew_ratio":2}"#).await;
    assert_eq!(status, 200);
}

#[tokio::test]
async fn an_array_is_never_taken_for_an_object() {
    for entry in REGISTRY {
        let (status, problem) = post(entry.path(), "[18,36,9.5]").await;
        assert_eq!(status, 422, "{}", entry.name);
        assert_eq!(faults(&problem), [(String::new(), "wrong_type".to_owned())]);
    }
}

#[tokio::test]
async fn a_null_is_an_absent_field_and_a_duplicate_is_refused() {
    let (status, _) = post(
        "/v1/ratio",
        r#"{"dose_g":18,"brew_ratio":2,"water_mass_g":null}"#,
    )
    .await;
    assert_eq!(status, 200);
    let (status, problem) = post("/v1/ratio", r#"{"dose_g":18,"dose_g":18,"brew_ratio":2}"#).await;
    assert_eq!(status, 422);
    assert_eq!(
        faults(&problem),
        [("/dose_g".to_owned(), "duplicate_field".to_owned())]
    );
}

#[tokio::test]
async fn nesting_without_end_is_refused_where_it_stands() {
    let deep = format!(
        "{{\"unheard_of\":{}{}}}",
        "[".repeat(100_000),
        "]".repeat(100_000)
    );
    let (status, problem) = post("/v1/ratio", &deep).await;
    assert_eq!(status, 422);
    assert!(faults(&problem).contains(&("/unheard_of".to_owned(), "unknown_field".to_owned())));
    let deep = format!(
        "{{\"dose_g\":{}{}}}",
        "[".repeat(100_000),
        "]".repeat(100_000)
    );
    let (status, _) = post("/v1/ratio", &deep).await;
    assert!(status == 400 || status == 422, "{status}");
}

#[tokio::test]
async fn a_sane_request_id_is_kept_and_any_other_replaced() {
    let client = reqwest::Client::builder()
        .no_proxy()
        .build()
        .expect("a client");
    for (sent, is_kept) in [
        ("till-7_a.b", true),
        ("a b", false),
        (&"x".repeat(200), false),
    ] {
        let url = format!("{}/livez", shared());
        let response = client
            .get(url)
            .header("x-request-id", sent)
            .send()
            .await
            .expect("an answer");
        assert_eq!(
            response.headers()["x-request-id"] == sent,
            is_kept,
            "{sent}"
        );
    }
}

#[test]
fn private_context_stays_out_of_the_body() {
    let problem = Problem::internal("the secret reason");
    let body = serde_json::to_string(&problem.document("id")).expect("JSON");
    assert!(!body.contains("secret"), "{body}");
    assert!(!problem.to_string().contains("secret"));
}

#[test]
fn the_texts_of_the_codes_are_those_that_serde_writes() {
    for code in ProblemCode::ALL {
        assert_eq!(serde_json::to_value(code).expect("a text"), code.as_str());
    }
    for code in extraction_maths::api::problem::FaultCode::ALL {
        assert_eq!(serde_json::to_value(code).expect("a text"), code.as_str());
        assert!(!Fault::new("/x", *code, code.meaning()).detail.is_empty());
    }
    for code in extraction_maths::api::caution::CautionCode::ALL {
        assert_eq!(serde_json::to_value(code).expect("a text"), code.as_str());
    }
}

#[tokio::test]
async fn a_whole_number_may_be_written_with_a_fraction_of_nothing() {
    let lab = include_str!("../../demo-data/water-dosing/lab-course-three-salts.json");
    let (_, expected) = post("/v1/water-dosing", lab).await;
    let written = lab.replace("\"hydrate\": 7}", "\"hydrate\": 7.0}");
    assert_ne!(written, lab, "the example names a hydrate");
    assert_eq!(post("/v1/water-dosing", &written).await, (200, expected));
    let twice = written.replace("\"hydrate\": 7.0}", "\"hydrate\": 7.0, \"hydrate\": 7.0}");
    let (status, problem) = post("/v1/water-dosing", &twice).await;
    assert_eq!(status, 422);
    assert_eq!(faults(&problem)[0].1, "duplicate_field");
}
