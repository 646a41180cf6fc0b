//! `brew-comparison`, `repeatability` and `calibration-line` over HTTP.

use serde_json::{Value, json};

use super::{answer, close, number, refused, workings_find_all};

const READINGS: [f64; 11] = [
    21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511,
];
const CORRECTIONS: [f64; 11] = [
    -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16,
];

/// [jcgm2008] H.3, tables H.6 and H.7: a thermometer; correction at 30 °C and its uncertainty.
/// Intercept, slope, the intercept's uncertainty and the correlation are from memory.
#[tokio::test]
async fn a_thermometers_correction_matches_the_worked_example() {
    let both = READINGS.iter().zip(CORRECTIONS);
    let values: Vec<f64> = both.map(|(r, c)| r + c).collect();
    let body = json!({
        "readings": READINGS, "reference_values": values, "reference_point": 20,
        "correct_readings": [30],
    });
    let answer = answer("/v1/calibration-line", &body).await;
    for (name, printed, half_digit) in [
        ("intercept", -0.1712, 0.000_05),
        ("slope", 0.002_18, 0.000_005),
        ("intercept_standard_uncertainty", 0.0029, 0.000_05),
        ("slope_standard_uncertainty", 0.000_67, 0.000_005),
        ("intercept_slope_correlation", -0.930, 0.0005),
        ("residual_standard_deviation", 0.0035, 0.000_05),
        ("degrees_of_freedom", 9.0, 0.0),
    ] {
        close(number(&answer, name), printed, half_digit, name);
    }
    for (name, printed) in [
        ("corrections", -0.1494),
        ("correction_standard_uncertainties", 0.0041),
        ("corrected_values", 30.0 - 0.1494),
    ] {
        let found = answer[name][0].as_f64().expect("a number");
        close(found, printed, 0.000_05, name);
    }
}

#[tokio::test]
async fn a_line_that_cannot_be_fitted_is_refused() {
    let path = "/v1/calibration-line";
    let same = json!({"readings": [1, 1, 1], "reference_values": [1, 2, 3]});
    assert_eq!(
        refused(path, &same.to_string()).await,
        ["/readings inconsistent"]
    );
    let uneven = json!({"readings": [1, 2, 3, 4], "reference_values": [1, 2, 3]});
    let expected = ["/readings inconsistent", "/reference_values inconsistent"];
    assert_eq!(refused(path, &uneven.to_string()).await, expected);
}

const DAYS: [(i32, i32); 10] = [
    (172, 60),
    (116, 77),
    (13, 111),
    (144, 101),
    (106, 67),
    (31, 93),
    (60, 80),
    (125, 73),
    (163, 88),
    (41, 86),
];

/// [jcgm2008] H.5: ten days of five readings, made with the printed means and deviations.
#[tokio::test]
async fn days_that_differ_match_the_worked_example() {
    // microvolts above ten volts; readings k s either side have the deviation s for k = √2
    let groups: Vec<Value> = DAYS
        .iter()
        .map(|&(mean, s)| {
            let (mean, apart) = (f64::from(mean), 2.0_f64.sqrt() * f64::from(s));
            json!({"readings": [mean - apart, mean, mean, mean, mean + apart]})
        })
        .collect();
    let answer = answer("/v1/repeatability", &json!({"groups": groups})).await;
    // the printed ratio is 2.25, from deviations that are rounded
    close(number(&answer, "f_ratio"), 2.25, 0.02, "F");
    close(
        number(&answer, "between_groups_degrees_of_freedom"),
        9.0,
        0.0,
        "between",
    );
    close(
        number(&answer, "repeatability_degrees_of_freedom"),
        40.0,
        0.0,
        "within",
    );
    assert_eq!(answer["groups_differ"], json!(true));
    // as printed: s_B = 43 µV and u of the mean 18 µV with nine degrees of freedom (from memory)
    close(number(&answer, "between_groups"), 43.0, 0.6, "s_B");
    close(number(&answer, "mean_standard_uncertainty"), 18.0, 0.5, "u");
    close(
        number(&answer, "mean_degrees_of_freedom"),
        9.0,
        0.0,
        "its degrees",
    );
}

#[tokio::test]
async fn groups_that_agree_are_pooled_and_too_few_readings_are_refused() {
    let path = "/v1/repeatability";
    let agree = json!({"groups": [{"readings": [1, 2, 3]}, {"readings": [1, 2, 3]}]});
    let answer = answer(path, &agree).await;
    // hand: four squares of one over five degrees of freedom, of six readings
    let expected = (4.0_f64 / 5.0 / 6.0).sqrt();
    close(
        number(&answer, "mean_standard_uncertainty"),
        expected,
        1e-12,
        "u",
    );
    close(number(&answer, "between_groups"), 0.0, 0.0, "between");
    // [jcgm2008] table G.2: t = 2.78 for four degrees of freedom; s_r = 1
    close(
        number(&answer, "repeatability_limit"),
        2.78 * 2.0_f64.sqrt(),
        0.01,
        "limit",
    );
    let single = json!({"groups": [{"readings": [1]}, {"readings": [2]}]});
    assert_eq!(
        refused(path, &single.to_string()).await,
        ["/groups inconsistent"]
    );
}

/// Hand: d = 1, u = √(0.3² + 0.4²) = 0.5; with infinite degrees of freedom `E_n` = d / (1.96 u).
#[tokio::test]
async fn a_difference_of_two_yields_matches_hand_arithmetic() {
    let body = json!({
        "first": {"value": 18.0, "standard_uncertainty": 0.3},
        "second": {"value": 19.0, "standard_uncertainty": 0.4},
    });
    let answer = answer("/v1/brew-comparison", &body).await;
    close(number(&answer, "t"), 2.0, 1e-12, "t");
    close(
        number(&answer, "normalised_error"),
        2.0 / 1.96,
        0.0005,
        "E_n",
    );
    close(
        number(&answer, "p_value"),
        0.0455,
        0.00005,
        "two-sided tail at two sigma",
    );
    assert_eq!(answer["differ"], json!(true));
    let mut body = body;
    body["relevant_difference"] = json!(0.5);
    let answer = super::answer("/v1/brew-comparison", &body).await;
    assert_eq!(answer["differ_relevantly"], json!(false));
}

#[tokio::test]
async fn a_brew_without_a_spread_is_refused() {
    let body = json!({"first": {"readings": [1.3]}, "second": {"value": 1.3}});
    let expected = [
        "/first/readings inconsistent",
        "/second/standard_uncertainty required",
    ];
    assert_eq!(
        refused("/v1/brew-comparison", &body.to_string()).await,
        expected
    );
    let body = json!({
        "first": {"readings": [1.3, 1.4], "value": 1.3},
        "second": {"value": 1.3, "standard_uncertainty": 0.1},
    });
    let expected = ["/first/value contradictory"];
    assert_eq!(
        refused("/v1/brew-comparison", &body.to_string()).await,
        expected
    );
}

#[tokio::test]
async fn workings_derive_what_is_answered() {
    let body = json!({"first": {"readings": [1.3, 1.4, 1.3]}, "second": {"readings": [1.5, 1.6]}});
    let given = [
        "first_value",
        "second_value",
        "coverage_factor",
        "coverage_probability",
        "p_value",
        "normalised_error",
    ];
    workings_find_all("/v1/brew-comparison", body, &given).await;
    let body = json!({"groups": [{"readings": [1, 2, 4]}, {"readings": [5, 2]}]});
    let given = [
        "mean",
        "mean_standard_uncertainty",
        "mean_degrees_of_freedom",
        "repeatability_degrees_of_freedom",
        "between_groups_degrees_of_freedom",
    ];
    workings_find_all("/v1/repeatability", body, &given).await;
    let body = json!({"readings": [1, 2, 3, 4], "reference_values": [1, 2.1, 3, 4.2]});
    let given = [
        "reference_point",
        "intercept_slope_correlation",
        "degrees_of_freedom",
        "coverage_factor",
    ];
    workings_find_all("/v1/calibration-line", body, &given).await;
}
