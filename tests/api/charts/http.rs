//! Charts over HTTP: forms, faults, and what may be kept.

use extraction_maths::api::chart::CHARTS;
use extraction_maths::api::registry;
use serde_json::{Value, json};

use super::all;
use crate::support::http::{Reply, send, send_json};
use crate::support::{faults, post};

const BREW: &str =
    r#"{"dose_g":18,"beverage_mass_g":36,"tds_percent":9.5,"tds_uncertainty_percent":0.1}"#;
const BREW_QUERY: &str = "dose_g=18&beverage_mass_g=36&tds_percent=9.5&tds_uncertainty_percent=0.1";

/// Width and height that a PNG's head names.
fn size(png: &[u8]) -> (u32, u32) {
    assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
    let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().expect("four bytes"));
    (number(16), number(20))
}

#[tokio::test]
async fn every_example_is_drawn_in_both_forms() {
    for (chart, name, body) in all() {
        let reply = send_json(("POST", chart.path), &[], body).await;
        assert_eq!(reply.status, 200, "{} {name}: {}", chart.name, reply.text());
        assert_eq!(reply.header("content-type"), "image/svg+xml");
        let policy = reply.header("content-security-policy");
        assert!(
            policy.starts_with("default-src 'none'; style-src 'sha256-"),
            "{policy}"
        );
        assert_eq!(reply.header("cache-control"), "no-store");
        let path = format!("{}?format=png&width=400", chart.path);
        let reply = send_json(("POST", &path), &[], body).await;
        assert_eq!(reply.status, 200, "{} {name}", chart.name);
        assert_eq!(reply.header("content-type"), "image/png");
        assert_eq!(size(&reply.body).0, 400);
    }
}

#[tokio::test]
async fn a_chart_of_a_flat_request_answers_get_as_post_and_may_be_kept() {
    for chart in CHARTS {
        let entry = registry::find(chart.calculation).expect("a calculation");
        let path = format!("{}?{BREW_QUERY}&theme=dark", chart.path);
        let reply = send(("GET", &path), &[], "").await;
        if !entry.is_flat() {
            assert_eq!((reply.status, reply.header("allow")), (405, "POST, QUERY"));
            continue;
        }
        if chart.calculation != "extraction-yield" {
            continue;
        }
        let posted = format!("{}?theme=dark", chart.path);
        let posted = send_json(("POST", &posted), &[], BREW).await;
        assert_eq!(
            (reply.status, &reply.body),
            (200, &posted.body),
            "{}",
            chart.name
        );
        assert_eq!(reply.header("cache-control"), "public, max-age=86400");
        let tag = reply.header("etag").to_owned();
        let again = send(("GET", &path), &[("if-none-match", &tag)], "").await;
        assert_eq!((again.status, again.body.len()), (304, 0));
        let head = send(("HEAD", &path), &[], "").await;
        assert_eq!((head.status, head.header("etag")), (200, tag.as_str()));
        let query = send_json(("QUERY", chart.path), &[], BREW).await;
        assert_eq!(
            (query.status, query.header("accept-query")),
            (200, "\"application/json\"")
        );
    }
}

#[tokio::test]
async fn accept_decides_unless_the_query_does() {
    let path = format!("/v1/charts/uncertainty?{BREW_QUERY}");
    let kind = |reply: &Reply| reply.header("content-type").to_owned();
    for (accept, expected) in [
        (
            "image/avif,image/webp,image/apng,image/svg+xml,image/*,*/*;q=0.8",
            "image/svg+xml",
        ),
        ("image/png", "image/png"),
        ("image/png, image/svg+xml;q=0.5", "image/png"),
        ("*/*", "image/svg+xml"),
    ] {
        let reply = send(("GET", &path), &[("accept", accept)], "").await;
        assert_eq!(
            (reply.status, kind(&reply).as_str()),
            (200, expected),
            "{accept}"
        );
    }
    let asked = format!("{path}&format=svg");
    let reply = send(("GET", &asked), &[("accept", "image/png")], "").await;
    assert_eq!(kind(&reply), "image/svg+xml");
    let refused = send(("GET", &path), &[("accept", "application/json")], "").await;
    assert_eq!(
        (refused.status, refused.json()["code"].as_str()),
        (406, Some("not_acceptable"))
    );
    assert_eq!(
        refused.json()["detail"],
        "on offer are image/svg+xml, image/png"
    );
    let kind = send(("GET", "/problems/not_acceptable"), &[], "").await;
    assert_eq!(
        kind.json()["remedy"],
        "Accept one of the media types that `detail` names."
    );
}

#[tokio::test]
async fn every_chart_is_published_with_what_it_takes() {
    let published = send(("GET", "/v1/capabilities"), &[], "").await.json()["charts"].clone();
    let list = published["list"].as_array().expect("a list");
    assert_eq!(list.len(), CHARTS.len());
    for (chart, told) in CHARTS.iter().zip(list) {
        let entry = registry::find(chart.calculation).expect("a calculation");
        assert_eq!(told["path"], chart.path);
        assert_eq!(told["calculation"], chart.calculation);
        assert_eq!(told["flat"], entry.is_flat(), "{}", chart.name);
        assert_eq!(
            told["points"].is_number(),
            chart.many.is_some(),
            "{}",
            chart.name
        );
    }
    assert_eq!(list[0]["points"], 500);
    assert_eq!(published["formats"], json!(["image/svg+xml", "image/png"]));
    for (width, status) in [
        (published["minimum_width"].as_u64().expect("a width"), 200),
        (published["maximum_width"].as_u64().expect("a width"), 200),
        (
            published["maximum_width"].as_u64().expect("a width") + 1,
            422,
        ),
    ] {
        let path = format!("/v1/charts/boiling-point?altitude_m=1500&width={width}");
        assert_eq!(send(("GET", &path), &[], "").await.status, status);
    }
    let all = send(("GET", "/v1"), &[], "").await.json();
    let yields = all["calculations"].as_array().into_iter().flatten();
    let charts: Vec<_> = yields.filter_map(|one| one["charts"].as_array()).collect();
    assert_eq!(charts.into_iter().flatten().count(), CHARTS.len());
}

#[tokio::test]
async fn a_sweep_is_not_one_picture() {
    let entry = registry::find("shot-simulation").expect("a calculation");
    let swept = entry.examples.iter().find(|e| e.body.contains("\"sweep\""));
    let body = swept.expect("an example").body;
    let (status, problem) = post("/v1/charts/simulation", body).await;
    assert_eq!(status, 422);
    let expected = ("/sweep".to_owned(), "contradictory".to_owned());
    assert_eq!(faults(&problem), [expected]);
}

#[tokio::test]
async fn faults_of_the_drawing_and_of_the_fields_are_named_together() {
    let path = "/v1/charts/strength-and-yield?dose_g=-1&width=10&theme=pink&format=gif&select=x";
    let reply = send(("GET", path), &[], "").await;
    assert_eq!(reply.status, 422);
    let found = faults(&reply.json());
    for (pointer, code) in [
        ("/width", "out_of_range"),
        ("/theme", "not_allowed"),
        ("/format", "not_allowed"),
        ("/dose_g", "out_of_range"),
        ("/select", "unknown_field"),
    ] {
        assert!(
            found.contains(&(pointer.to_owned(), code.to_owned())),
            "{pointer} in {found:?}"
        );
    }
    let (status, problem) = post("/v1/charts/shot?dose_g=18&width=9999", "{}").await;
    assert_eq!(status, 422);
    let expected = [
        ("/width", "out_of_range"),
        ("/dose_g", "unknown_field"),
        ("/time_s", "required"),
        ("/mass_g", "required"),
    ];
    assert_eq!(
        faults(&problem),
        expected.map(|(at, code)| (at.to_owned(), code.to_owned()))
    );
}

/// A chart refuses what the calculation refuses, in the same words.
#[tokio::test]
async fn a_wrong_request_gets_the_problem_of_its_calculation() {
    for chart in CHARTS {
        for body in [r#"{"workings":1,"unheard_of":1}"#, "{", "", "[]"] {
            let (status, mut drawn) = post(chart.path, body).await;
            let (expected, mut answered) = post(&format!("/v1/{}", chart.calculation), body).await;
            for problem in [&mut drawn, &mut answered] {
                for name in ["instance", "request_id"] {
                    problem[name] = Value::Null;
                }
            }
            assert_eq!(
                (status, drawn),
                (expected, answered),
                "{} {body}",
                chart.name
            );
        }
    }
}

#[tokio::test]
async fn without_uncertainty_there_is_no_budget_to_draw() {
    let body = json!({"dose_g": 18, "beverage_mass_g": 36, "tds_percent": 9.5}).to_string();
    let (status, problem) = post("/v1/charts/uncertainty", &body).await;
    assert_eq!(status, 422);
    let expected = ("/tds_uncertainty_percent".to_owned(), "required".to_owned());
    assert_eq!(faults(&problem), [expected]);
}

#[tokio::test]
async fn a_title_is_text_whatever_it_is() {
    let title = "%3C%2Ftext%3E%3Cscript%3Ealert(1)%3C%2Fscript%3E%26%22%00";
    let path = format!("/v1/charts/boiling-point?altitude_m=1500&title={title}");
    let reply = send(("GET", &path), &[], "").await;
    assert_eq!(reply.status, 200);
    let document = resvg::usvg::roxmltree::Document::parse(reply.text()).expect("XML");
    let root = document.root_element().first_element_child();
    let found = root.and_then(|node| node.text()).expect("a title");
    assert_eq!(found, "</text><script>alert(1)</script>&\"\u{fffd}");
}

#[tokio::test]
async fn other_methods_are_refused_with_those_there_are() {
    let reply = send(("DELETE", "/v1/charts/uncertainty"), &[], "").await;
    assert_eq!(
        (reply.status, reply.header("allow")),
        (405, "GET, HEAD, POST, QUERY")
    );
    let reply = send(("GET", "/v1/charts/none"), &[], "").await;
    assert_eq!(reply.status, 404);
}

/// Four standard deviations either side hold nearly all trials of a nearly normal yield (0.99994
/// of a normal one, from memory).
#[tokio::test]
async fn the_histogram_holds_nearly_all_trials_and_is_for_trials_only() {
    let body = json!({
        "dose_g": 18, "beverage_mass_g": 36, "tds_percent": 9.5, "tds_uncertainty_percent": 0.1,
        "method": "monte_carlo", "trials": 100_000, "include_histogram": true,
    });
    let (status, answer) = post("/v1/extraction-yield", &body.to_string()).await;
    assert_eq!(status, 200, "{answer}");
    let found = &answer["uncertainty"]["monte_carlo"]["histogram"];
    let counts = found["trials"].as_array().expect("counts");
    let edges = found["edge_percent"].as_array().expect("edges");
    assert_eq!((counts.len(), edges.len()), (40, 41));
    let sum: u64 = counts
        .iter()
        .map(|count| count.as_u64().expect("a count"))
        .sum();
    assert!((99_970..=100_000).contains(&sum), "{sum}");
    let mut first_order = body;
    for name in ["method", "trials"] {
        first_order[name] = Value::Null;
    }
    let (status, problem) = post("/v1/extraction-yield", &first_order.to_string()).await;
    assert_eq!(status, 422);
    let expected = ("/include_histogram".to_owned(), "contradictory".to_owned());
    assert_eq!(faults(&problem), [expected]);
}

#[tokio::test]
async fn a_parameter_that_is_left_empty_is_none() {
    let plain = send(
        ("GET", &format!("/v1/charts/uncertainty?{BREW_QUERY}")),
        &[],
        "",
    )
    .await;
    let path = format!("/v1/charts/uncertainty?{BREW_QUERY}&width=&theme=&format=&title=");
    let reply = send(("GET", &path), &[], "").await;
    assert_eq!((reply.status, reply.text()), (200, plain.text()));
}
