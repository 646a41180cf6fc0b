//! `steam-boiler` over HTTP: [iapws2012], [iso2533], [heat-balance], see docs/REFERENCES.md.

use serde_json::{Value, json};

use super::{cell, close, codes, data, number, refused};
const PATH: &str = "/v1/steam-boiler";

/// The same equations evaluated by another program; pressures in bar, temperatures in °C and
/// enthalpies in kJ/kg.
const SAME_EQUATIONS: f64 = 1e-6;
/// Searches of the other program end there.
const SEARCHED: f64 = 2e-7;

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

/// 77 rows: temperature to gauge and back, both with all that the steam holds
#[tokio::test]
async fn every_row_of_steam_is_matched_at_its_altitude_and_by_its_barometer() {
    for row in data("iapws2012_steam.csv") {
        let (name, given) = match row["kind"].as_str() {
            "t_to_gauge" => ("temperature_c", cell(&row, "t_c")),
            _ => ("pressure_bar", cell(&row, "p_gauge_bar")),
        };
        let by_altitude = json!({
            name: given,
            "altitude_m": cell(&row, "geopotential_m"),
            "altitude_kind": "geopotential",
        });
        let by_barometer =
            json!({name: given, "station_pressure_hpa": cell(&row, "station_p_pa") / 100.0});
        for body in [by_altitude, by_barometer] {
            let answer = answer(&body).await;
            assert_eq!(answer[name], json!(given), "bit for bit");
            for (output, column, scale) in [
                ("temperature_c", "t_c", 1.0),
                ("pressure_bar", "p_gauge_bar", 1.0),
                ("pressure_bar_abs", "p_abs_pa", 1e-5),
                ("water_enthalpy_kj_per_kg", "h_f_kj_kg", 1.0),
                ("steam_enthalpy_kj_per_kg", "h_g_kj_kg", 1.0),
                ("latent_heat_kj_per_kg", "h_fg_kj_kg", 1.0),
                ("steam_volume_m3_per_kg", "v_g_m3_kg", 1.0),
                ("flash_percent", "flash_fraction_to_ambient", 100.0),
            ] {
                let expected = cell(&row, column) * scale;
                let what = format!("{} {output}", row["id"]);
                close(number(&answer, output), expected, SAME_EQUATIONS, &what);
            }
        }
    }
}

/// Gauge at sea level as tables of steam have it, three decimals
#[tokio::test]
async fn a_hot_boiler_shows_1_689_bar_at_sea_level_and_2_00_at_3000_m() {
    let sea = answer(&json!({"temperature_c": 130, "altitude_m": 0})).await;
    close(number(&sea, "pressure_bar"), 1.689, 5e-4, "at the sea");
    assert_eq!(sea["sea_level_pressure_bar"], sea["pressure_bar"]);
    let high = answer(&json!({"temperature_f": 266, "altitude_m": 3000})).await;
    close(number(&high, "temperature_c"), 130.0, 1e-9, "266 °F");
    assert_eq!(high["temperature_f"], json!(266.0));
    close(number(&high, "pressure_bar"), 2.00, 5e-3, "at 3000 m");
    close(
        number(&high, "sea_level_pressure_bar"),
        number(&sea, "pressure_bar"),
        1e-9,
        "the sea again",
    );
}

/// [iapws2012] on [iso2533]: one gauge at 0, 2000 and 4000 m, two decimals
#[tokio::test]
async fn the_same_gauge_is_cooler_higher_up() {
    for (bar, printed) in [
        (0.8, [117.14, 113.20, 109.64]),
        (1.0, [120.42, 116.83, 113.61]),
        (1.2, [123.44, 120.13, 117.19]),
        (1.5, [127.59, 124.62, 122.01]),
        (9.0, [179.94, 178.99, 178.19]),
    ] {
        for (metres, expected) in [0, 2000, 4000].into_iter().zip(printed) {
            let body =
                json!({"pressure_bar": bar, "altitude_m": metres, "altitude_kind": "geopotential"});
            let answer = answer(&body).await;
            close(
                number(&answer, "temperature_c"),
                expected,
                5.01e-3,
                &body.to_string(),
            );
        }
    }
}

/// [heat-balance] on [iapws2012], computed outside this project
#[tokio::test]
async fn every_row_of_refilled_boilers_is_matched() {
    for row in data("iapws2012_thermal.csv") {
        if row["kind"] != "boiler_refill" {
            continue;
        }
        let input: Value = serde_json::from_str(&row["input_json"]).expect("JSON");
        let output: Value = serde_json::from_str(&row["output_json"]).expect("JSON");
        let body = json!({
            "temperature_c": input["t_boiler"],
            "station_pressure_hpa": 1013.25,
            "boiler_water_mass_g": input["boiler_g"],
            "feed_mass_g": input["feed_g"],
            "feed_temperature_c": input["t_feed"],
        });
        let answer = answer(&body).await;
        for (name, column) in [
            ("refilled_temperature_c", "t_mix_c"),
            ("refilled_pressure_bar", "p_gauge_bar_isa0"),
        ] {
            let what = format!("{} {name}", row["id"]);
            close(
                number(&answer, name),
                number(&output, column),
                SEARCHED,
                &what,
            );
        }
    }
}

#[tokio::test]
async fn temperature_and_gauge_are_each_others_inverse() {
    for hpa in [300.0, 741.2, 1013.25, 1100.0] {
        for bar in [0.0, 0.3, 1.1, 9.0, 15.0] {
            let there = json!({"pressure_bar": bar, "station_pressure_hpa": hpa});
            let there = answer(&there).await;
            let back =
                json!({"temperature_c": there["temperature_c"], "station_pressure_hpa": hpa});
            let back = answer(&back).await;
            close(number(&back, "pressure_bar"), bar, 1e-9, "round trip");
        }
    }
}

#[tokio::test]
async fn every_answer_minds_pressure_scalds_and_licensed_service() {
    let always = [
        "pressure_vessel",
        "scald",
        "licensed_service",
        "trapped_air",
        "gauge_rises_with_altitude",
    ];
    let mut body = json!({"pressure_bar": 1.2, "station_pressure_hpa": 1000});
    assert_eq!(codes(&answer(&body).await), always);
    for (rated, is_above) in [(1.2, false), (1.1, true)] {
        body["boiler_rated_pressure_bar"] = json!(rated);
        let answer = answer(&body).await;
        assert_eq!(answer["is_above_rated_pressure"], json!(is_above));
        assert_eq!(codes(&answer).contains(&"above_rated_pressure"), is_above);
    }
    let high = json!({"pressure_bar": 1.2, "altitude_m": 6000});
    let high = answer(&high).await;
    assert!(codes(&high).contains(&"high_altitude"));
    assert!(codes(&high).contains(&"pressure_from_altitude"));
}

/// Requests at 1013.25 hPa that are wrong, and the faults that say so.
const WRONG: &[(&str, &[&str])] = &[
    (r#""temperature_c":95"#, &["/temperature_c inconsistent"]),
    (r#""temperature_f":200"#, &["/temperature_f inconsistent"]),
    (r#""temperature_c":202"#, &["/temperature_c inconsistent"]),
    (r#""workings":true"#, &["/temperature_c required"]),
    (
        r#""temperature_c":120,"pressure_bar":1"#,
        &[
            "/temperature_c contradictory",
            "/pressure_bar contradictory",
        ],
    ),
    (r#""pressure_bar":16"#, &["/pressure_bar out_of_range"]),
    (
        r#""pressure_bar":1,"feed_mass_g":100"#,
        &[
            "/boiler_water_mass_g required",
            "/feed_temperature_c required",
        ],
    ),
    (
        r#""pressure_bar":0,"boiler_water_mass_g":500,"feed_mass_g":100,"feed_temperature_c":100"#,
        &["/feed_temperature_c inconsistent"],
    ),
];

#[tokio::test]
async fn what_cannot_be_is_refused_at_its_field() {
    for (fields, expected) in WRONG {
        let body = format!("{{{fields},\"station_pressure_hpa\":1013.25}}");
        assert_eq!(refused(PATH, &body).await, *expected, "{body}");
    }
    assert_eq!(
        refused(PATH, r#"{"pressure_bar":1}"#).await,
        ["/altitude_m required"]
    );
}

#[tokio::test]
async fn the_coolest_boiler_of_a_place_is_at_its_boiling_point() {
    let first = answer(&json!({"pressure_bar": 0, "altitude_m": 2640})).await;
    let body = json!({"temperature_c": first["boiling_point_c"], "altitude_m": 2640});
    let again = answer(&body).await;
    assert_eq!(again["pressure_bar"], json!(0.0));
    assert_eq!(again["flash_percent"], json!(0.0));
    // it gives no steam in the standard air of the sea
    assert!(again.get("sea_level_pressure_bar").is_none());
}

#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    let refill = json!({"pressure_bar": 1.2, "altitude_ft": 900, "boiler_water_mass_g": 1500,
        "feed_mass_g": 120, "feed_temperature_c": 15});
    let fahrenheit = json!({"temperature_f": 266, "altitude_m": 30});
    let celsius = json!({"temperature_c": 125, "altitude_m": 30});
    for (body, given) in [
        (refill, &["pressure_bar"][..]),
        (fahrenheit, &["temperature_f"]),
        (celsius, &["temperature_c"]),
    ] {
        super::workings_find_all(PATH, body, given).await;
    }
}
