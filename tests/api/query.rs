//! Flat calculations asked by query.

use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::decode::{Decimal, Fields, Writing};
use extraction_maths::api::registry::{Entry, REGISTRY};
use extraction_maths::api::reserved::PARAMETERS;
use proptest::prelude::{prop_assert, proptest};
use serde_json::{Value, json};

use crate::support::{client, faults, get, post, shared};

/// A request body as the query that means the same.
fn query_of(body: &str) -> String {
    let body: Value = serde_json::from_str(body).expect("JSON");
    let text = |value: &Value| value.as_str().map_or(value.to_string(), str::to_owned);
    let texts = |value: &Value| match value.as_array() {
        Some(items) => items.iter().map(text).collect::<Vec<_>>().join(","),
        None => text(value),
    };
    let pairs = body.as_object().expect("an object").iter();
    let pairs = pairs.map(|(name, value)| format!("{name}={}", texts(value)));
    pairs.collect::<Vec<_>>().join("&")
}

fn flat() -> impl Iterator<Item = &'static Entry> {
    REGISTRY.iter().filter(|entry| entry.is_flat())
}

#[tokio::test]
async fn a_query_gets_the_answer_of_the_body_byte_for_byte() {
    for entry in flat() {
        for example in entry.examples {
            let query = query_of(example.body);
            let path = format!("{}?{query}", entry.path());
            let asked = client().get(&path).await.expect("an answer");
            let sent = client()
                .post(entry.path(), example.body.to_owned())
                .await
                .expect("an answer");
            assert_eq!(asked, sent, "{path}");
            assert_eq!(asked.0.as_u16(), 200, "{path}");
        }
    }
}

#[tokio::test]
async fn the_faults_of_a_query_are_those_of_the_body() {
    for (query, body) in [
        (
            "dose_g=9000&brew_kind=tea&unheard_of=1",
            json!({"dose_g": 9000, "brew_kind": "tea", "unheard_of": 1}),
        ),
        ("", json!({})),
        ("dose_g=", json!({"dose_g": null})),
        (
            "dose_g=18&beverage_mass_g=36&brew_ratio=3.17",
            json!({"dose_g": 18, "beverage_mass_g": 36, "brew_ratio": 3.17}),
        ),
        (
            "dose_g=18&brew_ratio=2&workings=3",
            json!({"dose_g": 18, "brew_ratio": 2, "workings": "3"}),
        ),
    ] {
        let (status, asked) = get(&format!("/v1/ratio?{query}")).await;
        let (_, sent) = post("/v1/ratio", &body.to_string()).await;
        assert_eq!(status, 422, "{query}");
        assert_eq!(faults(&asked), faults(&sent), "{query}");
    }
}

/// Query, pointer and code of what only a query can get wrong.
const WRONG: [(&str, &str, &str); 16] = [
    ("dose_g=NaN&brew_ratio=2", "/dose_g", "not_finite"),
    ("dose_g=-inf&brew_ratio=2", "/dose_g", "not_finite"),
    ("dose_g=infinity&brew_ratio=2", "/dose_g", "not_finite"),
    ("dose_g=1e999&brew_ratio=2", "/dose_g", "not_finite"),
    ("dose_g=18,5&brew_ratio=2", "/dose_g", "decimal_comma"),
    ("dose_g=0x12&brew_ratio=2", "/dose_g", "wrong_type"),
    ("dose_g=%2B18&brew_ratio=2", "/dose_g", "wrong_type"),
    ("dose_g=18%00&brew_ratio=2", "/dose_g", "wrong_type"),
    (
        "dose_g=18&dose_g=18&brew_ratio=2",
        "/dose_g",
        "duplicate_field",
    ),
    (
        "dose_g=18&dose_g=&brew_ratio=2",
        "/dose_g",
        "duplicate_field",
    ),
    (
        "dose_g=18&brew_ratio=2&dose_gg=",
        "/dose_gg",
        "unknown_field",
    ),
    ("dose_g=18&brew_ratio=2&=3", "/", "unknown_field"),
    ("dose_g=18&brew_ratio=2&x[]=1", "/x[]", "unknown_field"),
    (
        "dose_g=18&brew_ratio=2&format=xml",
        "/format",
        "not_allowed",
    ),
    (
        "dose_g=18&brew_ratio=2&decimal=dot",
        "/decimal",
        "not_allowed",
    ),
    (
        "dose_g=18&brew_ratio=2&display=1",
        "/display",
        "not_allowed",
    ),
];

#[tokio::test]
async fn what_only_a_query_can_get_wrong_is_named_by_its_field() {
    for (query, pointer, code) in WRONG {
        let (status, problem) = get(&format!("/v1/ratio?{query}")).await;
        assert_eq!(status, 422, "{query}: {problem}");
        let expected = [(pointer.to_owned(), code.to_owned())];
        assert_eq!(faults(&problem), expected, "{query}");
    }
}

#[tokio::test]
async fn faults_of_reserved_names_and_of_fields_are_named_together() {
    let (status, problem) = get("/v1/ratio?format=xml&dose_g=0").await;
    assert_eq!(status, 422);
    let pointers: Vec<_> = faults(&problem)
        .into_iter()
        .map(|(pointer, _)| pointer)
        .collect();
    assert_eq!(pointers, ["/format", "/dose_g"]);
}

#[tokio::test]
async fn a_body_may_have_reserved_parameters_beside_it_but_no_fields() {
    let body = r#"{"dose_g":18,"brew_ratio":2}"#;
    let (status, _) = post("/v1/ratio?format=json", body).await;
    assert_eq!(status, 200);
    let (status, problem) = post("/v1/ratio?dose_g=18", body).await;
    assert_eq!(status, 422);
    assert_eq!(
        faults(&problem),
        [("/dose_g".to_owned(), "unknown_field".to_owned())]
    );
}

#[tokio::test]
async fn a_broken_escape_is_a_bad_query() {
    for query in ["dose_g=%", "dose_g=%zz", "%ff=1"] {
        let (status, problem) = get(&format!("/v1/ratio?{query}")).await;
        assert_eq!(
            (status, &problem["code"]),
            (400, &json!("bad_query")),
            "{query}"
        );
    }
}

#[tokio::test]
async fn head_and_an_unknown_method_answer_as_for_a_page() {
    let client = reqwest::Client::builder()
        .no_proxy()
        .build()
        .expect("a client");
    let url = format!("{}/v1/ratio?dose_g=18&brew_ratio=2", shared());
    let head = client.head(&url).send().await.expect("an answer");
    assert_eq!(head.status(), 200);
    assert_eq!(head.headers()["content-type"], "application/json");
    let put = client.put(&url).send().await.expect("an answer");
    assert_eq!(put.status(), 405);
    assert_eq!(put.headers()["allow"], "GET, HEAD, POST, QUERY");
}

#[test]
fn no_field_has_a_reserved_name() {
    for field in flat().flat_map(|entry| entry.shape().fields()) {
        let is_reserved = PARAMETERS
            .iter()
            .any(|parameter| parameter.name == field.name);
        assert!(!is_reserved, "{}", field.name);
    }
}

proptest! {
    /// Whatever stands in the cells, there is an answer without `null`, or a problem that names
    /// a fault, and never one of ours.
    #[test]
    fn any_text_in_any_field_is_answered_or_refused(
        texts in proptest::collection::vec("|[-+0-9.,eE|]{1,6}|NaN|-?inf|1e999|true|filter|.{0,4}", 60)
    ) {
        for entry in flat() {
            let names: Vec<&str> = entry.shape().fields().iter().map(|f| f.name.as_str()).collect();
            let mut text = String::new();
            let spans: Vec<_> = names.iter().zip(&texts).map(|(_, cell)| {
                let begin = text.len();
                text.push_str(cell);
                (begin, text.len())
            }).collect();
            for writing in [Writing::QUERY, Writing::row(Decimal::Point), Writing::row(Decimal::Comma)] {
                let fields = Fields { names: &names, text: &text, spans: &spans, writing };
                let mut out = Vec::new();
                match entry.answer_fields(fields, &UNCANCELLED, &mut out) {
                    Ok(()) => prop_assert!(!String::from_utf8_lossy(&out).contains("null")),
                    Err(problem) => prop_assert!(problem.code().status() == 422, "{problem}"),
                }
            }
        }
    }
}
