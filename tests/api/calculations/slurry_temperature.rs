//! `slurry-temperature` over HTTP: [heat-balance], [slurry-heat], [newton-cooling], [iapws2012],
//! see docs/REFERENCES.md.

use serde_json::{Value, json};

use super::{close, codes, data, number, refused};
use crate::support::post;

const PATH: &str = "/v1/slurry-temperature";

/// The same equations evaluated by another program; °C, kJ or s.
const SAME_EQUATIONS: f64 = 1e-6;

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

/// Rows of one kind, computed outside this project: id, what was given and what came out.
fn rows(kind: &str) -> Vec<(String, Value, Value)> {
    let json = |text: &str| serde_json::from_str(text).expect("JSON");
    let rows: Vec<_> = data("iapws2012_thermal.csv")
        .iter()
        .filter(|row| row["kind"] == kind)
        .map(|row| {
            let (input, output) = (json(&row["input_json"]), json(&row["output_json"]));
            (row["id"].clone(), input, output)
        })
        .collect();
    assert!(rows.len() > 5, "{kind}");
    rows
}

/// The request of a row; the vessel's J/K as grams of something with 1 kJ/(kg K).
fn slurry(input: &Value) -> Value {
    assert_eq!(
        input["cp_water"], 4.2,
        "what the service takes water to have"
    );
    json!({
        "water_mass_g": input["water_g"],
        "dose_g": input["coffee_g"],
        "coffee_temperature_c": input["t_coffee"],
        "coffee_specific_heat_kj_per_kg_k": input["cp_coffee"],
        "vessel_mass_g": input["vessel_j_k"],
        "vessel_specific_heat_kj_per_kg_k": 1,
        "vessel_temperature_c": input["t_vessel"],
    })
}

#[tokio::test]
async fn every_row_of_slurries_is_matched() {
    for (id, input, output) in rows("slurry") {
        let mut body = slurry(&input);
        body["water_temperature_c"] = input["t_water"].clone();
        let answer = answer(&body).await;
        let expected = number(&output, "t_mix_c");
        close(
            number(&answer, "slurry_temperature_c"),
            expected,
            SAME_EQUATIONS,
            &id,
        );
        assert_eq!(
            answer["water_temperature_c"], input["t_water"],
            "bit for bit"
        );
    }
}

#[tokio::test]
async fn every_row_of_wanted_slurries_is_matched() {
    for (id, input, output) in rows("slurry_inverse") {
        let mut body = slurry(&input);
        body["target_slurry_temperature_c"] = input["t_target"].clone();
        let answer = answer(&body).await;
        let expected = number(&output, "t_water_c");
        close(
            number(&answer, "water_temperature_c"),
            expected,
            SAME_EQUATIONS,
            &id,
        );
        assert_eq!(
            answer["slurry_temperature_c"], input["t_target"],
            "bit for bit"
        );
    }
}

#[tokio::test]
async fn every_row_of_heating_up_is_matched() {
    for (id, input, output) in rows("heat_up") {
        let body = json!({
            "water_mass_g": input["water_g"],
            "water_temperature_c": input["t2"],
            "dose_g": 18,
            "start_temperature_c": input["t1"],
            "heater_power_w": input["power_w"],
            "heater_efficiency": input["eff"],
            "kettle_mass_g": input["metal_j_k"],
            "kettle_specific_heat_kj_per_kg_k": 1,
        });
        let answer = answer(&body).await;
        for (name, column) in [
            ("heat_up_energy_kj", "energy_kj"),
            ("heat_up_time_s", "time_s"),
        ] {
            close(
                number(&answer, name),
                number(&output, column),
                SAME_EQUATIONS,
                &id,
            );
        }
        let superheated = number(&answer, "water_temperature_c") > 99.98;
        assert_eq!(codes(&answer).contains(&"superheated"), superheated, "{id}");
    }
}

/// The slurry of the row's start, of water alone but for a pinch of coffee as warm as it
#[tokio::test]
async fn every_row_of_cooling_is_matched() {
    for (id, input, output) in rows("newton") {
        let body = json!({
            "water_mass_g": 300,
            "water_temperature_c": input["t0"],
            "dose_g": 0.1,
            "coffee_temperature_c": input["t0"],
            "wait_s": input["time_s"],
            "surroundings_temperature_c": input["t_amb"],
            "cooling_time_constant_s": input["tau_s"],
        });
        let answer = answer(&body).await;
        let expected = number(&output, "t_c");
        close(
            number(&answer, "cooled_temperature_c"),
            expected,
            SAME_EQUATIONS,
            &id,
        );
    }
}

/// Worked by hand with 4.2 kJ/(kg K) for water and 1.6 for coffee, coffee at 22 °C:
/// (98.7 + 0.528) / 1.074 = 92.39, (17.766 + 0.528) / 0.213 = 85.9 and
/// (14.2128 + 0.6336) / 0.18 = 82.5 for 18 g in 36 g of 94 °C
#[tokio::test]
async fn brews_worked_by_hand_come_out_with_the_defaults() {
    for (water, dose, printed, half) in [
        (250, 15, 92.39, 5e-3),
        (45, 15, 85.9, 5e-2),
        (36, 18, 82.5, 5e-2),
    ] {
        let body = json!({"water_mass_g": water, "water_temperature_c": 94, "dose_g": dose,
            "coffee_temperature_c": 22});
        let answer = answer(&body).await;
        close(
            number(&answer, "slurry_temperature_c"),
            printed,
            half,
            "by hand",
        );
        assert_eq!(codes(&answer), ["hot_water"]);
    }
}

/// 1 kg from 15 to 93 °C takes 326.6 kJ, 181 s of a 2 kW heater of which 90 % arrives
#[tokio::test]
async fn a_kettle_of_a_litre_takes_three_minutes() {
    let body = json!({"water_mass_g": 1000, "water_temperature_c": 93, "dose_g": 60,
        "start_temperature_c": 15, "heater_power_w": 2000, "heater_efficiency": 0.9});
    let answer = answer(&body).await;
    close(number(&answer, "heat_up_energy_kj"), 326.6, 5e-2, "energy");
    close(number(&answer, "heat_up_time_s"), 181.0, 0.5, "time");
}

#[tokio::test]
async fn what_the_water_gives_the_others_take() {
    let body = json!({"water_mass_g": 300, "water_temperature_f": 201.2, "dose_g": 20,
        "vessel_mass_g": 400, "vessel_specific_heat_kj_per_kg_k": 0.5, "vessel_temperature_c": 20});
    let answer = answer(&body).await;
    let taken = number(&answer, "heat_to_coffee_kj") + number(&answer, "heat_to_vessel_kj");
    close(number(&answer, "heat_from_water_kj"), taken, 1e-9, "heat");
    assert_eq!(answer["water_temperature_f"], json!(201.2));
    close(
        number(&answer, "water_temperature_c"),
        94.0,
        1e-9,
        "201.2 °F",
    );
    // the way back
    let mut back = body;
    back["water_temperature_f"] = Value::Null;
    back["target_slurry_temperature_f"] = answer["slurry_temperature_f"].clone();
    let back = super::answer(PATH, &back).await;
    close(number(&back, "water_temperature_c"), 94.0, 1e-9, "back");
}

const BASE: &str = r#""water_mass_g":250,"dose_g":15"#;

/// Requests that are wrong, and the faults that say so.
const WRONG: &[(&str, &[&str])] = &[
    (r#""workings":true"#, &["/water_temperature_c required"]),
    (
        r#""water_temperature_c":90,"target_slurry_temperature_c":85"#,
        &[
            "/water_temperature_c contradictory",
            "/target_slurry_temperature_c contradictory",
        ],
    ),
    (
        r#""water_temperature_c":90,"vessel_mass_g":100"#,
        &[
            "/vessel_specific_heat_kj_per_kg_k required",
            "/vessel_temperature_c required",
        ],
    ),
    (
        r#""water_temperature_c":90,"heater_power_w":1000"#,
        &["/start_temperature_c required"],
    ),
    (
        r#""water_temperature_c":90,"start_temperature_c":95"#,
        &["/start_temperature_c inconsistent"],
    ),
    (
        r#""water_temperature_c":90,"wait_s":60"#,
        &[
            "/surroundings_temperature_c required",
            "/cooling_time_constant_s required",
        ],
    ),
    (
        r#""water_temperature_c":151"#,
        &["/water_temperature_c out_of_range"],
    ),
];

#[tokio::test]
async fn what_cannot_be_is_refused_at_its_fields() {
    for (fields, expected) in WRONG {
        let body = format!("{{{BASE},{fields}}}");
        assert_eq!(refused(PATH, &body).await, *expected, "{body}");
    }
    let missing = refused(PATH, r#"{"water_temperature_c":90}"#).await;
    assert_eq!(missing, ["/water_mass_g required", "/dose_g required"]);
}

#[tokio::test]
async fn a_slurry_that_no_water_gives_has_no_solution() {
    for body in [
        json!({"water_mass_g": 1, "dose_g": 500, "target_slurry_temperature_c": 90}),
        json!({"water_mass_g": 10, "dose_g": 500, "target_slurry_temperature_c": 90}),
        json!({"water_mass_g": 1, "dose_g": 500, "water_temperature_c": 1, "coffee_temperature_c": -18}),
    ] {
        let (status, problem) = post(PATH, &body.to_string()).await;
        assert_eq!(status, 422, "{body}: {problem}");
        assert_eq!(problem["code"], "no_solution", "{body}");
    }
}

#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    let all = json!({"water_mass_g": 300, "water_temperature_f": 200, "dose_g": 18,
        "vessel_mass_g": 420, "vessel_specific_heat_kj_per_kg_k": 0.5, "vessel_temperature_c": 21,
        "start_temperature_c": 18, "kettle_mass_g": 700, "kettle_specific_heat_kj_per_kg_k": 0.5,
        "heater_power_w": 2000, "wait_s": 240, "surroundings_temperature_c": 21,
        "cooling_time_constant_s": 2600});
    super::workings_find_all(PATH, all, &["water_temperature_f"]).await;
    let inverse = json!({"water_mass_g": 300, "target_slurry_temperature_c": 88, "dose_g": 18});
    super::workings_find_all(PATH, inverse, &["slurry_temperature_c"]).await;
}
