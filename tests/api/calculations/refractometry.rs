//! `refractometry` over HTTP: published scales and factors, the budget, and what cannot be.

use serde_json::{Value, json};

use super::{close, codes, data, number, refused};

const PATH: &str = "/v1/refractometry";

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

/// Rows of the table of outside values whose id begins so: inputs, expected, tolerance.
fn rows(prefix: &str) -> Vec<(String, Value, f64, f64)> {
    let rows: Vec<_> = data("refractometry.csv")
        .iter()
        .filter(|row| row["id"].starts_with(prefix))
        .map(|row| {
            let inputs = serde_json::from_str(&row["inputs"]).expect("JSON");
            let (expected, tolerance) =
                (super::cell(row, "expected"), super::cell(row, "tolerance"));
            (row["id"].clone(), inputs, expected, tolerance)
        })
        .collect();
    assert!(!rows.is_empty(), "{prefix}");
    rows
}

#[tokio::test]
async fn an_index_reads_as_the_sugar_scale_says() {
    for (id, inputs, index, tolerance) in [rows("RX-SU"), rows("RX-IC")].concat() {
        if index > 1.400 {
            continue;
        }
        let body = json!({"refractive_index": index, "temperature_compensated": true,
            "solids_per_brix": 0.7});
        let answer = answer(&body).await;
        // 1.4e-3 of index to a percent of sugar
        let allowed = tolerance / 1.4e-3;
        close(
            number(&answer, "corrected_brix_percent"),
            number(&inputs, "brix"),
            allowed,
            &id,
        );
    }
}

#[tokio::test]
async fn a_cold_reading_is_corrected_as_the_table_says() {
    for (id, inputs, correction, tolerance) in rows("RX-OIV") {
        let body = json!({"brix_percent": inputs["reading_pct"], "solids_per_brix": 0.8,
            "sample_temperature_c": inputs["T_degC"]});
        let answer = answer(&body).await;
        close(
            number(&answer, "temperature_correction_points"),
            correction,
            tolerance,
            &id,
        );
    }
}

/// Points by which the weighing of a dried sample may be off: empty control dishes of the same
/// data changed by up to 9 mg, of samples of about 10 g [oven-drying].
const CONTROL_DISH_POINTS: f64 = 0.1;

/// Dried and read samples [quantitativecafe2023] agree with the default factor within its
/// uncertainty and that of the weighing.
#[tokio::test]
async fn dried_coffee_lies_within_the_uncertainty_of_the_factor() {
    for (id, inputs, dried, _) in rows("RX-OD") {
        let body = json!({"refractive_index": inputs["nD20"], "sample_temperature_c": 20,
            "sample_filtered": true, "reading_half_width": 0.00005});
        let answer = answer(&body).await;
        let expanded = number(&answer["uncertainty"], "expanded_points");
        close(
            number(&answer, "tds_percent"),
            dried,
            expanded + CONTROL_DISH_POINTS,
            &id,
        );
    }
}

/// Strength by the slope of the same data, 538.1 % per unit of index, with the factor fitted
/// there [coffee-solids-factor]
#[tokio::test]
async fn the_fitted_factor_gives_the_fitted_slope() {
    for index in [1.3345, 1.340, 1.346] {
        let body = json!({"refractive_index": index, "sample_temperature_c": 20,
            "solids_per_brix": 0.793});
        let answer = answer(&body).await;
        let expected = 538.1 * (index - 1.332_99);
        close(number(&answer, "tds_percent"), expected, 0.06, "slope");
    }
}

/// Water reads as water but for 0.004 % (the scale's zero and the index of water differ by 6e-6),
/// whatever its temperature and however wrong the instrument: -0.34 % at
/// 25 °C on the sugar scale, and 1.332494 as an index, by [iapws1997] and the index of air
#[tokio::test]
async fn water_has_no_solids() {
    for body in [
        json!({"refractive_index": 1.332494, "sample_temperature_c": 25}),
        json!({"brix_percent": -0.345, "sample_temperature_c": 25}),
        json!({"brix_percent": 0.3, "zero_brix_percent": 0.3}),
        json!({"brix_percent": 0.1, "zero_brix_percent": 0.1, "sample_temperature_c": 28}),
        json!({"refractive_index": 1.3340, "zero_refractive_index": 1.3340}),
        json!({"tds_percent": 0.02, "zero_tds_percent": 0.02}),
    ] {
        close(
            number(&answer(&body).await, "tds_percent"),
            0.0,
            5e-3,
            &body.to_string(),
        );
    }
}

#[tokio::test]
async fn a_reading_of_solids_comes_back_but_for_its_zero() {
    let plain = answer(&json!({"tds_percent": 1.35})).await;
    close(number(&plain, "tds_percent"), 1.35, 1e-10, "plain");
    let off = answer(&json!({"tds_percent": 1.35, "zero_tds_percent": 0.05})).await;
    // the scale is curved by a part in a hundred there
    close(number(&off, "tds_percent"), 1.30, 1e-3, "zero");
    let warm = json!({"tds_percent": 1.35, "sample_temperature_c": 27});
    close(
        number(&answer(&warm).await, "tds_percent"),
        1.35,
        1e-10,
        "compensated",
    );
    let mut corrected = warm;
    corrected["temperature_compensated"] = json!(false);
    assert!(number(&answer(&corrected).await, "tds_percent") > 1.7);
}

/// By hand: 10 % of sugar at 0.82 to 0.88 (rectangle) is 8.5 ± 10 × 0.03 / √3 = 0.1732; readings
/// of half-width 0.05 add 0.85 × 0.05 / √3 = 0.02454
#[tokio::test]
async fn the_budget_is_that_worked_by_hand() {
    let body = json!({"brix_percent": 10, "temperature_compensated": true, "solids_per_brix": 0.85,
        "solids_per_brix_half_width": 0.03, "reading_half_width": 0.05});
    let answer = answer(&body).await;
    close(number(&answer, "tds_percent"), 8.5, 1e-9, "strength");
    let found = &answer["uncertainty"];
    close(
        number(found, "standard_points"),
        0.174_935,
        1e-6,
        "standard",
    );
    close(number(found, "coverage_factor"), 1.959_964, 1e-6, "normal");
    let factor = &found["budget"][1];
    assert_eq!(factor["input"], "solids_per_brix");
    close(number(factor, "share_percent"), 98.03, 0.01, "share");
    assert_eq!(codes(&answer), ["conversion_dominates"]);
    assert_eq!(found["not_included"], json!([]));
}

/// Each line of the budget against a change of the input, worked by asking again.
#[tokio::test]
async fn the_sensitivities_are_those_of_the_answer() {
    let body = json!({"brix_percent": 12.3, "zero_brix_percent": -0.2, "sample_temperature_c": 24,
        "reading_half_width": 0.05, "sample_temperature_half_width_c": 0.5});
    let whole = answer(&body).await;
    let budget = whole["uncertainty"]["budget"].as_array().expect("a budget");
    for (input, field, step) in [
        ("reading", "brix_percent", 1e-4),
        ("zero_check", "zero_brix_percent", 1e-4),
        ("sample_temperature", "sample_temperature_c", 1e-2),
        ("solids_per_brix", "solids_per_brix", 1e-5),
    ] {
        let line = budget
            .iter()
            .find(|line| line["input"] == input)
            .expect(input);
        let mut strengths = Vec::new();
        for sign in [1.0, -1.0] {
            let mut moved = body.clone();
            let at = number(
                if field == "solids_per_brix" {
                    &whole
                } else {
                    &body
                },
                field,
            );
            moved[field] = json!(at + sign * step);
            strengths.push(number(&answer(&moved).await, "tds_percent"));
        }
        let slope = (strengths[0] - strengths[1]) / (2.0 * step);
        close(number(line, "sensitivity"), slope, 2e-4, input);
    }
}

/// Requests that are wrong, and the faults that say so.
const WRONG: &[(&str, &[&str])] = &[
    (r#"{"workings":true}"#, &["/brix_percent required"]),
    (
        r#"{"brix_percent":10,"tds_percent":8}"#,
        &["/brix_percent contradictory", "/tds_percent contradictory"],
    ),
    (
        r#"{"brix_readings_percent":[]}"#,
        &["/brix_readings_percent too_few_items"],
    ),
    (
        r#"{"brix_percent":10,"zero_tds_percent":0.1}"#,
        &["/tds_percent required"],
    ),
    (
        r#"{"brix_percent":10,"sample_temperature_c":60}"#,
        &["/sample_temperature_c out_of_range"],
    ),
    (
        r#"{"brix_percent":10,"temperature_compensated":false}"#,
        &["/sample_temperature_c required"],
    ),
    (r#"{"brix_percent":-1.5}"#, &["/brix_percent inconsistent"]),
    (
        r#"{"brix_percent":39,"solids_per_brix":0.85}"#,
        &[
            "/brix_percent inconsistent",
            "/solids_per_brix inconsistent",
        ],
    ),
    (
        r#"{"refractive_index":1.34,"reading_repeatability":0.0001}"#,
        &["/reading_repeatability_degrees_of_freedom required"],
    ),
];

#[tokio::test]
async fn what_cannot_be_is_refused_at_its_fields() {
    for (body, expected) in WRONG {
        assert_eq!(refused(PATH, body).await, *expected, "{body}");
    }
}

#[tokio::test]
async fn what_is_not_known_is_said() {
    let plain = answer(&json!({"brix_percent": 10})).await;
    assert_eq!(
        codes(&plain),
        [
            "conversion_dominates",
            "temperature_unknown",
            "uncertainty_incomplete"
        ]
    );
    let below = answer(&json!({"brix_percent": -0.1, "sample_temperature_c": 20,
        "sample_filtered": false, "solids_per_brix": 0.85}))
    .await;
    assert_eq!(codes(&below), ["below_water", "unfiltered_sample"]);
    assert!(below["uncertainty"].is_null());
}

#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    for body in [
        json!({"brix_percent": 10}),
        json!({"refractive_index_readings": [1.3471, 1.3472, 1.3470], "zero_refractive_index": 1.3325,
            "sample_temperature_c": 24.6, "reading_half_width": 0.00005}),
        json!({"tds_readings_percent": [1.37, 1.38], "zero_tds_percent": 0.01, "solids_per_brix": 0.85,
            "reading_repeatability": 0.01, "reading_repeatability_degrees_of_freedom": 12}),
    ] {
        super::workings_find_all(PATH, body, &[]).await;
    }
}

/// A reading and the strength have one name; what was read is kept beside what was found.
#[tokio::test]
async fn a_reading_of_solids_is_told_from_the_strength() {
    let body = json!({"tds_percent": 9.1, "zero_tds_percent": 0.05});
    let corrected = answer(&body).await;
    close(number(&corrected, "mean_reading"), 9.1, 0.0, "reading");
    let found = number(&corrected, "tds_percent");
    // 0.05 less, but for the curve of the scale
    close(found, 9.05, 0.006, "strength");
    let body = json!({"brix_readings_percent": [10, 11], "temperature_compensated": true});
    close(
        number(&answer(&body).await, "mean_reading"),
        10.5,
        0.0,
        "mean",
    );
}
