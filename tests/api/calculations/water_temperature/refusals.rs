//! Requests that are refused, each at the field that is wrong.

use serde_json::json;

use super::PATH;
use crate::support::{faults, post};

/// Requests whose fields do not go together, and the faults that say so.
const TOGETHER: &[(&str, &[&str])] = &[
    ("{}", &["/altitude_m required"]),
    (
        r#"{"altitude_m":10,"altitude_ft":33}"#,
        &["/altitude_m contradictory", "/altitude_ft contradictory"],
    ),
    (
        r#"{"altitude_m":10,"station_pressure_hpa":1000}"#,
        &[
            "/altitude_m contradictory",
            "/station_pressure_hpa contradictory",
        ],
    ),
    (
        r#"{"altimeter_setting_hpa":1013}"#,
        &["/altitude_m required"],
    ),
    (
        r#"{"station_pressure_hpa":1000,"altimeter_setting_hpa":1013}"#,
        &[
            "/altitude_m required",
            "/station_pressure_hpa contradictory",
        ],
    ),
    (
        r#"{"station_pressure_hpa":1000,"altitude_kind":"geopotential"}"#,
        &["/altitude_m required"],
    ),
    (
        r#"{"altitude_m":10,"sea_level_pressure_hpa":1013}"#,
        &[
            "/air_temperature_c required",
            "/relative_humidity_percent required",
        ],
    ),
    (
        r#"{"altitude_m":10,"sea_level_pressure_hpa":1013,"altimeter_setting_hpa":1013,"air_temperature_c":20,"relative_humidity_percent":50}"#,
        &["/altimeter_setting_hpa contradictory"],
    ),
    (
        r#"{"altitude_m":10,"air_temperature_c":20,"relative_humidity_percent":50}"#,
        &["/sea_level_pressure_hpa required"],
    ),
    (
        r#"{"altitude_m":10,"target_temperature_c":93,"target_temperature_f":199}"#,
        &[
            "/target_temperature_c contradictory",
            "/target_temperature_f contradictory",
        ],
    ),
];

#[tokio::test]
async fn what_must_and_must_not_stand_together_is_named() {
    for (body, expected) in TOGETHER {
        let (status, problem) = post(PATH, body).await;
        assert_eq!(status, 422, "{body}");
        let mut found: Vec<_> = faults(&problem)
            .into_iter()
            .map(|(pointer, code)| format!("{pointer} {code}"))
            .collect();
        // a field that two rules ask for is named by each
        found.dedup();
        assert_eq!(found, *expected, "{body}");
    }
}

#[tokio::test]
async fn a_reading_that_no_air_at_the_altitude_can_have_is_refused_at_its_field() {
    let weather = json!({"air_temperature_c": 0, "relative_humidity_percent": 50});
    for (altitude, field, hpa) in [
        (9000, "altimeter_setting_hpa", 900),
        (-500, "altimeter_setting_hpa", 1100),
        (9000, "sea_level_pressure_hpa", 800),
        (-500, "sea_level_pressure_hpa", 1100),
    ] {
        let mut body = json!({"altitude_m": altitude, field: hpa});
        if field == "sea_level_pressure_hpa" {
            for (name, value) in weather.as_object().expect("fields") {
                body[name] = value.clone();
            }
        }
        let (status, problem) = post(PATH, &body.to_string()).await;
        assert_eq!(status, 422, "{body}: {problem}");
        let expected = [(format!("/{field}"), "inconsistent".to_owned())];
        assert_eq!(faults(&problem), expected, "{body}");
        let detail = problem["detail"].as_str().expect("a detail");
        assert!(detail.contains("300 to 1100 hPa"), "{detail}");
    }
}
