//! `bean-supply` over HTTP: [freshness-practice], [reorder-point], [cardelli2001], see
//! docs/REFERENCES.md.

use serde_json::{Value, json};

use super::{close, codes, data, number, refused};
use crate::support::{get, post};
const PATH: &str = "/v1/bean-supply";

/// The same equations evaluated by another program.
const SAME_EQUATIONS: f64 = 1e-9;

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

/// A roast on 1 January 2026 and the brew so many days later, counted on a calendar.
fn aged(days: u32) -> Value {
    let (month, day) = match days {
        0..=30 => (1, days + 1),
        31..=58 => (2, days - 30),
        _ => panic!("{days} days are beyond February"),
    };
    json!({"roast_date": "2026-01-01", "brew_date": format!("2026-{month:02}-{day:02}")})
}

/// The inputs and outputs of every row of a kind.
fn cases(kind: &str) -> Vec<(Value, Value)> {
    let mut rows = data("freshness.csv");
    rows.retain(|row| row["kind"] == kind);
    assert!(!rows.is_empty(), "{kind}");
    let json = |text: &String| serde_json::from_str(text).expect("JSON");
    rows.iter()
        .map(|row| (json(&row["input_json"]), json(&row["output_json"])))
        .collect()
}

/// A whole number of a row, as the integer that a request has.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small whole numbers of a table"
)]
fn whole(of: &Value, name: &str) -> u32 {
    let value = number(of, name);
    assert_eq!(value.fract().to_bits(), 0, "{name} of {of}");
    value as u32
}

/// Rows computed outside this project, for windows and stock
#[tokio::test]
async fn every_row_of_windows_and_stock_is_matched() {
    let rows: Vec<_> = ["window", "stock"].into_iter().flat_map(cases).collect();
    for (given, expected) in rows {
        let mut body = aged(whole(&given, "age_days"));
        body["window_start_days"] = json!(whole(&given, "start_day"));
        body["window_end_days"] = json!(whole(&given, "end_day"));
        if given["daily_kg"].is_null() {
            let answer = answer(&body).await;
            assert_eq!(answer["window_state"], expected["state"], "{body}");
            assert_eq!(answer["in_window"], json!(expected["state"] == "open"));
            for name in ["days_left", "days_to_start"] {
                close(number(&answer, name), number(&expected, name), 0.0, name);
            }
            continue;
        }
        body["daily_dose_g"] = json!(1e3 * number(&given, "daily_kg"));
        body["daily_spread_g"] = json!(1e3 * number(&given, "sd_daily_kg"));
        body["on_hand_g"] = json!(1e3 * number(&given, "on_hand_kg"));
        body["lead_time_days"] = given["lead_days"].clone();
        body["safety_factor"] = given["z"].clone();
        let answer = answer(&body).await;
        for (name, column, scale) in [
            ("days_covered", "days_cover", 1.0),
            ("largest_fresh_order_g", "max_lot_kg", 1e3),
            ("reorder_point_g", "reorder_point_kg", 1e3),
            ("left_over_g", "waste_kg", 1e3),
        ] {
            let expected = number(&expected, column) * scale;
            close(number(&answer, name), expected, SAME_EQUATIONS * 1e5, name);
        }
    }
}

/// Rows of the published energy, 13 kJ/mol, computed outside this project
#[tokio::test]
async fn storage_ages_as_the_published_energy_says() {
    let is_published = |given: &Value| given["ea_kj"] == json!(13.0);
    for (given, expected) in cases("arrhenius") {
        if is_published(&given) {
            let mut body = aged(10);
            body["storage_temperature_c"] = given["t_c"].clone();
            body["reference_temperature_c"] = given["t_ref_c"].clone();
            let answer = answer(&body).await;
            let factor = number(&expected, "rate_factor");
            close(
                number(&answer, "ageing_factor"),
                factor,
                SAME_EQUATIONS,
                "factor",
            );
            let age = number(&answer, "equivalent_age_days");
            close(age, 10.0 * factor, SAME_EQUATIONS * 10.0, "age");
        }
    }
    for (given, expected) in cases("ea_to_q10") {
        if is_published(&given) {
            let mut body = aged(10);
            body["storage_temperature_c"] = json!(20);
            body["reference_temperature_c"] = given["t_c"].clone();
            let q10 = number(&answer(&body).await, "q10_at_reference");
            close(q10, number(&expected, "q10"), SAME_EQUATIONS, "q10");
        }
    }
}

/// Nothing is published for frozen coffee, nor beyond the study; 39.2 °F is 4 °C
#[tokio::test]
async fn storage_outside_4_to_40_degrees_is_refused() {
    for (field, inside, outside) in [
        ("storage_temperature_c", [4.0, 40.0], [-18.0, 40.1]),
        ("storage_temperature_f", [39.2, 104.0], [0.0, 104.1]),
    ] {
        for value in inside {
            let mut body = aged(10);
            body[field] = json!(value);
            let answer = answer(&body).await;
            assert_eq!(answer["reference_temperature_c"], json!(20.0));
            assert!(codes(&answer).contains(&"ground_coffee_energy"));
        }
        for value in outside {
            let mut body = aged(10);
            body[field] = json!(value);
            let expected = [format!("/{field} out_of_range")];
            assert_eq!(refused(PATH, &body.to_string()).await, expected, "{value}");
        }
    }
}

/// Common practice, no source: 5 to 30 days after the roast
#[tokio::test]
async fn beans_are_used_from_the_5th_to_the_30th_day() {
    for (days, state, caution) in [
        (0, "resting", Some("resting")),
        (4, "resting", Some("resting")),
        (5, "open", None),
        (30, "open", None),
        (31, "past", Some("past_window")),
    ] {
        let answer = answer(&aged(days)).await;
        assert_eq!(answer["age_days"], json!(f64::from(days)));
        assert_eq!(answer["in_window"], json!(state == "open"));
        assert_eq!(answer["window_state"], state);
        assert_eq!(answer["window_start_date"], "2026-01-06");
        assert_eq!(answer["window_end_date"], "2026-01-31");
        let found = codes(&answer);
        assert_eq!(found[0], "freshness_practice");
        assert_eq!(found.get(1).copied(), caution, "{days}");
        assert_eq!(answer["basis"], "common_practice");
    }
}

/// Counted on a calendar, over a 29 February
#[tokio::test]
async fn frozen_days_do_not_count_and_move_the_window() {
    let body = json!({"roast_date": "2028-02-10", "brew_date": "2028-03-20", "frozen_days": 20});
    let answer = answer(&body).await;
    assert_eq!(answer["days_since_roast"], json!(39.0));
    assert_eq!(answer["age_days"], json!(19.0));
    assert_eq!(answer["window_start_date"], "2028-03-06");
    assert_eq!(answer["window_end_date"], "2028-03-31");
    assert!(codes(&answer).contains(&"frozen_clock"));
}

/// By hand: 40 shots of 18 g are 720 g in drinks, 800 g with a tenth of waste. A week is 5600 g;
/// two days of lead are 1600 g, so 4000 g, five days, can be used before the order.
#[tokio::test]
async fn the_next_order_is_due_when_the_stock_falls_to_its_point() {
    let mut body = aged(10);
    for (name, value) in [
        ("daily_shots", 40.0),
        ("dose_g", 18.0),
        ("waste_percent", 10.0),
        ("lead_time_days", 2.0),
    ] {
        body[name] = json!(value);
    }
    let first = answer(&body).await;
    for (name, expected) in [
        ("daily_use_g", 800.0),
        ("order_mass_g", 5600.0),
        ("on_hand_g", 5600.0),
        ("days_covered", 7.0),
        ("reorder_point_g", 1600.0),
        ("largest_fresh_order_g", 20_000.0),
        ("left_over_g", 0.0),
    ] {
        close(number(&first, name), expected, 1e-9, name);
    }
    assert_eq!(first["next_order_date"], "2026-01-16");
    let found = codes(&first);
    assert!(found.contains(&"no_safety_stock") && found.contains(&"one_order_on_hand"));
    // less than the point: order today
    body["on_hand_g"] = json!(1000);
    assert_eq!(answer(&body).await["next_order_date"], "2026-01-11");
    // much more: a lead time before the 30th day, and the rest is left over
    body["on_hand_g"] = json!(50_000);
    let much = answer(&body).await;
    assert_eq!(much["next_order_date"], "2026-01-29");
    close(number(&much, "left_over_g"), 34_000.0, 1e-9, "left over");
    assert!(codes(&much).contains(&"left_over_stock"));
    body["order_every_days"] = json!(26);
    assert!(codes(&answer(&body).await).contains(&"order_outlives_window"));
}

/// [anderson2003], 1 h at 0.25 mm of radius: 61 % for 3e-13 m²/s lies inside the span
#[tokio::test]
async fn gas_of_ground_coffee_is_a_span() {
    let mut body = aged(10);
    body["grind_diameter_um"] = json!(500);
    body["since_grinding_hours"] = json!(1);
    let answer = answer(&body).await;
    let end = |name: &str| number(&answer["gas_left_percent"], name);
    assert!(end("low") < 61.0 && 61.0 < end("high"), "{answer}");
    assert!(answer["sources"].to_string().contains("anderson2003"));
}

/// Requests that are wrong, and the faults that say so.
const WRONG: &[(&str, &[&str])] = &[
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-01""#,
        &["/roast_date inconsistent", "/brew_date inconsistent"],
    ),
    (
        r#""roast_date":"2026-02-30","brew_date":"yesterday""#,
        &["/roast_date wrong_type", "/brew_date wrong_type"],
    ),
    (
        r#""roast_date":20260302,"brew_date":"2026-03-09T08:00:00Z""#,
        &["/roast_date wrong_type", "/brew_date wrong_type"],
    ),
    (r#""roast_date":"2026-03-02""#, &["/brew_date required"]),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","frozen_days":8"#,
        &["/frozen_days inconsistent"],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","window_start_days":31"#,
        &["/window_start_days inconsistent"],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","frozen_days":9,"window_start_days":9,"window_end_days":8"#,
        &[
            "/frozen_days inconsistent",
            "/window_start_days inconsistent",
            "/window_end_days inconsistent",
        ],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","window_end_days":20.5"#,
        &["/window_end_days wrong_type"],
    ),
    (
        r#""roast_date":"9999-12-30","brew_date":"9999-12-31""#,
        &["/roast_date out_of_range"],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","lead_time_days":2"#,
        &["/daily_dose_g required"],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","daily_shots":20"#,
        &["/dose_g required"],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","daily_shots":20,"dose_g":18,"daily_dose_g":360"#,
        &["/daily_dose_g contradictory", "/daily_shots contradictory"],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","daily_shots":100000,"dose_g":18"#,
        &["/daily_shots out_of_range"],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","reference_temperature_c":20"#,
        &["/storage_temperature_c required"],
    ),
    (
        r#""roast_date":"2026-03-02","brew_date":"2026-03-09","grind_diameter_um":400"#,
        &["/since_grinding_hours required"],
    ),
];

#[tokio::test]
async fn what_cannot_be_is_refused_at_its_field() {
    for (fields, expected) in WRONG {
        let body = format!("{{{fields}}}");
        assert_eq!(refused(PATH, &body).await, *expected, "{body}");
    }
}

#[tokio::test]
async fn a_roast_after_the_brew_is_told_in_words() {
    let body = json!({"roast_date": "2026-03-02", "brew_date": "2026-03-01"});
    let (_, problem) = post(PATH, &body.to_string()).await;
    let detail = problem["errors"][0]["detail"].as_str().expect("words");
    assert!(
        detail.contains("2026-03-02 comes after the brew on 2026-03-01"),
        "{detail}"
    );
}

#[tokio::test]
async fn the_address_gives_the_answer_of_the_body() {
    let query = "roast_date=2026-03-02&brew_date=2026-03-11&daily_dose_g=900&lead_time_days=2";
    let (status, by_address) = get(&format!("{PATH}?{query}")).await;
    assert_eq!(status, 200);
    let body = json!({"roast_date": "2026-03-02", "brew_date": "2026-03-11",
        "daily_dose_g": 900, "lead_time_days": 2});
    assert_eq!(by_address, answer(&body).await);
    let (status, problem) = get(&format!("{PATH}?roast_date=2026-3-2&brew_date=2026-03-11")).await;
    assert_eq!(status, 422);
    assert_eq!(problem["errors"][0]["pointer"], "/roast_date");
}

#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    let mut body = aged(12);
    for (name, value) in [
        ("daily_dose_g", 900.0),
        ("lead_time_days", 3.0),
        ("daily_spread_g", 120.0),
        ("storage_temperature_f", 86.0),
        ("grind_diameter_um", 400.0),
        ("since_grinding_hours", 2.0),
    ] {
        body[name] = json!(value);
    }
    let given = ["storage_temperature_f", "reference_temperature_c"];
    super::workings_find_all(PATH, body, &given).await;
    let frozen = json!({"roast_date": "2026-01-01", "brew_date": "2026-02-01", "frozen_days": 3});
    super::workings_find_all(PATH, frozen, &[]).await;
}
