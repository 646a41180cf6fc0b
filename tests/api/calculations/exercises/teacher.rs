//! The teacher's key opens solutions, and nothing else does.

use extraction_maths::api::calculation::Weight;
use extraction_maths::api::registry::REGISTRY;
use serde_json::{Value, json};

use crate::support::http::{Reply, send_json, send_to};
use crate::support::served::serve;

const KEY: &str = "cedar-lane-41";
const MARKING: &str = r#"{"topic":"ratio","seed":3,"answers":[]}"#;
const SHEET: &str =
    r#"{"topics":["ratio"],"seed":3,"students":2,"title":"<b>Lab & \"course\"</b>"}"#;

async fn call(base: &str, path: &str, key: Option<&str>, body: &str) -> Reply {
    let mut headers = vec![("content-type", "application/json")];
    headers.extend(key.map(|key| ("x-teacher-key", key)));
    send_to(base, ("POST", path), &headers, body.to_owned()).await
}

fn guarded() -> String {
    serve(&["--teacher-key", KEY], REGISTRY)
}

#[tokio::test]
async fn without_a_key_set_solutions_are_open_and_the_answer_says_so() {
    let marking = send_json(("POST", "/v1/exercises/marking"), &[], MARKING).await;
    assert_eq!(marking.json()["solutions"], "open");
    assert!(
        !marking.json()["solution"]
            .as_array()
            .expect("steps")
            .is_empty()
    );
    assert_eq!(marking.header("cache-control"), "no-store", "as any POST");
    let sheet = send_json(("POST", "/v1/exercises/sheet"), &[], SHEET).await;
    assert_eq!(sheet.json()["solutions"], "open");
    assert!(sheet.json()["key"].is_array());
}

#[tokio::test]
async fn with_a_key_set_only_its_holder_sees_solutions() {
    let base = guarded();
    for (key, expected) in [
        (None, "withheld"),
        (Some("cedar-lane-4"), "withheld"),
        (Some(""), "withheld"),
        (Some(KEY), "with_key"),
    ] {
        let is_shown = expected == "with_key";
        let marking = call(&base, "/v1/exercises/marking", key, MARKING).await;
        let answer = marking.json();
        assert_eq!(answer["solutions"], expected);
        assert_eq!(answer["solution"].is_array(), is_shown, "{answer}");
        assert_eq!(answer["steps"][0]["expected"].is_number(), is_shown);
        assert_eq!(marking.header("cache-control"), "no-store");
        let sheet = call(&base, "/v1/exercises/sheet", key, SHEET).await;
        assert_eq!(sheet.json()["key"].is_array(), is_shown);
        assert_eq!(sheet.header("cache-control"), "no-store");
        for format in ["html", "csv"] {
            let path = format!("/v1/exercises/sheet?format={format}");
            let reply = call(&base, &path, key, SHEET).await;
            let has_key =
                reply.text().contains("marking key") || reply.text().contains(",tolerance");
            assert_eq!(has_key, is_shown, "{format}: {}", reply.text());
        }
    }
}

#[tokio::test]
async fn a_batch_and_a_safe_query_withhold_alike() {
    let base = guarded();
    let request: Value = serde_json::from_str(MARKING).expect("JSON");
    let sheet: Value = serde_json::from_str(SHEET).expect("JSON");
    let batch = json!({"calls": [
        {"id": "m", "calculation": "exercises/marking", "request": request},
        {"id": "s", "calculation": "exercises/sheet", "request": sheet},
    ]})
    .to_string();
    for (key, is_shown) in [(None, false), (Some(KEY), true)] {
        let reply = call(&base, "/v1/batch", key, &batch).await;
        let answers = &reply.json()["answers"];
        assert_eq!(
            answers[0]["answer"]["solution"].is_array(),
            is_shown,
            "{answers}"
        );
        assert_eq!(answers[1]["answer"]["key"].is_array(), is_shown);
        assert_eq!(reply.header("cache-control"), "no-store");
        let mut headers = vec![("content-type", "application/json")];
        headers.extend(key.map(|key| ("x-teacher-key", key)));
        let asked = ("QUERY", "/v1/exercises/marking");
        let reply = send_to(&base, asked, &headers, MARKING).await;
        assert_eq!(reply.json()["solution"].is_array(), is_shown);
        assert_eq!(reply.header("cache-control"), "no-store");
        assert_eq!(reply.header("etag"), "");
    }
}

/// A query and rows carry no key, so they have no way to what a key guards.
#[test]
fn what_holds_solutions_is_asked_by_a_body_alone() {
    let guarded: Vec<_> = REGISTRY
        .iter()
        .filter(|entry| entry.has_solutions)
        .collect();
    assert_eq!(guarded.len(), 2);
    for entry in guarded {
        assert!(
            !entry.is_flat() && entry.columnar.is_none(),
            "{}",
            entry.name
        );
        assert!(entry.weight != Weight::ByRequest, "{}", entry.name);
    }
}
