//! `POST /v1/batch`.

use extraction_maths::api::limits::{BATCH_CALLS, RESPONSE_BYTES};
use reqwest::Method;
use serde_json::{Value, json};

use crate::support::served::{Reply, post_json, send, serve};
use crate::support::standin::REGISTRY;
use crate::support::{faults, post, shared};

async fn batch(base: &str, calls: &[Value]) -> Reply {
    post_json(
        &format!("{base}/v1/batch"),
        &json!({"calls": calls}).to_string(),
    )
    .await
}

#[tokio::test]
async fn calls_are_answered_in_order_and_one_spoils_no_other() {
    let calls = [
        json!({"id": "a", "calculation": "ratio", "request": {"dose_g": 18, "brew_ratio": 2}}),
        json!({"id": "b", "calculation": "ratio", "request": {"dose_g": "18", "unheard_of": 1}}),
        json!({"calculation": "ratio", "request": {"dose_g": 20, "brew_ratio": 2}}),
        json!({"id": "d\"\\é", "calculation": "no-such", "request": {}}),
        json!({"id": null, "calculation": "light", "request": {"units": 1, "misdeed": "panic"}}),
        json!({"id": "f", "calculation": "heavy", "request": {"units": 1}}),
        json!({"id": "g", "calculation": "ratio", "request": 7}),
        json!({"id": "h", "calculation": "ratio", "request": null}),
    ];
    let reply = batch(&serve(&[], &REGISTRY), &calls).await;
    assert_eq!(reply.status, 200, "{}", reply.text);
    let answers = reply.body["answers"].as_array().expect("answers");
    let statuses: Vec<_> = answers.iter().map(|a| a["status"].as_u64()).collect();
    let expected = [200, 422, 200, 404, 500, 200, 422, 422];
    assert_eq!(statuses, expected.map(Some), "{}", reply.text);
    for (call, answer) in calls.iter().zip(answers) {
        assert_eq!(answer.get("id"), call.get("id").filter(|id| !id.is_null()));
        assert_eq!(answer["answer"].is_object(), answer["status"] == 200);
        assert_eq!(answer["problem"].is_object(), answer["status"] != 200);
    }
    let found = faults(&answers[1]["problem"]);
    assert_eq!(found[0], ("/dose_g".to_owned(), "wrong_type".to_owned()));
    assert_eq!(answers[3]["problem"]["code"], "not_found");
    assert_eq!(
        answers[3]["problem"]["request_id"],
        reply.header("x-request-id")
    );
    assert!(!reply.text.contains("secret"));
}

#[tokio::test]
async fn an_answer_in_a_batch_is_the_answer_of_its_own_path_byte_for_byte() {
    let request = |n: usize| format!(r#"{{"dose_g":{},"brew_ratio":2.1}}"#, 100 + n);
    let calls: Vec<String> = (0..BATCH_CALLS)
        .map(|n| {
            format!(
                r#"{{"id":"{n}","calculation":"ratio","request":{}}}"#,
                request(n)
            )
        })
        .collect();
    let body = format!("{{\"calls\":[{}]}}", calls.join(","));
    let reply = post_json(&format!("{}/v1/batch", shared()), &body).await;
    assert_eq!(reply.status, 200);
    let mut expected = Vec::new();
    for n in [0, 63, 64, 250, BATCH_CALLS - 1] {
        let single = post_json(&format!("{}/v1/ratio", shared()), &request(n)).await;
        expected.push(format!(
            r#"{{"id":"{n}","status":200,"answer":{}}}"#,
            single.text
        ));
    }
    let mut rest = &reply.text[..];
    for part in expected {
        let at = rest
            .find(&part)
            .unwrap_or_else(|| panic!("{part} is missing or out of order"));
        rest = &rest[at + part.len()..];
    }
    assert_eq!(rest, "]}");
}

#[tokio::test]
async fn what_is_wrong_about_the_batch_itself_is_named_all_at_once() {
    for (body, expected) in [
        ("{}", vec![("/calls", "required")]),
        ("[]", vec![("", "wrong_type")]),
        (r#"{"calls":{}}"#, vec![("/calls", "wrong_type")]),
        (
            r#"{"calls":[{"request":{}},["ratio",{}],{"calculation":1,"request":{},"requst":{}}],"more":1}"#,
            vec![
                ("/calls/0/calculation", "required"),
                ("/calls/1", "wrong_type"),
                ("/calls/2/calculation", "wrong_type"),
                ("/calls/2/requst", "unknown_field"),
                ("/more", "unknown_field"),
            ],
        ),
        (
            r#"{"calls":[{"calculation":"ratio","calculation":"ratio","request":{}}]}"#,
            vec![("/calls/0/calculation", "duplicate_field")],
        ),
    ] {
        let (status, problem) = post("/v1/batch", body).await;
        assert_eq!(status, 422, "{body}: {problem}");
        let found = faults(&problem);
        let found: Vec<_> = found.iter().map(|(p, c)| (&p[..], &c[..])).collect();
        assert_eq!(found, expected, "{body}");
    }
}

#[tokio::test]
async fn a_batch_has_as_many_calls_and_as_long_ids_as_published() {
    let long = "é".repeat(129);
    let call = |id: &str| json!({"id": id, "calculation": "ratio", "request": {"dose_g": 18, "brew_ratio": 2}});
    let (status, problem) = post("/v1/batch", &json!({"calls": [call(&long)]}).to_string()).await;
    assert_eq!((status, &faults(&problem)[0].1[..]), (422, "too_long"));
    let most = call(&"é".repeat(128));
    let (status, _) = post("/v1/batch", &json!({"calls": [most]}).to_string()).await;
    assert_eq!(status, 200);
    let many = vec![call("x"); BATCH_CALLS + 1];
    let (status, problem) = post("/v1/batch", &json!({"calls": many}).to_string()).await;
    assert_eq!(
        (status, faults(&problem)),
        (
            422,
            vec![("/calls".to_owned(), "too_many_items".to_owned())]
        )
    );
    let (status, answer) = post("/v1/batch", r#"{"calls":[]}"#).await;
    assert_eq!((status, answer), (200, json!({"answers": []})));
    let (status, _) = post("/v1/batch", r#"{"calls":[}"#).await;
    assert_eq!(status, 400);
}

#[tokio::test]
async fn calls_that_find_no_place_in_the_response_are_refused_in_the_same_way_everywhere() {
    let call = json!({"calculation": "light", "request": {"units": 1, "filling": 90_000}});
    let body = json!({"calls": vec![call; 60]}).to_string();
    let headers = [
        ("content-type", "application/json"),
        ("x-request-id", "same"),
    ];
    let alone = serve(&["--compute-permits", "1"], &REGISTRY);
    let both = serve(&["--compute-permits", "4"], &REGISTRY);
    let mut texts = Vec::new();
    for base in [alone, both] {
        let reply = send(Method::POST, &format!("{base}/v1/batch"), &headers, &body).await;
        assert_eq!(reply.status, 200);
        assert!(reply.text.len() <= RESPONSE_BYTES, "{}", reply.text.len());
        let answers = reply.body["answers"].as_array().expect("answers");
        assert_eq!(answers.len(), 60);
        let answered = answers.iter().take_while(|a| a["status"] == 200).count();
        assert!(40 < answered && answered < 60, "{answered}");
        for refused in &answers[answered..] {
            assert_eq!(refused["problem"]["code"], "work_too_large");
        }
        texts.push(reply.text);
    }
    assert!(texts[0] == texts[1]);
}

#[tokio::test]
async fn a_call_that_takes_too_long_is_stopped_and_the_others_are_answered() {
    let heavy = |units: f64| json!({"calculation": "heavy", "request": {"units": units}});
    let reply = batch(
        &serve(&[], &REGISTRY),
        &[heavy(1.0), heavy(9e8), heavy(2e9), heavy(1.0)],
    )
    .await;
    assert_eq!(reply.status, 200, "{}", reply.text);
    let answers = reply.body["answers"].as_array().expect("answers");
    let codes: Vec<_> = answers
        .iter()
        .map(|a| a["problem"]["code"].as_str())
        .collect();
    assert_eq!(
        codes,
        [
            None,
            Some("deadline_exceeded"),
            Some("work_too_large"),
            None
        ]
    );
}

#[tokio::test]
async fn a_batch_is_posted() {
    let reply = send(Method::GET, &format!("{}/v1/batch", shared()), &[], "").await;
    reply.assert_problem(405, "method_not_allowed");
    assert_eq!(reply.header("allow"), "POST");
}

#[tokio::test]
async fn a_batch_is_answered_whole_and_as_json_or_told_why_not() {
    let body = r#"{"calls":[{"calculation":"ratio","request":{"dose_g":18,"brew_ratio":2}}]}"#;
    let path = "/v1/batch?select=x&format=csv&display=true&decimal=comma&nonsense=1";
    let (status, problem) = post(path, body).await;
    let mut found = faults(&problem);
    found.sort();
    let expected = [
        ("/decimal", "contradictory"),
        ("/display", "contradictory"),
        ("/format", "contradictory"),
        ("/nonsense", "unknown_field"),
        ("/select", "contradictory"),
    ];
    assert_eq!(status, 422);
    assert_eq!(found, expected.map(|(p, c)| (p.to_owned(), c.to_owned())));
    assert_eq!(post("/v1/batch?format=json", body).await.0, 200);
    let json = ("content-type", "application/json");
    for (accept, status) in [("text/csv", 406), ("application/json", 200), ("*/*", 200)] {
        let headers = [json, ("accept", accept)];
        let reply = crate::support::http::send(("POST", "/v1/batch"), &headers, body).await;
        assert_eq!(reply.status, status, "{accept}");
    }
}
