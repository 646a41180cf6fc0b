//! Each calculation over HTTP: published values, faults of its own, workings.

mod bean_supply;
mod brewing_water;
mod comparisons;
mod consistency;
mod diagnosis;
mod dial_in;
mod exercises;
mod extraction_yield;
mod fractions;
mod milk_steaming;
mod oven_drying;
mod ratio;
mod recipe_transfer;
mod recipes;
mod recipes_menu;
mod refractometry;
mod shot_readings;
mod shot_simulation;
mod slurry_temperature;
mod steam_boiler;
mod stop_time;
mod targets;
mod unit_conversion;
mod water_blend;
mod water_dosing;
mod water_temperature;

use std::collections::HashMap;
use std::path::Path;

use serde_json::{Value, json};

use crate::support::{faults, post};

type Row = HashMap<String, String>;

/// The rows of a table in `tests/data`, computed outside this project.
fn data(name: &str) -> Vec<Row> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name);
    let mut reader = csv::Reader::from_path(file).expect("the table");
    let rows: Vec<Row> = reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect();
    assert!(rows.len() > 10, "{name}");
    rows
}

fn cell(row: &Row, name: &str) -> f64 {
    row[name]
        .parse()
        .unwrap_or_else(|e| panic!("{e}: {name} of {row:?}"))
}

/// The answer to a request that is right.
async fn answer(path: &str, body: &Value) -> Value {
    let (status, answer) = post(path, &body.to_string()).await;
    assert_eq!(status, 200, "{body}: {answer}");
    answer
}

/// The faults of a request that is wrong, each as pointer and code, no two alike.
async fn refused(path: &str, body: &str) -> Vec<String> {
    let (status, problem) = post(path, body).await;
    assert_eq!(status, 422, "{body}: {problem}");
    let mut found: Vec<_> = faults(&problem)
        .into_iter()
        .map(|(pointer, code)| format!("{pointer} {code}"))
        .collect();
    found.dedup();
    found
}

fn number(answer: &Value, name: &str) -> f64 {
    let value = answer[name].as_f64();
    value.unwrap_or_else(|| panic!("no {name} in {answer}"))
}

#[track_caller]
fn close(computed: f64, expected: f64, allowed: f64, what: &str) {
    assert!(
        (computed - expected).abs() <= allowed,
        "{what}: computed {computed}, expected {expected}, allowed ±{allowed}"
    );
}

fn codes(answer: &Value) -> Vec<&str> {
    let cautions = answer["cautions"].as_array().map_or(&[][..], |all| all);
    cautions
        .iter()
        .map(|caution| caution["code"].as_str().expect("a code"))
        .collect()
}

/// Asserts that every number of an answer but those given has its step, that each step ends at
/// what is answered, and that each names a source of the answer.
async fn workings_find_all(path: &str, mut body: Value, given: &[&str]) {
    body["workings"] = json!(true);
    let answer = answer(path, &body).await;
    let steps = answer["workings"].as_array().expect("workings");
    let sources = answer["sources"].as_array().expect("sources");
    for step in steps {
        let name = step["step"].as_str().expect("a name");
        assert!(
            sources.contains(&step["source"]),
            "{body}: source of {name}"
        );
        if let Some(answered) = answer.get(name) {
            assert_eq!(step["value"], *answered, "{body}: {name}");
        }
    }
    for (name, value) in answer.as_object().expect("an object") {
        if value.is_f64() && !given.contains(&name.as_str()) {
            let is_found = steps.iter().any(|step| step["step"] == json!(name));
            assert!(is_found, "{body}: {name} has no step");
        }
    }
}
