//! `water-blend` over HTTP: conservation, rows computed outside this project, see
//! tests/data/SOURCES.md.

use serde_json::{Value, json};

use super::brewing_water::{cases, close, codes, spoken};
use crate::support::post;

const PATH: &str = "/v1/water-blend";

async fn answer(body: &Value) -> Value {
    let (status, answer) = post(PATH, &body.to_string()).await;
    assert_eq!(status, 200, "{body}: {answer}");
    answer
}

fn kit(hardness: &Value, alkalinity: &Value) -> Value {
    json!({"total_hardness": hardness, "alkalinity": alkalinity, "hardness_unit": "mg_per_l_caco3"})
}

#[tokio::test]
async fn the_share_for_an_alkalinity_is_that_of_the_rows() {
    for (input, output) in cases("blend") {
        let answer = answer(&json!({
            "first_water": kit(&input["tap_gh"], &input["tap_kh"]),
            "second_water": kit(&input["ro_gh"], &input["ro_kh"]),
            "target": {"alkalinity": input["target_kh"], "hardness_unit": "mg_per_l_caco3"},
        }))
        .await;
        let number = |name: &str| output[name].as_f64().expect("a number");
        close(
            &answer["first_fraction"],
            number("tap_fraction"),
            1e-10,
            "share",
        );
        let water = &answer["water"];
        close(
            &water["total_hardness_mg_per_l_caco3"],
            number("gh"),
            1e-10,
            "hardness",
        );
        close(
            &water["alkalinity_mg_per_l_caco3"],
            number("kh"),
            1e-10,
            "alkalinity",
        );
        assert_eq!(answer["missed"], json!([]));
    }
}

/// Hardness 300 and 0, alkalinity 200 and 0, wanted 150 and 40, by hand: the share is
/// (150 x 300 + 40 x 200) / (300² + 200²) = 53 000 / 130 000 = 0.407692, which makes
/// 122.3077 and 81.53846.
#[tokio::test]
async fn one_share_cannot_meet_two_targets_and_the_answer_says_what_is_missed() {
    let answer = answer(&json!({
        "first_water": kit(&json!(300), &json!(200)),
        "second_water": kit(&json!(0), &json!(0)),
        "target": kit(&json!(150), &json!(40)),
        "volume_l": 10, "workings": true,
    }))
    .await;
    close(&answer["first_fraction"], 53.0 / 130.0, 1e-12, "share");
    close(&answer["first_volume_l"], 530.0 / 130.0, 1e-12, "volume");
    let missed = answer["missed"].as_array().expect("a list");
    assert_eq!(missed.len(), 2);
    close(&missed[0]["value"], 122.307_692_307, 1e-9, "hardness");
    close(&missed[1]["difference"], 41.538_461_538, 1e-9, "alkalinity");
    assert_eq!(codes(&answer), ["target_missed"]);
    let steps = answer["workings"].as_array().expect("steps");
    assert_eq!(steps[0]["value"], answer["first_fraction"]);
}

#[tokio::test]
async fn a_target_outside_both_waters_takes_one_of_them_alone() {
    let body = |alkalinity: f64| {
        json!({"first_water": kit(&json!(300), &json!(200)), "second_water": kit(&json!(10), &json!(5)),
            "target": {"alkalinity": alkalinity, "hardness_unit": "mg_per_l_caco3"}})
    };
    let above = answer(&body(250.0)).await;
    assert_eq!(above["first_fraction"], 1.0);
    assert_eq!(above["missed"][0]["value"], 200.0);
    let below = answer(&body(1.0)).await;
    assert_eq!(below["first_fraction"], 0.0);
}

/// Ions mix in proportion, and the hardness of the mixed ions is the mixed hardness.
#[tokio::test]
async fn a_given_share_mixes_every_ion_that_both_waters_tell() {
    let answer = answer(&json!({
        "first_water": {"calcium_mg_per_l": 90, "magnesium_mg_per_l": 12, "sodium_mg_per_l": 24},
        "second_water": {"calcium_mg_per_l": 2, "magnesium_mg_per_l": 0, "chloride_mg_per_l": 3},
        "first_fraction": 0.25, "workings": true,
    }))
    .await;
    let steps: Vec<_> = answer["workings"]
        .as_array()
        .expect("steps")
        .iter()
        .collect();
    let named: Vec<_> = steps
        .iter()
        .filter_map(|step| step["step"].as_str())
        .collect();
    let both = [
        "total_hardness_mg_per_l_caco3",
        "calcium_mg_per_l",
        "magnesium_mg_per_l",
    ];
    assert_eq!(
        named, both,
        "what both waters tell, and no share, which was given"
    );
    assert_eq!(steps[1]["value"], 24.0, "0.25 x 90 + 0.75 x 2");
    let water = &answer["water"];
    assert_eq!(water["calcium_mg_per_l"], 24.0);
    assert_eq!(water["magnesium_mg_per_l"], 3.0);
    // 24 x 2.49728 + 3 x 4.11792
    close(
        &water["total_hardness_mg_per_l_caco3"],
        72.288_48,
        1e-6,
        "hardness",
    );
    assert!(water.get("sodium_mg_per_l").is_none() && water.get("chloride_mg_per_l").is_none());
    assert!(answer.get("missed").is_none());
}

/// Requests that are refused, and the fault that says why.
const REFUSED: &[(&str, &str)] = &[
    (
        r#"{"first_water":{"calcium_mg_per_l":9},"second_water":{"calcium_mg_per_l":1}}"#,
        "/target required",
    ),
    (
        r#"{"second_water":{"calcium_mg_per_l":1},"first_fraction":0.5}"#,
        "/first_water required",
    ),
    (
        r#"{"first_water":{"calcium_mg_per_l":9},"second_water":{},"target":{"calcium_mg_per_l":5}}"#,
        "/second_water/calcium_mg_per_l required",
    ),
    (
        r#"{"first_water":{"calcium_mg_per_l":9},"second_water":{"calcium_mg_per_l":1},"target":{}}"#,
        "/target/total_hardness required",
    ),
    (
        r#"{"first_water":{"calcium_mg_per_l":-9},"second_water":{"calcium_mg_per_l":1},"first_fraction":0.5}"#,
        "/first_water/calcium_mg_per_l out_of_range",
    ),
    (
        r#"{"first_water":{"alkalinity":9},"second_water":{},"first_fraction":0.5}"#,
        "/first_water/hardness_unit required",
    ),
    (
        r#"{"first_water":{},"second_water":{},"first_fraction":1.5}"#,
        "/first_fraction out_of_range",
    ),
    (
        r#"{"first_water":{"iron_mg_per_l":1},"second_water":{},"first_fraction":0.5}"#,
        "/first_water/iron_mg_per_l unknown_field",
    ),
];

#[tokio::test]
async fn what_cannot_be_blended_is_refused_at_its_field() {
    for (body, expected) in REFUSED {
        let (status, problem) = post(PATH, body).await;
        assert_eq!(status, 422, "{body}: {problem}");
        let found = spoken(&problem);
        assert!(found.contains(&(*expected).to_owned()), "{body}: {found:?}");
    }
    let alike = r#"{"first_water":{"calcium_mg_per_l":9},"second_water":{"calcium_mg_per_l":9},"target":{"calcium_mg_per_l":5}}"#;
    let (status, problem) = post(PATH, alike).await;
    assert_eq!(
        (status, problem["code"].as_str()),
        (422, Some("no_solution"))
    );
}
