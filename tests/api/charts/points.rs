//! Many brews on one chart.

use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::chart::find;
use proptest::prelude::{ProptestConfig, any, prop, proptest};
use resvg::usvg::roxmltree::Document;
use serde_json::{Value, json};

use super::drawn;
use crate::support::http::send_json;
use crate::support::{faults, post};

const PATH: &str = "/v1/charts/strength-and-yield";

fn body(points: Vec<Value>) -> String {
    json!({"brew_kind": "filter", "points": points}).to_string()
}

fn brew(number: u32) -> Value {
    let part = f64::from(number % 50) / 50.0;
    json!({
        "label": format!("brew {number}"),
        "dose_g": 20,
        "beverage_mass_g": 260.0 + 60.0 * part,
        "tds_percent": 1.1 + f64::from(number % 37) / 100.0,
        "tds_uncertainty_percent": 0.02,
    })
}

#[tokio::test]
async fn five_hundred_brews_are_drawn_and_no_more() {
    let all: Vec<_> = (0..501).map(brew).collect();
    let reply = send_json(("POST", PATH), &[], &body(all[..500].to_vec())).await;
    assert_eq!(reply.status, 200, "{}", reply.text());
    let document = Document::parse(reply.text()).expect("XML");
    let named = |name: &str| {
        document
            .descendants()
            .filter(|n| n.tag_name().name() == name)
            .count()
    };
    assert_eq!(named("ellipse"), 500);
    assert_eq!(named("circle") + named("path"), 500);
    let (status, problem) = post(PATH, &body(all)).await;
    assert_eq!(status, 422);
    assert_eq!(
        faults(&problem),
        [("/points".to_owned(), "too_many_items".to_owned())]
    );
}

#[tokio::test]
async fn the_faults_of_all_points_are_named_at_their_places() {
    let mut points: Vec<_> = (0..4).map(brew).collect();
    points[1]["tds_readings_percent"] = json!([1.2]);
    points[3]["beverage_mass_g"] = Value::Null;
    let (status, problem) = post(PATH, &body(points.clone())).await;
    assert_eq!(status, 422, "{problem}");
    let found = faults(&problem);
    for pointer in ["/points/1/", "/points/3/"] {
        assert!(
            found.iter().any(|(at, _)| at.starts_with(pointer)),
            "{found:?}"
        );
    }
    points[2]["dose_g"] = json!(-1);
    points[0]["unheard_of"] = json!(1);
    let (_, problem) = post(PATH, &body(points)).await;
    let found = faults(&problem);
    for (pointer, code) in [
        ("/points/2/dose_g", "out_of_range"),
        ("/points/0/unheard_of", "unknown_field"),
    ] {
        assert!(
            found.contains(&(pointer.to_owned(), code.to_owned())),
            "{found:?}"
        );
    }
}

#[tokio::test]
async fn a_label_is_not_longer_than_it_may_be() {
    let mut point = brew(1);
    point["label"] = json!("x".repeat(61));
    let (status, problem) = post(PATH, &body(vec![point])).await;
    assert_eq!(status, 422);
    assert_eq!(
        faults(&problem),
        [("/points/0/label".to_owned(), "too_long".to_owned())]
    );
}

#[test]
fn brews_are_counted_by_the_calculation_that_knows_the_window() {
    let chart = find("strength-and-yield").expect("a chart");
    // 20 g, 300 g: a yield of 15 times the strength; 1.3 % is 19.5 %, 1.5 % is 22.5 %
    let brew = |tds: f64| json!({"dose_g": 20, "beverage_mass_g": 300, "tds_percent": tds});
    let svg = drawn(chart, &body(vec![brew(1.3), brew(1.5), brew(1.21)]), "");
    assert!(
        svg.contains("<desc>3 brews, 2 of them within the window of scaa2015"),
        "{svg}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Any text is text: what was a label is found again as a text or a name, and nothing of it
    /// became markup.
    #[test]
    fn any_label_and_any_title_are_text(
        labels in prop::collection::vec(any::<String>(), 1..8),
        masses in prop::collection::vec(150.0..500.0_f64, 8),
    ) {
        let chart = find("strength-and-yield").expect("a chart");
        let cut = |label: &String| label.chars().take(60).collect::<String>();
        let points = labels.iter().zip(&masses).map(|(label, mass)| {
            json!({"label": cut(label), "dose_g": 20, "beverage_mass_g": mass, "tds_percent": 1.2})
        });
        let drawing = chart.read(body(points.collect()).as_bytes()).expect("a drawing");
        let options = extraction_maths::api::chart_options::ChartOptions {
            title: labels.first().cloned(),
            ..Default::default()
        };
        let svg = drawing.draw(&UNCANCELLED, &options).expect("a picture");
        let document = Document::parse(&svg).expect("XML");
        let names = document.descendants().filter(|node| node.is_element());
        let names: Vec<_> = names.map(|node| node.tag_name().name().to_owned()).collect();
        assert!(!names.iter().any(|name| name == "script"));
        assert_eq!(names.iter().filter(|name| *name == "g").count(), labels.len());
    }
}
