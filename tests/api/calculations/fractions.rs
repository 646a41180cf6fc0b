//! `fractions` over HTTP: measured shots in slices, targets, and what cannot be.

use serde_json::{Value, json};

use super::{cell, close, codes, data, number, refused};

const PATH: &str = "/v1/fractions";

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

/// The slices of a row, read on the sugar scale where the row has readings.
fn slices(inputs: &Value) -> Vec<Value> {
    let masses = inputs["slice_g"].as_array().expect("masses");
    masses
        .iter()
        .enumerate()
        .map(|(place, mass)| match inputs["brix"].get(place) {
            Some(brix) => json!({"mass_g": mass, "brix_percent": brix}),
            None => json!({"mass_g": mass, "tds_percent": 5}),
        })
        .collect()
}

/// Two espressos caught in slices [quantitativecafe2023]: beverage, mean reading, yield.
#[tokio::test]
async fn shots_in_slices_have_their_published_sums() {
    let mut seen = 0;
    for row in data("espresso_solids.csv") {
        if !row["id"].starts_with("ES-FR") {
            continue;
        }
        seen += 1;
        let inputs: Value = serde_json::from_str(&row["inputs"]).expect("JSON");
        let dose = inputs["dose_g"].as_f64().unwrap_or(18.0);
        let body = json!({"dose_g": dose, "slices": slices(&inputs), "solids_per_brix": 0.85});
        let answer = answer(&body).await;
        let found = match row["id"].rsplit('-').next() {
            Some("B") => number(&answer, "beverage_mass_g"),
            Some("BX") => number(&answer, "tds_percent") / 0.85,
            _ => number(&answer, "extraction_yield_percent"),
        };
        close(
            found,
            cell(&row, "expected"),
            cell(&row, "tolerance"),
            &row["id"],
        );
    }
    assert_eq!(seen, 4, "rows of shots in slices");
}

/// 20 g at 15 % and 20 g at 5 % from 20 g: 3 g and 1 g of solids. 10 % in the cup after all of
/// it; 12 % after x g of the second slice with (3 + 0.05 x) / (20 + x) = 0.12, x = 0.6 / 0.07;
/// 18 % of yield after 3.6 g, 12 g into it. By hand.
#[tokio::test]
async fn targets_are_met_where_they_are_by_hand() {
    let body = json!({"dose_g": 20, "slices": [{"mass_g": 20, "tds_percent": 15},
        {"mass_g": 20, "tds_percent": 5}], "target_tds_percent": 12,
        "target_extraction_yield_percent": 18, "target_beverage_mass_g": 30});
    let answer = answer(&body).await;
    let targets = answer["targets"].as_array().expect("targets");
    for (target, expected) in targets.iter().zip([20.0 + 0.6 / 0.07, 32.0, 30.0]) {
        assert_eq!(
            (&target["met"], &target["slice"]),
            (&json!(true), &json!(2)),
            "{target}"
        );
        close(
            number(target, "beverage_mass_g"),
            expected,
            1e-9,
            &target.to_string(),
        );
    }
    let curve = &answer["slices"];
    close(
        number(&curve[1], "cumulative_tds_percent"),
        10.0,
        1e-12,
        "strength",
    );
    close(
        number(&curve[0], "extraction_yield_percent"),
        15.0,
        1e-12,
        "yield",
    );
    close(number(&curve[0], "share_percent"), 75.0, 1e-12, "share");
}

#[tokio::test]
async fn what_is_never_met_is_said() {
    let body = json!({"dose_g": 20, "slices": [{"mass_g": 20, "tds_percent": 15}],
        "target_tds_percent": 9, "target_extraction_yield_percent": 20,
        "target_beverage_mass_g": 20});
    let answer = answer(&body).await;
    let met: Vec<_> = answer["targets"]
        .as_array()
        .expect("targets")
        .iter()
        .collect();
    assert_eq!(
        met[0],
        &json!({"target": "tds_percent", "value": 9.0, "met": false})
    );
    assert_eq!(met[1]["met"], json!(false));
    assert_eq!(
        (&met[2]["met"], &met[2]["slice"]),
        (&json!(true), &json!(1))
    );
    assert!(codes(&answer).is_empty());
}

/// Mixing the slices and measuring the cup gives the same yield.
#[tokio::test]
async fn the_mixed_cup_has_the_yield_of_its_slices() {
    let body = json!({"dose_g": 18, "slices": [{"mass_g": 10, "tds_percent": 18},
        {"mass_g": 12, "brix_percent": 10}, {"mass_g": 14, "tds_percent": 3}]});
    let shot = answer(&body).await;
    assert_eq!(codes(&shot), ["factor_uncertain"]);
    let cup = json!({"dose_g": 18, "beverage_mass_g": shot["beverage_mass_g"],
        "tds_percent": shot["tds_percent"]});
    let cup = super::answer("/v1/extraction-yield", &cup).await;
    let name = "extraction_yield_percent";
    close(number(&cup, name), number(&shot, name), 1e-12, "yield");
}

/// Requests that are wrong, and the faults that say so.
const WRONG: &[(&str, &[&str])] = &[
    ("{}", &["/dose_g required", "/slices required"]),
    (r#"{"dose_g":18,"slices":[]}"#, &["/slices too_few_items"]),
    (
        r#"{"dose_g":18,"slices":[{"mass_g":10},{"mass_g":10,"tds_percent":9,"brix_percent":10}]}"#,
        &[
            "/slices/0/tds_percent required",
            "/slices/1/tds_percent contradictory",
            "/slices/1/brix_percent contradictory",
        ],
    ),
    (
        r#"{"dose_g":18,"slices":[{"mass_g":0,"tds_percent":9}]}"#,
        &["/slices/0/mass_g out_of_range"],
    ),
    (
        r#"{"dose_g":18,"slices":[{"mass_g":36,"tds_percent":18}]}"#,
        &["/slices inconsistent"],
    ),
    (
        r#"{"dose_g":18,"slices":[{"mass_g":36,"tds_percent":9}],"water_mass_g":30}"#,
        &["/slices inconsistent", "/water_mass_g inconsistent"],
    ),
];

#[tokio::test]
async fn what_cannot_be_is_refused_at_its_fields() {
    for (body, expected) in WRONG {
        assert_eq!(refused(PATH, body).await, *expected, "{body}");
    }
}

#[tokio::test]
async fn a_yield_above_thirty_percent_is_a_caution() {
    let body = json!({"dose_g": 18, "slices": [{"mass_g": 36, "tds_percent": 16}]});
    assert_eq!(codes(&answer(&body).await), ["high_yield"]);
}

#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    let body = json!({"dose_g": 20, "slices": [{"mass_g": 20, "brix_percent": 15},
        {"mass_g": 20, "tds_percent": 5}], "target_tds_percent": 10,
        "target_extraction_yield_percent": 15, "target_beverage_mass_g": 30});
    super::workings_find_all(PATH, body, &[]).await;
}
