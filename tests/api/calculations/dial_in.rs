//! `dial-in` over HTTP.

use extraction_maths::api::calculation::{Calculation, Call};
use extraction_maths::api::calculations::dial_in::{DialIn, DialInRequest};
use extraction_maths::api::problem::ProblemCode;
use serde_json::{Value, json};

use crate::support::{faults, post};

const PATH: &str = "/v1/dial-in";

fn shot(setting: f64, time: f64) -> Value {
    json!({
        "grind_setting": setting, "dose_g": 18, "basket_diameter_mm": 58.4,
        "beverage_mass_g": 36, "shot_time_s": time,
    })
}

fn request(higher_is: &str, shots: &[Value], target: Value) -> Value {
    json!({
        "grinder": {"higher_is": higher_is, "smallest_step": 0.5},
        "shots": shots, "target": target,
    })
}

async fn answered(request: &Value) -> Value {
    let (status, answer) = post(PATH, &request.to_string()).await;
    assert_eq!(status, 200, "{answer}");
    answer
}

fn codes(answer: &Value) -> Vec<&str> {
    let why = answer["why"].as_array().expect("reasons");
    why.iter()
        .filter_map(|reason| reason["code"].as_str())
        .collect()
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[actix_web::test]
async fn one_shot_that_ran_fast_asks_for_a_finer_grind_in_both_directions_of_the_dial() {
    for (higher_is, sign) in [("finer", 1.0), ("coarser", -1.0)] {
        let asked = request(higher_is, &[shot(10.0, 20.0)], json!({"shot_time_s": 28}));
        let answer = answered(&asked).await;
        let setting = number(&answer["next"]["grind_setting"]);
        assert!(sign * (setting - 10.0) > 0.0, "{higher_is}: {setting}");
        assert!((setting % 0.5).abs() < 1e-12, "on a step");
        assert!(codes(&answer).contains(&"grind_finer"));
        assert_eq!(answer["next"]["dose_g"], 18.0);
        assert_eq!(answer["next"]["beverage_mass_g"], 36.0);
        assert_eq!(answer["basis"], "simulated_unvalidated");
    }
}

/// Three shots on a line leave no scatter, but were read from a clock and a refractometer.
#[actix_web::test]
async fn a_regression_through_shots_on_a_line_is_no_surer_than_its_readings() {
    let strength = |setting: f64| {
        let mut shot = shot(setting, 27.0 * (0.07 * (17.0 - setting)).exp());
        shot["tds_percent"] = json!(9.6 + 0.4 * (17.0 - setting));
        shot
    };
    let shots = [20.0, 18.0, 17.0].map(strength);
    let answer = answered(&request("coarser", &shots, json!({"shot_time_s": 26}))).await;
    let predicted = &answer["methods"]["regression"]["predicted"];
    // 1.645 times 0.05 points and 0.3 s
    for (quantity, least) in [("tds_percent", 0.08), ("shot_time_s", 0.49)] {
        let [low, high] = ["low", "high"].map(|end| number(&predicted[quantity][end]));
        assert!((high - low) / 2.0 > least, "{quantity}: {low} to {high}");
    }
    assert!(!codes(&answer).contains(&"dial_against_shots"));
}

#[actix_web::test]
async fn shots_that_run_slower_when_ground_coarser_question_the_dial() {
    let shots = [shot(20.0, 20.0), shot(18.0, 24.5), shot(17.0, 27.0)];
    let wrong = answered(&request("finer", &shots, json!({"shot_time_s": 30}))).await;
    assert_eq!(codes(&wrong)[0], "dial_against_shots", "{wrong}");
    let right = answered(&request("coarser", &shots, json!({"shot_time_s": 30}))).await;
    assert!(!codes(&right).contains(&"dial_against_shots"));
}

#[actix_web::test]
async fn without_a_strength_the_yield_is_not_determined() {
    let asked = request(
        "finer",
        &[shot(10.0, 25.0)],
        json!({"extraction_yield_percent": 20}),
    );
    let answer = answered(&asked).await;
    let open = answer["not_determined"].as_array().expect("a list");
    assert!(open.contains(&json!("extraction_yield_percent")));
    assert!(open.contains(&json!("tds_percent")));
    assert!(
        answer["predicted"]
            .get("extraction_yield_percent")
            .is_none()
    );
    assert!(answer["predicted"].get("tds_percent").is_none());
    assert!(codes(&answer).contains(&"no_strength_reading"));
    assert_eq!(answer["target_reached"], false);
    assert_eq!(answer["next"]["grind_setting"], 10.0);
}

#[actix_web::test]
async fn a_ratio_is_met_exactly_by_what_may_be_changed() {
    let mut asked = request("finer", &[shot(10.0, 28.0)], json!({"brew_ratio": 2.5}));
    let answer = answered(&asked).await;
    assert_eq!(answer["next"]["beverage_mass_g"], 45.0);
    asked["may_change"] = json!(["dose_g"]);
    let answer = answered(&asked).await;
    assert_eq!(answer["next"]["dose_g"], 14.4);
    asked["may_change"] = json!(["water_temperature_c"]);
    let answer = answered(&asked).await;
    assert_eq!(answer["target_reached"], false);
    assert!(codes(&answer).contains(&"target_out_of_reach"));
}

#[actix_web::test]
async fn three_shots_that_differ_only_in_grind_bring_the_regression() {
    let shots =
        [(10.0, 22.0), (11.0, 24.2), (12.0, 26.5)].map(|(setting, time)| shot(setting, time));
    let answer = answered(&request("finer", &shots, json!({"shot_time_s": 28}))).await;
    let methods = &answer["methods"];
    let times = [&methods["physics"], &methods["regression"]]
        .map(|method| number(&method["predicted"]["shot_time_s"]["value"]));
    assert!((times[0] / times[1]).ln().abs() < 0.1, "{times:?}");
    let two = answered(&request("finer", &shots[..2], json!({"shot_time_s": 28}))).await;
    assert!(two["methods"].get("regression").is_none());
    assert!(codes(&two).contains(&"no_regression"));
}

#[actix_web::test]
async fn an_interval_holds_its_value_and_grows_with_its_coverage() {
    let mut asked = request("finer", &[shot(10.0, 25.0)], json!({"shot_time_s": 25}));
    let mut widths = Vec::new();
    for coverage in [0.5, 0.9, 0.99] {
        asked["coverage_probability"] = json!(coverage);
        let answer = answered(&asked).await;
        let time = &answer["predicted"]["shot_time_s"];
        assert_eq!(time["coverage_probability"], coverage);
        let [low, value, high] = ["low", "value", "high"].map(|name| number(&time[name]));
        assert!(low < value && value < high);
        widths.push(high - low);
    }
    assert!(widths[0] < widths[1] && widths[1] < widths[2]);
}

#[actix_web::test]
async fn a_dial_ends_where_it_ends() {
    let mut asked = request("finer", &[shot(10.0, 15.0)], json!({"shot_time_s": 40}));
    asked["grinder"]["highest_setting"] = json!(10.5);
    let answer = answered(&asked).await;
    assert_eq!(answer["next"]["grind_setting"], 10.5);
    assert!(codes(&answer).contains(&"target_out_of_reach"));
}

#[actix_web::test]
async fn faults_are_named_all_at_once() {
    let mut wrong = shot(10.0, 25.0);
    wrong["first_drop_s"] = json!(30);
    wrong["tds_percent"] = json!(25);
    wrong["pressure_profile"] = json!({"time_s": [0, 0], "pressure_bar": [0.1, 0.1]});
    let mut asked = request("finer", &[wrong], json!({}));
    asked["grinder"]["lowest_setting"] = json!(5);
    asked["grinder"]["highest_setting"] = json!(5);
    let (status, problem) = post(PATH, &asked.to_string()).await;
    assert_eq!(status, 422);
    let found = faults(&problem);
    for (pointer, code) in [
        ("/shots/0/first_drop_s", "inconsistent"),
        ("/shots/0/tds_percent", "inconsistent"),
        ("/shots/0/pressure_profile", "inconsistent"),
        ("/shots/0/pressure_profile/time_s/1", "inconsistent"),
        ("/target/shot_time_s", "required"),
        ("/grinder/highest_setting", "inconsistent"),
    ] {
        let is_named = found.iter().any(|(p, c)| p == pointer && c == code);
        assert!(is_named, "{pointer} {code} in {found:?}");
    }
}

#[test]
fn a_stopped_call_answers_no_half_of_a_fit() {
    let body = request("finer", &[shot(10.0, 25.0)], json!({"shot_time_s": 28}));
    let typed: DialInRequest = serde_json::from_value(body).expect("a request");
    let problem = DialIn::answer(&typed, &Call::new(&|| true)).expect_err("stopped");
    assert_eq!(problem.code(), ProblemCode::DeadlineExceeded);
}

#[test]
fn fifty_shots_are_within_the_budget() {
    let shots = vec![shot(10.0, 180.0); 50];
    let body = request("finer", &shots, json!({"shot_time_s": 28}));
    let typed: DialInRequest = serde_json::from_value(body).expect("a request");
    assert!(DialIn::cost(&typed) <= DialIn::BUDGET);
}
