//! `unit-conversion` over HTTP: [ucum2024], see docs/REFERENCES.md.

use serde_json::{Value, json};

use super::{close, codes, number, refused};
use crate::support::get;
const PATH: &str = "/v1/unit-conversion";

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

fn body(value: f64, from: &str, to: &str) -> Value {
    json!({"value": value, "from_unit": from, "to_unit": to})
}

/// Definitions of the pound and the inch
#[tokio::test]
async fn a_pound_is_453_59237_grams() {
    let pound = answer(&body(1.0, "[lb_av]", "g")).await;
    close(
        number(&pound, "converted_value"),
        453.592_37,
        1e-12,
        "pound",
    );
    assert_eq!(pound["exact_factor"], "45359237/100000");
    assert_eq!(pound["dimension"], "mass");
    assert!(pound.get("offset").is_none() && pound.get("quantity_kind").is_none());
    assert!(codes(&pound).is_empty());
    assert_eq!(pound["basis"], "published_formula");
}

/// Definition of the scales: 10 °C are 50 °F, and a difference of 10 °C is one of 18 °F
#[tokio::test]
async fn a_temperature_and_a_difference_are_two_things() {
    let mut request = body(10.0, "Cel", "[degF]");
    let point = answer(&request).await;
    assert_eq!(point["converted_value"], json!(50.0));
    assert_eq!(point["offset"], json!(32.0));
    assert_eq!(codes(&point), ["taken_as_temperature"]);
    request["quantity_kind"] = json!("temperature");
    assert!(codes(&answer(&request).await).is_empty());
    request["quantity_kind"] = json!("temperature_difference");
    let difference = answer(&request).await;
    assert_eq!(difference["converted_value"], json!(18.0));
    // a difference may be below zero, a temperature not below absolute zero
    request["value"] = json!(-300);
    assert_eq!(answer(&request).await["converted_value"], json!(-540.0));
}

/// By hand: 1 bar of gauge at 900 hPa is 1.9 bar absolute
#[tokio::test]
async fn gauge_and_absolute_differ_by_the_air() {
    let mut request = body(1.0, "bar", "kPa");
    let kept = answer(&request).await;
    assert_eq!(kept["converted_value"], json!(100.0));
    assert_eq!(codes(&kept), ["pressure_kind_kept"]);
    request["from_pressure_kind"] = json!("gauge");
    request["to_pressure_kind"] = json!("absolute");
    request["air_pressure_hpa"] = json!(900);
    let absolute = answer(&request).await;
    close(number(&absolute, "converted_value"), 190.0, 1e-12, "kPa");
    let back = json!({"value": 190, "from_unit": "kPa", "to_unit": "bar", "from_pressure_kind": "absolute",
        "to_pressure_kind": "gauge", "air_pressure_hpa": 900});
    close(
        number(&answer(&back).await, "converted_value"),
        1.0,
        1e-14,
        "bar",
    );
}

/// Requests that are wrong, and the faults that say so.
const WRONG: &[(&str, &[&str])] = &[
    (
        r#""from_unit":"mg/L","to_unit":"[ppm]""#,
        &["/to_unit inconsistent"],
    ),
    (
        r#""from_unit":"KG","to_unit":"g""#,
        &["/from_unit not_allowed"],
    ),
    (
        r#""from_unit":"g","to_unit":"grams""#,
        &["/to_unit not_allowed"],
    ),
    (r#""from_unit":"g""#, &["/to_unit required"]),
    (
        r#""from_unit":"g","to_unit":"kg","quantity_kind":"temperature""#,
        &["/quantity_kind contradictory"],
    ),
    (
        r#""from_unit":"Cel","to_unit":"K""#,
        &["/value out_of_range"],
    ),
    (
        r#""from_unit":"bar","to_unit":"Pa","from_pressure_kind":"gauge""#,
        &["/to_pressure_kind required"],
    ),
    (
        r#""from_unit":"bar","to_unit":"Pa","from_pressure_kind":"gauge","to_pressure_kind":"absolute""#,
        &["/air_pressure_hpa required"],
    ),
    (
        r#""from_unit":"bar","to_unit":"Pa","from_pressure_kind":"gauge","to_pressure_kind":"gauge","air_pressure_hpa":1000"#,
        &["/air_pressure_hpa contradictory"],
    ),
    (
        r#""from_unit":"bar","to_unit":"Pa","from_pressure_kind":"gauge","to_pressure_kind":"absolute","air_pressure_hpa":1000"#,
        &["/value inconsistent"],
    ),
    (
        r#""from_unit":"bar","to_unit":"Pa","from_pressure_kind":"absolute","to_pressure_kind":"absolute""#,
        &["/value inconsistent"],
    ),
    (
        r#""from_unit":"g","to_unit":"kg","from_pressure_kind":"gauge","to_pressure_kind":"gauge""#,
        &[
            "/from_pressure_kind contradictory",
            "/to_pressure_kind contradictory",
        ],
    ),
];

#[tokio::test]
async fn what_cannot_be_is_refused_at_its_field() {
    for (fields, expected) in WRONG {
        let body = format!("{{\"value\":-500,{fields}}}");
        assert_eq!(refused(PATH, &body).await, *expected, "{body}");
    }
}

#[tokio::test]
async fn every_unit_of_the_list_converts_into_its_base() {
    let (status, list) = get("/v1/reference/units").await;
    assert_eq!(status, 200);
    let units = list["units"].as_array().expect("units");
    assert!(units.len() > 90);
    for unit in units {
        let request = json!({"value": 1, "from_unit": unit["code"], "to_unit": unit["base_unit"],
            "quantity_kind": (unit["dimension"] == "temperature").then_some("temperature_difference")});
        let answer = answer(&request).await;
        assert_eq!(answer["converted_value"], unit["factor"], "{unit}");
        assert_eq!(answer["exact_factor"], unit["exact_factor"]);
        assert_eq!(answer["dimension"], unit["dimension"]);
    }
}

#[tokio::test]
async fn a_cell_of_a_spreadsheet_can_ask() {
    let query = "value=9&from_unit=%5Bpsi%5D&to_unit=kPa";
    let (status, by_address) = get(&format!("{PATH}?{query}")).await;
    assert_eq!(status, 200);
    assert_eq!(by_address, answer(&body(9.0, "[psi]", "kPa")).await);
}

#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    let gauge = json!({"value": 20, "from_unit": "[psi]", "to_unit": "bar", "from_pressure_kind": "gauge",
        "to_pressure_kind": "absolute", "air_pressure_hpa": 741.2});
    for request in [
        gauge,
        body(200.0, "[degF]", "Cel"),
        body(2.0, "[gal_us]", "L"),
    ] {
        super::workings_find_all(PATH, request, &[]).await;
    }
}
