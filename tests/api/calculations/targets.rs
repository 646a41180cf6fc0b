//! `targets` over HTTP: there and back with `extraction-yield`, and what cannot be.

use serde_json::{Value, json};

use super::{close, codes, number, refused};
use crate::support::post;

const PATH: &str = "/v1/targets";

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

/// The yield of the brew that the answer describes, measured as it would be.
async fn yield_of(kind: &str, tds: f64, brew: &Value) -> f64 {
    let measured = json!({
        "brew_kind": kind,
        "dose_g": brew["dose_g"],
        "water_mass_g": brew["water_mass_g"],
        "beverage_mass_g": brew["beverage_mass_g"],
        "bypass_water_g": brew["bypass_water_g"],
        "tds_percent": tds,
    });
    number(
        &super::answer("/v1/extraction-yield", &measured).await,
        "extraction_yield_percent",
    )
}

#[tokio::test]
async fn what_is_made_to_order_measures_as_ordered() {
    for (kind, tds, stronger) in [
        ("espresso", 9.5, 12.0),
        ("filter", 1.3, 1.7),
        ("immersion", 1.35, 1.5),
    ] {
        for (field, value) in [
            ("dose_g", 18.0),
            ("beverage_mass_g", 150.0),
            ("final_beverage_mass_g", 260.0),
            ("cup_ml", 180.0),
        ] {
            for brew in [tds, stronger] {
                let order = json!({"brew_kind": kind, "target_tds_percent": tds,
                    "target_extraction_yield_percent": 20.5, field: value, "brew_tds_percent": brew});
                let made = answer(&order).await;
                assert_eq!(made[field], json!(value), "bit for bit");
                assert_eq!(made["bypass_water_g"].is_f64(), brew > tds, "{order}");
                close(yield_of(kind, tds, &made).await, 20.5, 1e-11, kind);
            }
        }
    }
}

/// 18 g at 20 % hold 3.6 g of solids, which are 9 % of 40 g: by hand
#[tokio::test]
async fn a_double_espresso_is_worked_out_as_by_hand() {
    let order =
        json!({"target_tds_percent": 9, "target_extraction_yield_percent": 20, "dose_g": 18});
    let made = answer(&order).await;
    close(number(&made, "beverage_mass_g"), 40.0, 1e-12, "beverage");
    close(number(&made, "dissolved_solids_g"), 3.6, 1e-12, "solids");
    close(number(&made, "water_mass_g"), 58.0, 1e-12, "water");
    assert!(made["bypass_water_g"].is_null());
    assert!(codes(&made).is_empty());
}

/// 20 % in 1:2 is 10 %, thinned to 5 % with as much water as there is beverage; steeped at 1:10
/// it is 20 / 10.2 %, of which the grounds keep 2 g a gram: by hand
#[tokio::test]
async fn a_brew_is_as_strong_as_its_ratio_makes_it() {
    let thinned = answer(
        &json!({"target_tds_percent": 5, "target_extraction_yield_percent": 20,
        "dose_g": 20, "brew_ratio": 2}),
    )
    .await;
    close(number(&thinned, "bypass_water_g"), 40.0, 1e-9, "bypass");
    close(number(&thinned, "brew_tds_percent"), 10.0, 1e-12, "brew");
    let by_water = answer(
        &json!({"target_tds_percent": 5, "target_extraction_yield_percent": 20,
        "dose_g": 20, "water_ratio": 3}),
    )
    .await;
    close(number(&by_water, "bypass_water_g"), 40.0, 1e-9, "bypass");
    let steeped = json!({"brew_kind": "immersion", "target_tds_percent": 1.5,
        "target_extraction_yield_percent": 20, "dose_g": 20, "water_ratio": 10});
    let steeped = answer(&steeped).await;
    close(
        number(&steeped, "brew_tds_percent"),
        20.0 / 10.2,
        1e-12,
        "brew",
    );
    close(number(&steeped, "beverage_mass_g"), 160.0, 1e-9, "poured");
}

/// A cup of 200 mL: water of 4 °C nearly a gram a millilitre, of 80 °C 971.8 kg/m³ [iapws2012]
#[tokio::test]
async fn a_cup_weighs_less_the_hotter_it_is() {
    let order = |celsius: f64| {
        json!({"brew_kind": "filter", "target_tds_percent": 0.1,
            "target_extraction_yield_percent": 20, "cup_ml": 200, "beverage_temperature_c": celsius})
    };
    let mass = |made: &Value| number(made, "final_beverage_mass_g");
    // solids of 0.1 % make it 0.04 % denser
    close(mass(&answer(&order(4.0)).await), 200.08, 0.01, "cold");
    close(mass(&answer(&order(80.0)).await), 194.44, 0.01, "hot");
}

/// Requests that are wrong, and the faults that say so.
const WRONG: &[(&str, &[&str])] = &[
    (r#""workings":true"#, &["/dose_g required"]),
    (
        r#""dose_g":18,"cup_ml":40"#,
        &["/dose_g contradictory", "/cup_ml contradictory"],
    ),
    (
        r#""dose_g":18,"brew_ratio":2,"brew_tds_percent":10"#,
        &[
            "/brew_tds_percent contradictory",
            "/brew_ratio contradictory",
        ],
    ),
    (
        r#""dose_g":18,"brew_ratio":0.2"#,
        &["/brew_ratio out_of_range"],
    ),
    (r#""cup_ml":90000"#, &["/dose_g out_of_range"]),
];

#[tokio::test]
async fn what_cannot_be_is_refused_at_its_fields() {
    for (fields, expected) in WRONG {
        let body =
            format!(r#"{{"target_tds_percent":9,"target_extraction_yield_percent":20,{fields}}}"#);
        let found = refused(PATH, &body).await;
        for fault in *expected {
            assert!(
                found.iter().any(|f| f == fault),
                "{body}: {fault} in {found:?}"
            );
        }
    }
    let missing = refused(PATH, r#"{"dose_g":18}"#).await;
    assert_eq!(
        missing,
        [
            "/target_tds_percent required",
            "/target_extraction_yield_percent required"
        ]
    );
}

/// The soluble part is "a little more than 30 %" [yield-bound].
#[tokio::test]
async fn a_yield_that_no_coffee_gives_is_no_target() {
    let order = |percent: f64| json!({"target_tds_percent": 9, "target_extraction_yield_percent": percent, "dose_g": 18});
    assert!(codes(&answer(&order(30.0)).await).is_empty());
    assert_eq!(codes(&answer(&order(30.5)).await), ["high_yield"]);
    answer(&order(35.0)).await;
    assert_eq!(
        refused(PATH, &order(35.1).to_string()).await,
        ["/target_extraction_yield_percent inconsistent"]
    );
    let mut fraction = order(20.0);
    fraction["target_tds_percent"] = json!(0.09);
    assert_eq!(codes(&answer(&fraction).await), ["looks_like_a_fraction"]);
}

#[tokio::test]
async fn a_brew_weaker_than_the_cup_has_no_solution() {
    for body in [
        json!({"target_tds_percent": 9, "target_extraction_yield_percent": 20, "dose_g": 18,
            "brew_tds_percent": 8.9}),
        json!({"brew_kind": "immersion", "target_tds_percent": 20,
            "target_extraction_yield_percent": 20, "dose_g": 18}),
    ] {
        let (status, problem) = post(PATH, &body.to_string()).await;
        assert_eq!(
            (status, &problem["code"]),
            (422, &json!("no_solution")),
            "{problem}"
        );
    }
}

#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    for (fields, given) in [
        (json!({"dose_g": 18}), vec!["dose_g"]),
        (
            json!({"beverage_mass_g": 40, "brew_ratio": 1.5}),
            vec!["beverage_mass_g"],
        ),
        (
            json!({"final_beverage_mass_g": 40, "water_ratio": 2.5}),
            vec!["final_beverage_mass_g"],
        ),
        (
            json!({"cup_ml": 300, "brew_kind": "immersion", "brew_tds_percent": 12}),
            vec!["cup_ml", "brew_tds_percent"],
        ),
        (
            json!({"cup_ml": 30, "brew_kind": "immersion", "water_ratio": 1.5,
            "retained_ratio": 0.5}),
            vec!["cup_ml"],
        ),
        (
            json!({"cup_ml": 30, "brew_kind": "immersion", "brew_ratio": 1.5}),
            vec!["cup_ml"],
        ),
    ] {
        let mut body = json!({"target_tds_percent": 9, "target_extraction_yield_percent": 20});
        for (name, value) in fields.as_object().expect("an object") {
            body[name] = value.clone();
        }
        if body["brew_kind"] == "immersion" {
            body["target_tds_percent"] = json!(1.1);
            if body["brew_tds_percent"].is_number() {
                body["brew_tds_percent"] = json!(1.2);
            }
        }
        super::workings_find_all(PATH, body, &given).await;
    }
}
