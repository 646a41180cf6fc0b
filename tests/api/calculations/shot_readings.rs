//! `shot-readings` over HTTP: the truth of seeded streams, tables in and out, refusals, workings.

#[path = "../../shared/scale_stream.rs"]
mod scale_stream;

use serde_json::{Value, json};

use super::{answer, close, codes, number, refused};
use crate::support::faults;
use crate::support::http::{send, send_json};
use scale_stream::{Draws, Recorded, Scale, Truth};

const PATH: &str = "/v1/shot-readings";

/// 1.5 g/s from 6 to 26 s, then a drain: 30 g and 0.75 g.
fn stream() -> (Truth, Recorded) {
    let truth = Truth::new(6.0, (1.5, 1.5, 5.0), 26.0, 0.5);
    let mut draws = Draws::seeded(3);
    let scale = Scale {
        lag_s: 0.4,
        ..Scale::drawn(&mut draws)
    };
    let recorded = Recorded::of(&truth, &scale, &mut draws, &|_| 0.0);
    (truth, recorded)
}

fn body(recorded: &Recorded) -> Value {
    json!({"time_s": recorded.time_s, "mass_g": recorded.mass_g, "dose_g": 15.0, "stopped_at_s": 26.0})
}

fn table(recorded: &Recorded) -> String {
    let rows = recorded.time_s.iter().zip(&recorded.mass_g);
    let rows: String = rows
        .map(|(time, mass)| format!("{time},{mass}\r\n"))
        .collect();
    format!("time_s,mass_g\r\n{rows}")
}

/// The truth is arithmetic: 1.5 g/s for 20 s, and 1.5 g/s x 0.5 s after the stop.
#[tokio::test]
async fn a_recorded_shot_is_what_it_was() {
    let (_, recorded) = stream();
    let found = answer(PATH, &body(&recorded)).await;
    close(number(&found, "first_drop_s"), 6.0, 0.2, "first drop");
    close(number(&found, "shot_time_s"), 26.0, 0.0, "shot time");
    close(number(&found, "beverage_mass_g"), 30.75, 0.1, "beverage");
    close(number(&found, "after_stop_g"), 0.75, 0.25, "after stop");
    close(
        number(&found, "flow_at_stop_g_per_s"),
        1.5,
        0.2,
        "flow at stop",
    );
    close(number(&found, "mean_flow_g_per_s"), 1.5, 0.03, "mean flow");
    close(number(&found, "brew_ratio"), 30.75 / 15.0, 0.01, "ratio");
    assert_eq!(found["shot_time_from"], "stopped_at");
    assert_eq!(found["faults"], json!([]));
    assert_eq!(found["basis"], "measured");
    let flow = &found["flow"];
    let length = |name: &str| flow[name].as_array().expect("a list").len();
    assert_eq!(length("time_s"), recorded.time_s.len());
    assert_eq!(length("flow_g_per_s"), recorded.time_s.len());
    assert_eq!(codes(&found), ["evenness_is_no_verdict"]);
}

/// 9 bar over 1.5 g/s of water of 965.3 kg/m3 (90 °C, 1 bar; from memory) is 5.79 bar s/mL. With
/// 3.14e-4 Pa s (90 °C; from memory), 400 kg/m3 of bed and 15 g at 58 mm, that is 14.19 mm deep:
/// k = 3.14e-4 x 0.01419 / (2.642e-3 x 5.79e11) = 2.91e-15 m2.
#[tokio::test]
async fn with_a_pressure_there_are_resistance_and_permeability() {
    let (_, recorded) = stream();
    let mut body = body(&recorded);
    body["basket_diameter_mm"] = json!(58.0);
    body["pressure_series"] =
        json!({"time_s": [0.0, 0.2, 26.0, 26.3], "value": [0.0, 9.0, 9.0, 0.0]});
    body["temperature_series"] = json!({"time_s": [0.0], "value": [90.0]});
    body.as_object_mut()
        .expect("an object")
        .remove("stopped_at_s");
    body["workings"] = json!(true);
    let found = answer(PATH, &body).await;
    close(
        number(&found, "puck_resistance_bar_s_per_ml"),
        5.79,
        0.1,
        "resistance",
    );
    close(
        number(&found, "permeability_m2"),
        2.91e-15,
        0.07e-15,
        "permeability",
    );
    close(
        number(&found, "shot_time_s"),
        26.18,
        0.1,
        "shot time by pressure",
    );
    assert_eq!(found["shot_time_from"], "pressure");
    let phases = found["phases"].as_array().expect("phases");
    let names: Vec<_> = phases
        .iter()
        .map(|p| p["phase"].as_str().expect("a name"))
        .collect();
    assert_eq!(names, ["rise", "extraction", "dripping"]);
    the_workings_end_at_the_answer(&found);
}

fn the_workings_end_at_the_answer(found: &Value) {
    for step in found["workings"].as_array().expect("workings") {
        let name = step["step"].as_str().expect("a name");
        if let Some(answered) = found.get(name) {
            assert_eq!(step["value"], *answered, "{name}");
        }
        let sources = found["sources"].as_array().expect("sources");
        assert!(sources.contains(&step["source"]), "{name}");
    }
}

#[tokio::test]
async fn times_count_from_the_start_of_the_pump() {
    let (_, recorded) = stream();
    let plain = answer(PATH, &body(&recorded)).await;
    let mut later = body(&recorded);
    let times: Vec<_> = recorded.time_s.iter().map(|time| time + 64.0).collect();
    later["time_s"] = json!(times);
    later["pump_on_at_s"] = json!(64.0);
    later["stopped_at_s"] = json!(90.0);
    let found = answer(PATH, &later).await;
    for name in [
        "first_drop_s",
        "shot_time_s",
        "beverage_mass_g",
        "after_stop_g",
    ] {
        close(number(&found, name), number(&plain, name), 1e-6, name);
    }
}

#[tokio::test]
async fn a_table_is_one_shot_with_its_other_fields_in_the_query() {
    let (_, recorded) = stream();
    let posted = send_json(("POST", PATH), &[], &body(&recorded).to_string()).await;
    let path = format!("{PATH}?dose_g=15&stopped_at_s=26");
    let csv = [("content-type", "text/csv")];
    let from_table = send(("POST", &path), &csv, table(&recorded)).await;
    assert_eq!(from_table.status, 200, "{}", from_table.text());
    assert_eq!(from_table.header("content-type"), "application/json");
    assert_eq!(from_table.text(), posted.text());
    // the same with decimal commas
    let semicolons = table(&recorded).replace(',', ";").replace('.', ",");
    let from_semicolons = send(("POST", &path), &csv, semicolons).await;
    assert_eq!(from_semicolons.text(), posted.text());
    let both = [("content-type", "text/csv"), ("accept", "text/csv")];
    let series = send(("POST", &path), &both, table(&recorded)).await;
    assert!(series.header("content-type").starts_with("text/csv"));
    let mut lines = series.text().lines();
    assert_eq!(lines.next(), Some("time_s,flow_g_per_s,beverage_mass_g"));
    assert_eq!(lines.count(), recorded.time_s.len());
}

#[tokio::test]
async fn columns_of_a_table_become_series_and_empty_cells_are_passed_over() {
    let (_, recorded) = stream();
    let mut text = "time_s,mass_g,pressure_bar,temperature_c\n".to_owned();
    for (place, (time, mass)) in recorded.time_s.iter().zip(&recorded.mass_g).enumerate() {
        let bar = if place % 3 == 0 { "9" } else { "" };
        text.push_str(&format!("{time},{mass},{bar},\n"));
    }
    let csv = [("content-type", "text/csv")];
    let reply = send(("POST", PATH), &csv, text).await;
    let found = reply.json();
    assert_eq!(reply.status, 200, "{found}");
    close(
        number(&found, "puck_resistance_bar_s_per_ml"),
        5.78,
        0.1,
        "resistance",
    );
}

/// Query, table and faults.
const WRONG_TABLES: [(&str, &str, &[&str]); 6] = [
    (
        "",
        "time_s,weight\n1,2\n",
        &["/weight unknown_field", "/mass_g required"],
    ),
    (
        "",
        "time_s,mass_g,mass_g\n1,2,2\n",
        &["/mass_g duplicate_field"],
    ),
    (
        "?time_s=1",
        "time_s,mass_g\n1,2\n",
        &["/time_s contradictory"],
    ),
    ("?dose=18", "time_s,mass_g\n1,2\n", &["/dose unknown_field"]),
    ("", "time_s,mass_g\n1,2,3\n", &[" wrong_type"]),
    (
        "?dose_g=much",
        "time_s,mass_g\n1,x\n",
        &[
            "/mass_g too_few_items",
            "/mass_g/0 wrong_type",
            "/dose_g wrong_type",
        ],
    ),
];

#[tokio::test]
async fn a_table_that_is_wrong_is_refused_by_name() {
    let csv = [("content-type", "text/csv")];
    for (path, text, expected) in WRONG_TABLES {
        let reply = send(("POST", &format!("{PATH}{path}")), &csv, text.to_owned()).await;
        let problem = reply.json();
        assert_eq!(reply.status, 422, "{text}: {problem}");
        let found: Vec<_> = faults(&problem)
            .into_iter()
            .map(|(pointer, code)| format!("{pointer} {code}"))
            .collect();
        for fault in expected {
            assert!(
                found.iter().any(|told| told == fault),
                "{text}: {fault} in {found:?}"
            );
        }
    }
    let empty = send(("POST", PATH), &csv, "").await;
    assert_eq!(
        (empty.status, empty.json()["code"].clone()),
        (400, json!("empty_body"))
    );
}

#[tokio::test]
async fn contradictions_are_all_told() {
    let body = json!({
        "time_s": [0, 1, 2, 3, 4, 5, 6, 7, 8],
        "mass_g": [0, 0, 0, 0, 1, 2, 3, 4],
        "pressure_series": {"time_s": [0, 1], "value": [9, 30, 4]},
        "pump_on_at_s": 20, "stopped_at_s": 10,
    });
    let expected = [
        "/mass_g inconsistent",
        "/pressure_series/value inconsistent",
        "/pressure_series/value/1 out_of_range",
        "/stopped_at_s inconsistent",
        "/time_s inconsistent",
    ];
    assert_eq!(refused(PATH, &body.to_string()).await, expected);
    let one_instant =
        json!({"time_s": [1, 1, 1, 1, 1, 1, 1, 1], "mass_g": [0, 0, 0, 0, 0, 0, 0, 0]});
    assert_eq!(
        refused(PATH, &one_instant.to_string()).await,
        ["/time_s inconsistent"]
    );
}

#[tokio::test]
async fn an_empty_cup_has_no_first_drop() {
    let times: Vec<_> = (0..100).map(|n| 0.1 * f64::from(n)).collect();
    let body = json!({"time_s": times, "mass_g": vec![0.0; 100]});
    let found = answer(PATH, &body).await;
    close(number(&found, "beverage_mass_g"), 0.0, 1e-9, "beverage");
    assert!(found.get("first_drop_s").is_none() && found.get("evenness").is_none());
}

#[tokio::test]
async fn faults_are_told_by_code_and_time() {
    let (_, mut recorded) = stream();
    recorded.tare(12.0);
    recorded.gap(18.0, 20.0);
    let found = answer(PATH, &body(&recorded)).await;
    let faults = found["faults"].as_array().expect("faults");
    let told: Vec<_> = faults
        .iter()
        .map(|f| f["code"].as_str().expect("a code"))
        .collect();
    assert_eq!(told, ["tare", "gap"]);
    close(number(&faults[0], "time_s"), 12.0, 0.3, "tare");
    close(number(&faults[1], "time_s"), 18.0, 0.3, "gap");
    close(number(&found, "beverage_mass_g"), 30.75, 0.2, "beverage");
    assert!(codes(&found).contains(&"faulty_readings"));
}

#[tokio::test]
async fn what_is_no_number_in_a_table_is_named_as_such() {
    let path = "/v1/shot-readings?dose_g=1e999";
    let body = "time_s,mass_g\r\n0,0\r\n1,NaN\r\n2,1e999\r\n";
    let headers = [("content-type", "text/csv")];
    let reply = send(("POST", path), &headers, body).await;
    let found = faults(&reply.json());
    assert!(
        found.contains(&("/dose_g".to_owned(), "not_finite".to_owned())),
        "{found:?}"
    );
    let reply = send(("POST", "/v1/shot-readings"), &headers, body).await;
    let expected = ("/mass_g".to_owned(), "not_finite".to_owned());
    assert_eq!(faults(&reply.json()), [expected.clone(), expected]);
}
