//! `stop-time` over HTTP.

#[path = "../../shared/stop_streams.rs"]
mod stop_streams;

use extraction_maths::api::calculation::{Calculation, UNCANCELLED, Weight};
use extraction_maths::api::calculations::stop_time::StopTime;
use extraction_maths::api::registry::REGISTRY;
use serde_json::{Value, json};

use super::{answer, codes, number, refused};
use crate::support::post;
use stop_streams::{DELAY_S, Draws, Machine, Shot};

const PATH: &str = "/v1/stop-time";

fn example(name: &str) -> Value {
    let found = StopTime::EXAMPLES.iter().find(|e| e.name == name);
    serde_json::from_str(found.expect(name).body).expect("JSON")
}

/// So many readings of a shot.
fn readings(seed: u64, count: usize) -> Vec<(f64, f64)> {
    let mut shot = Shot::drawn(Machine::drawn(&mut Draws::new(seed)), seed);
    (0..count).map(|_| shot.next()).collect()
}

fn request(readings: &[(f64, f64)]) -> Value {
    let (time_s, mass_g): (Vec<f64>, Vec<f64>) = readings.iter().copied().unzip();
    json!({"time_s": time_s, "mass_g": mass_g, "target_beverage_mass_g": 36})
}

fn resumed(readings: &[(f64, f64)], resume: &Value) -> Value {
    let mut request = request(readings);
    request["resume"] = resume.clone();
    request
}

/// The example that goes on is what the first one leads to. Where the state has a new form,
/// this says what to put there.
#[tokio::test]
async fn the_state_in_the_demo_data_is_that_of_the_call_before() {
    let first = answer(PATH, &example("harbour-first-call")).await;
    assert_eq!(example("harbour-goes-on")["resume"], first["resume"]);
    let next = answer(PATH, &example("harbour-goes-on")).await;
    assert_eq!(
        next["stop_rule"], first["stop_rule"],
        "what was learned goes along"
    );
    // five readings are sent a second time
    assert_eq!(next["readings_ignored"], 5);
    assert_eq!(next["faults"], json!([]));
    assert!(!codes(&next).contains(&"drain_assumed"));
}

#[tokio::test]
async fn any_portions_come_to_the_same_answer_byte_for_byte() {
    let readings = readings(3, 260);
    let whole = answer(PATH, &request(&readings)).await;
    for size in [1, 7, 100] {
        let mut resume = Value::Null;
        let mut last = Value::Null;
        for portion in readings.chunks(size) {
            last = answer(PATH, &resumed(portion, &resume)).await;
            resume = last["resume"].clone();
        }
        for name in [
            "state",
            "resume",
            "stop_at_s",
            "seconds_left",
            "stop_at_uncertainty_s",
            "expected_final_mass_g",
            "standard_uncertainty_g",
            "beverage_mass_g",
            "flow_g_per_s",
            "zero_g",
            "stop_rule",
        ] {
            assert_eq!(last[name], whole[name], "{name} by {size}");
        }
    }
}

#[tokio::test]
async fn a_call_that_is_repeated_changes_nothing() {
    let readings = readings(4, 150);
    let first = answer(PATH, &request(&readings[..140])).await;
    let next = answer(PATH, &resumed(&readings[140..], &first["resume"])).await;
    let again = answer(PATH, &resumed(&readings[140..], &first["resume"])).await;
    assert_eq!(next, again);
    let late = answer(PATH, &resumed(&readings[140..], &next["resume"])).await;
    assert_eq!(late["resume"], next["resume"]);
    assert_eq!(late["stop_at_s"], next["stop_at_s"]);
    assert_eq!(late["readings_used"], 0);
    assert_eq!(late["readings_ignored"], 10);
}

#[tokio::test]
async fn a_state_that_is_not_ours_is_refused() {
    let readings = readings(5, 120);
    let first = answer(PATH, &request(&readings[..100])).await;
    let text = first["resume"].as_str().expect("a text");
    let middle = text.len() / 2;
    let swapped = if &text[middle..=middle] == "A" {
        "B"
    } else {
        "A"
    };
    let changed = format!("{}{swapped}{}", &text[..middle], &text[middle + 1..]);
    let newer = format!("Ag{}", &text[2..]);
    for wrong in [
        &text[..text.len() - 4],
        changed.as_str(),
        newer.as_str(),
        "",
        "é",
        "AQ",
    ] {
        let body = resumed(&readings[100..], &json!(wrong));
        let found = refused(PATH, &body.to_string()).await;
        assert_eq!(found, ["/resume inconsistent"], "{wrong}");
    }
    let long = resumed(&readings[100..], &json!(text.repeat(4)));
    assert_eq!(refused(PATH, &long.to_string()).await, ["/resume too_long"]);
}

#[tokio::test]
async fn a_state_goes_with_its_own_shot_only() {
    let readings = readings(6, 120);
    let first = answer(PATH, &request(&readings[..100])).await;
    let mut other = resumed(&readings[100..], &first["resume"]);
    other["target_beverage_mass_g"] = json!(40);
    other["scale_lag_s"] = json!(0.5);
    let found = refused(PATH, &other.to_string()).await;
    assert_eq!(found, ["/resume inconsistent", "/scale_lag_s inconsistent"]);
    other["target_beverage_mass_g"] = json!(36);
    other["scale_lag_s"] = json!(0.4);
    answer(PATH, &other).await;
}

#[tokio::test]
async fn lists_of_two_lengths_are_refused() {
    let body = r#"{"time_s":[0,0.1],"mass_g":[0],"target_beverage_mass_g":36}"#;
    assert_eq!(refused(PATH, body).await, ["/mass_g inconsistent"]);
}

#[tokio::test]
async fn a_call_before_the_shot_has_the_rule_and_a_state() {
    let body =
        json!({"time_s": [], "mass_g": [], "target_beverage_mass_g": 36, "command_latency_s": 0.3});
    let before = answer(PATH, &body).await;
    assert_eq!(before["state"], "waiting");
    assert!(before.get("stop_at_s").is_none() && before.get("expected_final_mass_g").is_none());
    // 0.12 + 0.4 + 0.3 s; 0.8 g and 0.6 s are usual
    let rule = &before["stop_rule"];
    assert!((number(rule, "delay_s") - 0.82).abs() < 1e-12);
    assert!((number(rule, "drain_base_g") - 0.8).abs() < 1e-12);
    assert!((number(rule, "drain_per_flow_s") - 0.6).abs() < 1e-12);
    assert!(codes(&before).contains(&"drain_assumed"));
    // the latency goes along
    let readings = readings(7, 130);
    let next = answer(PATH, &resumed(&readings, &before["resume"])).await;
    assert_eq!(next["stop_rule"], before["stop_rule"]);
    assert_eq!(next["state"], "flowing");
}

#[tokio::test]
async fn every_answer_says_that_a_network_must_not_stop_a_shot() {
    for entry in StopTime::EXAMPLES {
        let answer = answer(PATH, &example(entry.name)).await;
        assert!(
            codes(&answer).contains(&"network_must_not_stop"),
            "{}",
            entry.name
        );
        assert!(codes(&answer).contains(&"hot_water"), "{}", entry.name);
        assert_eq!(answer["basis"], "measured");
    }
}

#[tokio::test]
async fn a_tare_in_the_shot_is_said_and_the_mass_goes_on() {
    let lab = answer(PATH, &example("lab-tared-in-the-shot")).await;
    assert_eq!(lab["faults"][1]["code"], "tare", "{}", lab["faults"]);
    assert_eq!(
        lab["faults"][0]["code"], "bump",
        "its first readings are not believed"
    );
    assert!(codes(&lab).contains(&"readings_in_doubt"));
    let shown = example("lab-tared-in-the-shot")["mass_g"][159]
        .as_f64()
        .expect("a mass");
    // by the scale's own readings before the tare and since, and what its lag of 0.4 s hides
    let before = example("lab-tared-in-the-shot")["mass_g"][109]
        .as_f64()
        .expect("a mass");
    let hidden = number(&lab, "flow_g_per_s") * 0.52;
    let mass = number(&lab, "beverage_mass_g");
    assert!((mass - shown - before - hidden).abs() < 0.5, "{mass}");
}

#[tokio::test]
async fn the_workings_end_at_what_is_answered() {
    let given = ["flow_g_per_s", "zero_g"];
    for name in ["lab-tared-in-the-shot", "harbour-first-call"] {
        super::workings_find_all(PATH, example(name), &given).await;
    }
}

/// A phone that calls at every reading stops each shot near its target. Figures without
/// history stand with the maths; here the calls are the point.
#[test]
fn a_phone_that_calls_at_every_reading_stops_near_the_target() {
    let entry = REGISTRY.iter().find(|entry| entry.name == StopTime::NAME);
    let entry = entry.expect("an entry");
    assert_eq!(entry.weight, Weight::Light);
    for seed in 0..12 {
        let mut shot = Shot::drawn(Machine::drawn(&mut Draws::new(seed)), seed);
        let mut resume = Value::Null;
        for number in 0.. {
            assert!(number < 900, "{seed}");
            let reading = shot.next();
            let mut body = resumed(&[reading], &resume);
            body["transport_delay_s"] = json!(DELAY_S);
            let body = body.to_string();
            let mut out = Vec::new();
            entry
                .answer(body.as_bytes(), &UNCANCELLED, &mut out)
                .expect("an answer");
            let answer: Value = serde_json::from_slice(&out).expect("JSON");
            resume = answer["resume"].clone();
            if answer["state"] == "stop_now" {
                assert!(shot.mass_g() < 36.0, "{seed}: what drains is still to come");
                shot.command(reading.0);
                break;
            }
        }
        let miss_g = shot.drained_g() - 36.0;
        assert!(miss_g.abs() < 2.0, "{seed}: {miss_g}");
    }
}

#[tokio::test]
async fn a_batch_and_no_query_answers_it() {
    let call =
        json!({"id": "a", "calculation": "stop-time", "request": example("harbour-first-call")});
    let (status, batch) = post("/v1/batch", &json!({"calls": [call]}).to_string()).await;
    assert_eq!(status, 200);
    let alone = answer(PATH, &example("harbour-first-call")).await;
    assert_eq!(batch["answers"][0]["answer"], alone);
    let (status, _) = crate::support::get("/v1/stop-time?target_beverage_mass_g=36").await;
    assert_eq!(status, 405);
}
