//! `water-temperature` over HTTP: [iapws2012], [iso2533], [icao7488], [wmo8], see
//! docs/REFERENCES.md.

mod properties;
mod refusals;
mod workings;

use serde_json::{Value, json};

use super::{Row, cell, close, codes, data, number};

const PATH: &str = "/v1/water-temperature";

/// What the boiling point must reproduce of a row computed from the same equation, °C.
const SAME_EQUATION: f64 = 2e-7;
/// What the 1997 formulation may differ from IAPWS-95 below 1100 hPa, °C.
const OTHER_EQUATION: f64 = 1e-3;
/// Pressures of the rows come from the same closed equations, hPa.
const SAME_PRESSURE: f64 = 1e-6;

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

/// Rows of one kind of `tests/data/iso2533_altitude.csv`, computed outside this project.
fn rows(kind: &str) -> Vec<Row> {
    let mut rows = data("iso2533_altitude.csv");
    rows.retain(|row| row["kind"] == kind);
    assert!(rows.len() > 10, "{kind}");
    rows
}

/// Sends the request of a row and holds pressure and boiling point against it.
async fn check(row: &Row, body: Value) -> Value {
    let id = &row["id"];
    let answer = answer(&body).await;
    let pressure_hpa = cell(row, "station_p_pa") / 100.0;
    close(
        number(&answer, "air_pressure_hpa"),
        pressure_hpa,
        SAME_PRESSURE,
        id,
    );
    let boiling = number(&answer, "boiling_point_c");
    close(boiling, cell(row, "t_boil_if97_c"), SAME_EQUATION, id);
    close(boiling, cell(row, "t_boil_iapws95_c"), OTHER_EQUATION, id);
    answer
}

/// [iapws2012] and IAPWS-95 on barometer readings, 24 rows
#[tokio::test]
async fn the_boiling_point_by_a_barometer_matches_both_formulations() {
    for row in rows("pressure") {
        let hpa = cell(&row, "station_p_pa") / 100.0;
        let answer = check(&row, json!({"station_pressure_hpa": hpa})).await;
        assert_eq!(answer["air_pressure_hpa"], json!(hpa), "bit for bit");
        assert!(answer.get("boiling_point_uncertainty_c").is_none());
    }
}

/// [iso2533], geopotential altitudes, and [iapws2012]
#[tokio::test]
async fn the_boiling_point_at_a_geopotential_altitude_matches_every_row() {
    for row in rows("isa_geopotential") {
        let metres = cell(&row, "geopotential_m");
        let body = json!({"altitude_m": metres, "altitude_kind": "geopotential"});
        check(&row, body).await;
    }
}

/// [iso2533], geometric altitudes, and [iapws2012]
#[tokio::test]
async fn the_boiling_point_at_a_geometric_altitude_matches_every_row() {
    for row in rows("isa_geometric") {
        check(&row, json!({"altitude_m": cell(&row, "geometric_m")})).await;
    }
}

/// [icao7488]: altimeter settings of aerodromes
#[tokio::test]
async fn the_boiling_point_by_an_altimeter_setting_matches_every_row() {
    for row in rows("qnh") {
        let body = json!({
            "altitude_m": cell(&row, "geopotential_m"),
            "altitude_kind": "geopotential",
            "altimeter_setting_hpa": cell(&row, "qnh_hpa"),
        });
        let answer = check(&row, body).await;
        assert!(answer.get("boiling_point_uncertainty_c").is_none());
    }
}

/// [wmo8]: sea-level pressures with the weather
#[tokio::test]
async fn the_boiling_point_by_a_sea_level_pressure_matches_every_row() {
    for row in rows("qff") {
        let metres = cell(&row, "geopotential_m");
        let body = json!({
            "altitude_m": metres,
            "altitude_kind": "geopotential",
            "sea_level_pressure_hpa": cell(&row, "qff_hpa"),
            "air_temperature_c": cell(&row, "air_temp_c"),
            "relative_humidity_percent": cell(&row, "rh_pct"),
        });
        let answer = check(&row, body).await;
        let is_cautioned = codes(&answer).contains(&"sea_level_reduction");
        assert_eq!(is_cautioned, metres > 750.0, "{}", row["id"]);
    }
}

/// [iso2533] and [iapws2012] solved for the altitude by root finding outside this project
#[tokio::test]
async fn the_altitude_where_a_target_boils_matches_every_row() {
    for row in rows("inverse") {
        let target = cell(&row, "target_t_c");
        let answer = answer(&json!({"altitude_m": 0, "target_temperature_c": target})).await;
        let altitude = number(&answer, "altitude_where_target_boils_m");
        // 1 mm of altitude is 3e-6 K of boiling point
        close(altitude, cell(&row, "geometric_m"), 1e-3, &row["id"]);
    }
}

/// Steam tables after [iapws2012]: 1 atm boils at 99.9743 °C; ITS-90 moved it off 100
#[tokio::test]
async fn one_standard_atmosphere_boils_just_below_100_degrees() {
    for body in [
        json!({"station_pressure_hpa": 1013.25}),
        json!({"altitude_m": 0}),
    ] {
        let answer = answer(&body).await;
        close(number(&answer, "boiling_point_c"), 99.9743, 5e-5, "1 atm");
    }
}

/// [iapws2012], table 36: 1 MPa boils at 453.035632 K; less the air of 1013.25 hPa, a gauge
/// shows 8.98675 bar there
#[tokio::test]
async fn water_under_a_megapascal_boils_as_the_release_says() {
    let body = json!({
        "station_pressure_hpa": 1013.25,
        "brew_pressure_bar": 8.98675,
        "target_temperature_c": 120,
    });
    let answer = answer(&body).await;
    let under = number(&answer, "boiling_point_under_pressure_c");
    close(under, 453.035_632 - 273.15, 1e-6, "1 MPa");
    assert_eq!(answer["target_reachable_open"], false);
    assert_eq!(answer["target_reachable_under_pressure"], true);
    assert!(codes(&answer).contains(&"pressure_vessel"));
    assert!(codes(&answer).contains(&"superheated"));
}

/// Hand arithmetic on steam tables (saturated water, from memory): `h_f` 546.4 kJ/kg at 130 °C,
/// 419.1 at 100 °C, `h_fg` 2256.5 there: 100 × 127.3 / 2256.5 = 5.64 %
#[tokio::test]
async fn the_flash_share_agrees_with_steam_tables() {
    let answer = answer(&json!({"altitude_m": 0, "target_temperature_c": 130})).await;
    close(
        number(&answer, "flash_percent"),
        5.64,
        0.01,
        "130 °C in the air of the sea",
    );
}
