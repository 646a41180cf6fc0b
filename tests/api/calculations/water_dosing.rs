//! `water-dosing` over HTTP: [ciaaw2021], [lawson1974], rows computed outside this project, see
//! tests/data/SOURCES.md.

use serde_json::{Value, json};

use super::brewing_water::{cases, close, codes, spoken};
use crate::support::post;

const PATH: &str = "/v1/water-dosing";

async fn answer(body: &Value) -> Value {
    let (status, answer) = post(PATH, &body.to_string()).await;
    assert_eq!(status, 200, "{body}: {answer}");
    answer
}

fn salt(name: &Value) -> Value {
    match name.as_str().expect("a name") {
        "MgSO4.7H2O" => json!({"salt": "magnesium_sulfate", "hydrate": 7}),
        "MgCl2.6H2O" => json!({"salt": "magnesium_chloride", "hydrate": 6}),
        "CaCl2.2H2O" => json!({"salt": "calcium_chloride", "hydrate": 2}),
        "CaCl2" => json!({"salt": "calcium_chloride", "hydrate": 0}),
        "CaSO4.2H2O" => json!({"salt": "calcium_sulfate", "hydrate": 2}),
        "NaHCO3" => json!({"salt": "sodium_bicarbonate"}),
        "KHCO3" => json!({"salt": "potassium_bicarbonate"}),
        other => panic!("no salt {other}"),
    }
}

const IONS: [(&str, &str); 7] = [
    ("Ca", "calcium_mg_per_l"),
    ("Mg", "magnesium_mg_per_l"),
    ("Na", "sodium_mg_per_l"),
    ("K", "potassium_mg_per_l"),
    ("HCO3", "bicarbonate_mg_per_l"),
    ("Cl", "chloride_mg_per_l"),
    ("SO4", "sulfate_mg_per_l"),
];

#[tokio::test]
async fn doses_and_side_ions_are_those_of_the_rows() {
    for (input, output) in cases("dose") {
        let number = |name: &str| input[name].as_f64().expect("a number");
        let body = json!({
            "target": {
                "magnesium_mg_per_l": number("mg_h") * 24.305 / 100.086,
                "calcium_mg_per_l": number("ca_h") * 40.078 / 100.086,
                "alkalinity": number("alk"), "hardness_unit": "mg_per_l_caco3",
            },
            "salts": [salt(&input["mgsalt"]), salt(&input["casalt"]), salt(&input["alksalt"])],
            "volume_l": number("vol"),
        });
        let answer = answer(&body).await;
        for (place, name) in ["mgsalt", "casalt", "alksalt"].into_iter().enumerate() {
            let name = input[name].as_str().expect("a salt");
            let expected = output["grams"][name].as_f64().unwrap_or(0.0);
            close(&answer["doses"][place]["mass_g"], expected, 1e-9, name);
        }
        for (ion, field) in IONS {
            let expected = output["ions_mg_l"][ion].as_f64().unwrap_or(0.0);
            close(&answer["added"][field], expected, 1e-9, ion);
            close(&answer["water"][field], expected, 1e-9, ion);
        }
        assert_eq!(answer["missed"], json!([]), "{body}");
        assert!(codes(&answer).contains(&"food_grade_salts"));
    }
}

/// The row the other way round: the water that 10 mL of 10 g/L makes of a litre is reached by
/// a concentrate of 0.01 g/mL.
#[tokio::test]
async fn concentrates_are_those_of_the_rows() {
    for (input, output) in cases("concentrate") {
        let number = |name: &str| input[name].as_f64().expect("a number");
        let mut target = serde_json::Map::new();
        for (ion, field) in IONS {
            if let Some(value) = output["ions_mg_l"][ion].as_f64() {
                target.insert(field.to_owned(), json!(value));
            }
        }
        let answer = answer(&json!({"target": target, "salts": [salt(&input["salt"])],
            "volume_l": number("final_l"), "concentrate_dose_ml": number("dose_ml"),
            "concentrate_volume_ml": number("conc_ml")}))
        .await;
        let dose = &answer["doses"][0];
        let per_ml = number("grams") / number("conc_ml");
        close(&dose["concentrate_g_per_ml"], per_ml, 1e-9, "strength");
        close(&dose["concentrate_mass_g"], number("grams"), 1e-9, "mass");
        let hardness = output["hardness"].as_f64().expect("a number");
        close(
            &answer["water"]["total_hardness_mg_per_l_caco3"],
            hardness,
            1e-9,
            "hardness",
        );
        let alkalinity = output["alkalinity"].as_f64().expect("a number");
        close(
            &answer["water"]["alkalinity_mg_per_l_caco3"],
            alkalinity,
            1e-9,
            "alkalinity",
        );
        assert!(codes(&answer).contains(&"label_concentrates"));
    }
}

fn forty(salt: &str, more: Value) -> Value {
    let mut body = json!({"target": {"alkalinity": 40, "hardness_unit": "mg_per_l_caco3"},
        "salts": [{"salt": salt}], "volume_l": 1});
    for (field, value) in more.as_object().expect("an object") {
        body[field] = value.clone();
    }
    body
}

/// Sodium bicarbonate for an alkalinity of 40 brings 18.4 mg/L of sodium, above the 10 at or
/// near which [scaa-water] puts it; potassium bicarbonate brings none.
#[tokio::test]
async fn the_sodium_of_baking_soda_is_told() {
    let soda = answer(&forty(
        "sodium_bicarbonate",
        json!({"limits": {"sodium_mg_per_l": 10}}),
    ))
    .await;
    close(&soda["water"]["sodium_mg_per_l"], 18.376, 1e-4, "sodium");
    close(&soda["doses"][0]["mass_g"], 0.067_147, 1e-5, "mass");
    assert_eq!(soda["exceeded"][0]["quantity"], "sodium_mg_per_l");
    assert!(codes(&soda).contains(&"side_ions"));
    let potassium = answer(&forty(
        "potassium_bicarbonate",
        json!({"limits": {"sodium_mg_per_l": 10}}),
    ))
    .await;
    assert_eq!(potassium["exceeded"], json!([]));
    assert!(!codes(&potassium).contains(&"side_ions"));
}

/// Wanting 40 of alkalinity and 10 mg/L of sodium of one salt, by hand in meq/L: half the sum
/// of 40/50.043 and 10/22.98977 is 0.617149, which is 30.884 of alkalinity.
#[tokio::test]
async fn one_salt_for_two_targets_misses_both_as_little_as_it_can() {
    let body = json!({"target": {"alkalinity": 40, "hardness_unit": "mg_per_l_caco3", "sodium_mg_per_l": 10},
        "salts": [{"salt": "sodium_bicarbonate"}], "volume_l": 1, "workings": true});
    let answer = answer(&body).await;
    let half = f64::midpoint(40.0 / 50.043, 10.0 / 22.989_769_28);
    close(
        &answer["water"]["alkalinity_mg_per_l_caco3"],
        half * 50.043,
        1e-9,
        "alkalinity",
    );
    assert_eq!(answer["missed"].as_array().map(Vec::len), Some(2));
    assert!(codes(&answer).contains(&"target_missed"));
    let steps = answer["workings"].as_array().expect("steps");
    let last = steps.last().expect("a step");
    assert_eq!(last["value"], answer["doses"][0]["mass_g"]);
}

/// No salt takes alkalinity out of a hard water, and no salt without magnesium brings any.
#[tokio::test]
async fn a_target_out_of_reach_is_a_listed_shortfall_and_no_failure() {
    let body = json!({"start_water": {"magnesium_mg_per_l": 5, "bicarbonate_mg_per_l": 236},
        "target": {"magnesium_mg_per_l": 12, "alkalinity": 40, "hardness_unit": "mg_per_l_caco3"},
        "salts": [{"salt": "potassium_bicarbonate"}, {"salt": "calcium_chloride", "hydrate": 2}], "volume_l": 3});
    let answer = answer(&body).await;
    assert_eq!(answer["doses"][0]["mass_g"], 0.0);
    assert_eq!(answer["doses"][1]["mass_g"], 0.0);
    let missed = answer["missed"].as_array().expect("a list");
    assert_eq!(missed.len(), 2, "{answer}");
    let of = |name: &str| {
        let found = missed.iter().find(|missed| missed["quantity"] == name);
        found.expect(name)["difference"].clone()
    };
    // 236 mg/L of bicarbonate is 193.558 of alkalinity
    close(
        &of("alkalinity_mg_per_l_caco3"),
        153.558,
        1e-5,
        "alkalinity",
    );
    close(&of("magnesium_mg_per_l"), -7.0, 1e-12, "magnesium");
    assert!(
        answer["water"].get("calcium_mg_per_l").is_none(),
        "unknown stays unknown"
    );
    assert_eq!(answer["added"]["calcium_mg_per_l"], 0.0);
}

/// Requests that are refused, and the fault that says why.
const REFUSED: &[(&str, &str)] = &[
    (
        r#"{"target":{"calcium_mg_per_l":20},"salts":[{"salt":"calcium_chloride"}],"volume_l":1}"#,
        "/salts/0/hydrate required",
    ),
    (
        r#"{"target":{"calcium_mg_per_l":20},"salts":[{"salt":"sodium_chloride"},{"salt":"calcium_chloride","hydrate":7}],"volume_l":1}"#,
        "/salts/1/hydrate inconsistent",
    ),
    (
        r#"{"target":{"calcium_mg_per_l":20},"salts":[{"salt":"calcium_chloride","hydrate":2.5}],"volume_l":1}"#,
        "/salts/0/hydrate wrong_type",
    ),
    (
        r#"{"target":{"calcium_mg_per_l":20},"salts":[],"volume_l":1}"#,
        "/salts too_few_items",
    ),
    (
        r#"{"target":{"calcium_mg_per_l":20},"salts":[{"salt":"lead_acetate"}],"volume_l":1}"#,
        "/salts/0/salt not_allowed",
    ),
    (
        r#"{"target":{},"salts":[{"salt":"sodium_chloride"}],"volume_l":1}"#,
        "/target/total_hardness required",
    ),
    (
        r#"{"start_water":{"calcium_mg_per_l":5},"target":{"sodium_mg_per_l":9},"salts":[{"salt":"sodium_chloride"}],"volume_l":1}"#,
        "/start_water/sodium_mg_per_l required",
    ),
    (
        r#"{"target":{"sodium_mg_per_l":9},"salts":[{"salt":"sodium_chloride"}]}"#,
        "/volume_l required",
    ),
    (
        r#"{"target":{"sodium_mg_per_l":9},"salts":[{"salt":"sodium_chloride"}],"volume_l":0}"#,
        "/volume_l out_of_range",
    ),
    (
        r#"{"target":{"sodium_mg_per_l":9},"salts":[{"salt":"sodium_chloride"}],"volume_l":1,"concentrate_volume_ml":100}"#,
        "/concentrate_dose_ml required",
    ),
];

#[tokio::test]
async fn what_cannot_be_dosed_is_refused_at_its_field() {
    for (body, expected) in REFUSED {
        let (status, problem) = post(PATH, body).await;
        assert_eq!(status, 422, "{body}: {problem}");
        let found = spoken(&problem);
        assert!(found.contains(&(*expected).to_owned()), "{body}: {found:?}");
    }
}

/// Each number of the derivation is the answer's, and the lack is in milliequivalents.
#[tokio::test]
async fn the_workings_lead_from_the_lack_to_the_mass() {
    let answer = answer(&forty(
        "sodium_bicarbonate",
        json!({"volume_l": 2, "workings": true,
        "concentrate_dose_ml": 10}),
    ))
    .await;
    let steps = answer["workings"].as_array().expect("steps");
    let names: Vec<_> = steps
        .iter()
        .map(|step| step["step"].as_str().expect("a name"))
        .collect();
    assert_eq!(
        names,
        [
            "lacking_meq_per_l_of_alkalinity_mg_per_l_caco3",
            "dose_mg_per_l",
            "mass_g",
            "concentrate_g_per_ml"
        ]
    );
    // 40 / 50.043
    close(&steps[0]["value"], 0.799_312_6, 1e-7, "lack");
    let dose = &answer["doses"][0];
    for (step, name) in steps.iter().zip(names).skip(1) {
        assert_eq!(step["value"], dose[name], "{name}");
    }
    // 134.29374 mg in 10 mL
    close(
        &dose["concentrate_g_per_ml"],
        0.013_429_374,
        1e-6,
        "concentrate",
    );
}
