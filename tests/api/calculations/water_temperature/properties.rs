//! What holds between the answers to related requests, and where cautions stand.

use serde_json::json;

use super::{SAME_EQUATION, answer, close, codes, number};

#[tokio::test]
async fn a_target_sent_to_the_altitude_where_it_boils_is_its_boiling_point() {
    for target in [75.0, 88.5, 93.0, 99.0, 101.0] {
        let first = answer(&json!({"altitude_m": 0, "target_temperature_c": target})).await;
        let altitude = number(&first, "altitude_where_target_boils_m");
        let there = answer(&json!({"altitude_m": altitude})).await;
        close(
            number(&there, "boiling_point_c"),
            target,
            SAME_EQUATION,
            "round trip",
        );
    }
}

#[tokio::test]
async fn a_target_that_boils_nowhere_in_range_has_no_altitude() {
    for target in [0.0, 60.0, 110.0, 150.0] {
        let answer = answer(&json!({"altitude_m": 0, "target_temperature_c": target})).await;
        assert!(
            answer.get("altitude_where_target_boils_m").is_none(),
            "{target}"
        );
    }
}

#[tokio::test]
async fn metres_and_feet_of_one_place_give_one_answer() {
    // 0.3048 m in a foot, exact by definition
    let feet = answer(&json!({"altitude_ft": 8000})).await;
    let metres = answer(&json!({"altitude_m": 2438.4})).await;
    for name in [
        "air_pressure_hpa",
        "boiling_point_c",
        "boiling_point_uncertainty_c",
    ] {
        close(number(&feet, name), number(&metres, name), 1e-10, name);
    }
}

#[tokio::test]
async fn both_scales_of_one_target_give_one_answer_and_go_out_bit_for_bit() {
    // 199.4 °F is 93 °C, exactly
    let celsius = answer(&json!({"altitude_m": 1200, "target_temperature_c": 93})).await;
    let fahrenheit = answer(&json!({"altitude_m": 1200, "target_temperature_f": 199.4})).await;
    for name in ["target_temperature_c", "target_temperature_f", "margin_c"] {
        close(
            number(&fahrenheit, name),
            number(&celsius, name),
            1e-10,
            name,
        );
    }
    assert_eq!(fahrenheit["target_temperature_f"].to_string(), "199.4");
    assert_eq!(celsius["target_temperature_c"].to_string(), "93.0");
    let kettle = "recommended_open_kettle_temperature_f";
    assert_eq!(fahrenheit[kettle].to_string(), "199.4");
}

/// The usual target is 93 °C: common practice, no source
#[tokio::test]
async fn without_a_target_the_usual_one_is_taken() {
    let with = answer(&json!({"altitude_m": 300, "target_temperature_c": 93.0})).await;
    assert_eq!(answer(&json!({"altitude_m": 300})).await, with);
}

#[tokio::test]
async fn a_kettle_is_set_to_the_target_or_half_a_degree_below_boiling() {
    let low = answer(&json!({"altitude_m": 0})).await;
    assert_eq!(low["recommended_open_kettle_temperature_c"], 93.0);
    let high = answer(&json!({"altitude_m": 3000})).await;
    let kettle = number(&high, "recommended_open_kettle_temperature_c");
    close(
        kettle,
        number(&high, "boiling_point_c") - 0.5,
        1e-12,
        "kettle",
    );
    let in_fahrenheit = number(&high, "recommended_open_kettle_temperature_f");
    close(in_fahrenheit, kettle * 1.8 + 32.0, 1e-10, "kettle");
}

#[tokio::test]
async fn at_the_boiling_point_itself_the_target_is_reached_and_nothing_flashes() {
    let first = answer(&json!({"station_pressure_hpa": 800})).await;
    let boiling = first["boiling_point_c"].clone();
    let body = json!({
        "station_pressure_hpa": 800,
        "target_temperature_c": boiling,
        "brew_pressure_bar": 0,
    });
    let at = answer(&body).await;
    assert_eq!(at["target_reachable_open"], true);
    assert_eq!(at["target_reachable_under_pressure"], true);
    assert_eq!(at["boiling_point_under_pressure_c"], boiling);
    assert_eq!(at["margin_c"], 0.0);
    assert_eq!(at["flash_percent"], 0.0);
    assert!(!codes(&at).contains(&"superheated"));
}

/// Independent route: 10 hPa is the difference of two barometers
#[tokio::test]
async fn the_uncertainty_is_the_boiling_point_moved_by_ten_hectopascals() {
    let by_altitude = answer(&json!({"altitude_m": 1500})).await;
    let hpa = number(&by_altitude, "air_pressure_hpa");
    let higher = answer(&json!({"station_pressure_hpa": hpa + 5.0})).await;
    let lower = answer(&json!({"station_pressure_hpa": hpa - 5.0})).await;
    let moved = number(&higher, "boiling_point_c") - number(&lower, "boiling_point_c");
    let uncertainty = number(&by_altitude, "boiling_point_uncertainty_c");
    close(uncertainty, moved, 1e-4, "10 hPa");
    assert!(codes(&by_altitude).contains(&"pressure_from_altitude"));
}

#[tokio::test]
async fn cautions_stand_where_they_are_due_and_only_there() {
    let cool = json!({"station_pressure_hpa": 1000, "target_temperature_c": 20});
    assert!(codes(&answer(&cool).await).is_empty());
    let warm = json!({"station_pressure_hpa": 1000, "target_temperature_c": 49});
    assert_eq!(codes(&answer(&warm).await), ["hot_water"]);
    let at_limit = json!({"altitude_m": 5500, "target_temperature_c": 20});
    assert_eq!(codes(&answer(&at_limit).await), ["pressure_from_altitude"]);
    let above = json!({"altitude_ft": 18_100, "target_temperature_c": 20});
    let above = answer(&above).await;
    assert_eq!(codes(&above), ["high_altitude", "pressure_from_altitude"]);
}
