//! `recipe-transfer` over HTTP: facts of the trade, the answers of the calculations that it
//! asks, and what must hold between any two set-ups.

use serde_json::{Value, json};

use super::{answer, close, codes, number, refused};

const PATH: &str = "/v1/recipe-transfer";

/// Codes of a list of the answer.
fn listed<'a>(answer: &'a Value, list: &str) -> Vec<&'a str> {
    let items = answer[list].as_array().expect("a list");
    let codes = items.iter().map(|item| item["code"].as_str());
    codes.map(|code| code.expect("a code")).collect()
}

/// Common practice, no source: a 54 mm basket holds the bed of 22 g in a 58 mm one at
/// 22 g x (54/58)² = 19.07 g.
#[tokio::test]
async fn twenty_two_grams_at_58_mm_are_19_07_grams_at_54_mm() {
    let answer = answer(
        PATH,
        &json!({"from": {"basket_diameter_mm": 58}, "to": {"basket_diameter_mm": 54},
            "recipe": {"dose_g": 22, "beverage_mass_g": 44, "tds_percent": 9.5}}),
    )
    .await;
    close(number(&answer, "dose_g"), 19.07, 0.005, "dose");
    // by hand: 22 x 2916 / 3364
    close(
        number(&answer, "dose_g"),
        22.0 * 2916.0 / 3364.0,
        1e-13,
        "dose",
    );
    close(number(&answer, "brew_ratio"), 2.0, 1e-12, "ratio");
    assert_eq!(answer["brew_ratio_text"], "1:2");
    assert_eq!(answer["tds_percent"], 9.5);
    assert_eq!(answer["fits_basket"], true);
    assert_eq!(answer["shot_time_change"]["direction"], "unchanged");
    assert_eq!(answer["shot_time_change"]["method"], "direction");
    assert_eq!(
        answer["shot_time_change"]["not_simulated"]["code"],
        "grind_unknown"
    );
    assert_eq!(listed(&answer, "not_met"), [""; 0]);
    for kept in ["bed_depth", "brew_ratio", "strength", "brew_temperature"] {
        assert!(listed(&answer, "kept").contains(&kept), "{kept}");
    }
    assert_eq!(listed(&answer, "changed"), ["dose", "beverage_mass"]);
}

/// Boiling point at 2500 m geometric: `iso2533_altitude.csv`, kind `isa_geometric`, row 2500.
const BOILING_AT_2500_M: f64 = 91.648_178_173_438_68;

#[tokio::test]
async fn a_93_degree_recipe_at_2500_m_stays_under_pressure_and_not_in_an_open_kettle() {
    let body = |to: Value| {
        json!({"from": {"altitude_m": 0}, "to": to,
            "recipe": {"dose_g": 18, "brew_temperature_c": 93}})
    };
    let machine = answer(
        PATH,
        &body(json!({"altitude_m": 2500, "brew_pressure_bar": 9})),
    )
    .await;
    assert_eq!(machine["brew_temperature_c"], 93.0);
    assert_eq!(machine["temperature_reachable"], true);
    assert_eq!(listed(&machine, "not_met"), [""; 0]);
    assert_eq!(listed(&machine, "changed"), [""; 0]);
    // hotter than boiling in the open: whoever opens the machine must know
    assert!(
        codes(&machine).contains(&"superheated") && codes(&machine).contains(&"pressure_vessel")
    );

    let kettle = answer(PATH, &body(json!({"altitude_m": 2500}))).await;
    close(
        number(&kettle, "boiling_point_c"),
        BOILING_AT_2500_M,
        1e-6,
        "boiling",
    );
    // common practice, no source: an open kettle is set half a degree below boiling
    let expected = BOILING_AT_2500_M - 0.5;
    close(
        number(&kettle, "brew_temperature_c"),
        expected,
        1e-6,
        "kettle",
    );
    assert_eq!(kettle["temperature_reachable"], false);
    assert_eq!(listed(&kettle, "not_met"), ["temperature_out_of_reach"]);
    let instead = kettle["not_met"][0]["instead"].as_str().expect("a text");
    assert!(
        instead.contains("91.15") && instead.contains("finer"),
        "{instead}"
    );
    assert_eq!(listed(&kettle, "check_first")[0], "sourness");
    assert_eq!(kettle["shot_time_change"]["direction"], "longer");
    assert!(!codes(&kettle).contains(&"superheated") && codes(&kettle).contains(&"hot_water"));
}

/// The same in the other units of the trade: 8202.1 ft and 199.4 °F.
#[tokio::test]
async fn feet_and_degrees_fahrenheit_are_the_same_recipe() {
    let answer = answer(
        PATH,
        &json!({"from": {}, "to": {"altitude_ft": 2500.0 / 0.3048},
            "recipe": {"dose_g": 18, "brew_temperature_f": 199.4}}),
    )
    .await;
    close(
        number(&answer, "brew_temperature_c"),
        BOILING_AT_2500_M - 0.5,
        1e-6,
        "kettle",
    );
    assert_eq!(answer["temperature_reachable"], false);
}

fn set_ups() -> Vec<Value> {
    let machine = json!({"basket_diameter_mm": 58, "rated_dose_g": 20, "altitude_m": 1234.5,
        "brew_pressure_bar": 8.7, "grind_diameter_um": 333, "cup_ml": 70});
    let mut all = vec![
        json!({}),
        machine.clone(),
        json!({"basket_diameter_mm": 51.3}),
        json!({"altitude_ft": 300}),
    ];
    for left_out in [
        "basket_diameter_mm",
        "altitude_m",
        "brew_pressure_bar",
        "grind_diameter_um",
    ] {
        let mut less = machine.clone();
        less.as_object_mut().expect("an object").remove(left_out);
        all.push(less);
    }
    all
}

#[tokio::test]
async fn the_same_set_up_changes_nothing() {
    let profile = json!({"time_s": [0, 6, 7], "pressure_bar": [3.3, 3.3, 9.2]});
    for set_up in set_ups() {
        // one dose that its basket takes, and one that it does not
        for (dose, profile) in [(19.7, &json!(null)), (27.3, &profile)] {
            let recipe = json!({"dose_g": dose, "beverage_mass_g": 41.3, "shot_time_s": 27.1,
                "brew_temperature_c": 91.3, "tds_percent": 9.07, "pressure_profile": profile});
            let body = json!({"from": set_up, "to": set_up, "recipe": recipe});
            let answer = answer(PATH, &body).await;
            for name in [
                "dose_g",
                "beverage_mass_g",
                "brew_temperature_c",
                "tds_percent",
            ] {
                assert_eq!(answer[name], recipe[name], "{body}: {name}");
            }
            assert_eq!(listed(&answer, "changed"), [""; 0], "{body}: {answer}");
            assert_eq!(listed(&answer, "check_first"), [""; 0], "{body}");
            let change = &answer["shot_time_change"];
            assert_eq!(change["direction"], "unchanged", "{body}");
            if change["method"] == "simulation" {
                assert_eq!(answer["shot_time_s"], recipe["shot_time_s"], "{body}");
                assert_eq!(change["change_s"], 0.0, "{body}");
            }
        }
    }
}

#[tokio::test]
async fn there_and_back_is_the_recipe_again() {
    let (here, there) = (
        json!({"basket_diameter_mm": 58, "grind_diameter_um": 340, "brew_pressure_bar": 9}),
        json!({"basket_diameter_mm": 53.7, "grind_diameter_um": 352, "brew_pressure_bar": 9}),
    );
    let recipe = json!({"dose_g": 20.3, "beverage_mass_g": 43.1, "shot_time_s": 28});
    let out = answer(PATH, &json!({"from": here, "to": there, "recipe": recipe})).await;
    let carried = json!({"dose_g": out["dose_g"], "beverage_mass_g": out["beverage_mass_g"],
        "shot_time_s": out["shot_time_s"]});
    let back = answer(PATH, &json!({"from": there, "to": here, "recipe": carried})).await;
    for name in ["dose_g", "beverage_mass_g", "shot_time_s"] {
        let given = recipe[name].as_f64().expect("a number");
        close(number(&back, name), given, 1e-12 * given, name);
    }
    assert_eq!(out["shot_time_change"]["direction"], "shorter");
    assert_eq!(back["shot_time_change"]["direction"], "longer");
}

#[tokio::test]
async fn a_wider_basket_takes_more_and_a_higher_place_is_cooler() {
    let mut before = 0.0;
    for diameter in [40.0, 51.0, 54.0, 57.9, 58.0, 58.1, 80.0] {
        let body = json!({"from": {"basket_diameter_mm": 58}, "to": {"basket_diameter_mm": diameter},
            "recipe": {"dose_g": 20}});
        let dose = number(&answer(PATH, &body).await, "dose_g");
        assert!(dose > before, "{diameter} mm");
        before = dose;
    }
    let mut before = f64::INFINITY;
    for metres in [-400.0, 0.0, 1500.0, 2000.0, 2100.0, 2500.0, 4000.0, 9000.0] {
        let body = json!({"from": {}, "to": {"altitude_m": metres},
            "recipe": {"dose_g": 20, "brew_temperature_c": 93}});
        let temperature = number(&answer(PATH, &body).await, "brew_temperature_c");
        assert!(temperature <= before, "{metres} m");
        before = temperature;
    }
    assert!(before < 75.0);
}

fn two_grinds() -> Value {
    json!({
        "from": {"basket_diameter_mm": 58, "grind_diameter_um": 340, "brew_pressure_bar": 9},
        "to": {"basket_diameter_mm": 54, "grind_diameter_um": 320, "altitude_m": 3000,
            "brew_pressure_bar": 9, "cup_ml": 30},
        "recipe": {"dose_g": 21, "beverage_mass_g": 44, "shot_time_s": 28},
    })
}

/// Every part is bit for bit what the calculation that knows it answers over HTTP.
#[tokio::test]
async fn the_parts_are_the_answers_of_the_other_calculations() {
    let whole = answer(PATH, &two_grinds()).await;
    let dose = &whole["dose_g"];
    let basket = json!({"diameter_mm": 54, "dose_g": dose});
    let basket = answer("/v1/basket-capacity", &basket).await;
    for name in ["tamped_depth_mm", "dose_min_g", "dose_max_g"] {
        assert_eq!(whole[name], basket[name], "{name}");
    }
    let before = json!({"diameter_mm": 58, "dose_g": 21});
    let before = answer("/v1/basket-capacity", &before).await;
    let depth = number(&before, "tamped_depth_mm");
    close(number(&whole, "tamped_depth_mm"), depth, 1e-12, "bed depth");
    let ratio = answer("/v1/ratio", &json!({"dose_g": 21, "beverage_mass_g": 44})).await;
    let ratio = json!({"dose_g": dose, "brew_ratio": ratio["brew_ratio"]});
    let ratio = answer("/v1/ratio", &ratio).await;
    for name in ["beverage_mass_g", "brew_ratio", "brew_ratio_text"] {
        assert_eq!(whole[name], ratio[name], "{name}");
    }
    let water = json!({"altitude_m": 3000, "target_temperature_c": 93, "brew_pressure_bar": 9});
    let water = answer("/v1/water-temperature", &water).await;
    for name in ["boiling_point_c", "boiling_point_f"] {
        assert_eq!(whole[name], water[name], "{name}");
    }
    let sources = whole["sources"].as_array().expect("sources");
    for source in [
        "iapws2012",
        "packedbed",
        "basket-practice",
        "massbalance",
        "iso2533",
    ] {
        assert!(sources.contains(&json!(source)), "{source}");
    }
    assert_eq!(whole["fits_cup"], false);
    assert_eq!(listed(&whole, "not_met"), ["cup_too_small"]);
}

/// The time that the simulation answers over HTTP for one of the two shots.
async fn simulated(diameter_mm: f64, grind_um: f64, masses: [&Value; 2]) -> f64 {
    let shot = json!({"dose_g": masses[0], "target_beverage_mass_g": masses[1],
        "basket_diameter_mm": diameter_mm, "grind_diameter_um": grind_um,
        "water_temperature_c": 93, "sample_time_s": [],
        "pressure_profile": {"time_s": [0], "pressure_bar": [9]}});
    number(
        &answer("/v1/shot-simulation", &shot).await,
        "time_to_target_s",
    )
}

#[tokio::test]
async fn the_times_are_those_of_the_simulation() {
    let whole = answer(PATH, &two_grinds()).await;
    let old = simulated(58.0, 340.0, [&json!(21), &json!(44)]).await;
    let new = simulated(54.0, 320.0, [&whole["dose_g"], &whole["beverage_mass_g"]]).await;
    let change = &whole["shot_time_change"];
    assert_eq!(change["simulated_from_s"], json!(old));
    assert_eq!(change["simulated_to_s"], json!(new));
    assert_eq!(change["direction"], "longer", "a finer grind");
    close(
        number(&whole, "shot_time_s"),
        28.0 * new / old,
        1e-12,
        "shot time",
    );
    assert!(codes(&whole).contains(&"unvalidated_model"));
}

/// A stamped dose holds give or take 1 g (common practice, no source), so 20 g at 58 mm, 17.34 g
/// at 54 mm, are held to 16 g in a basket of 15 g, at the same ratio.
#[tokio::test]
async fn a_dose_that_the_basket_does_not_take_is_held_inside_its_range() {
    let body = |dose: f64| {
        json!({"from": {"basket_diameter_mm": 58, "rated_dose_g": 20},
            "to": {"basket_diameter_mm": 54, "rated_dose_g": 15},
            "recipe": {"dose_g": dose, "beverage_mass_g": 2.0 * dose}})
    };
    let limited = answer(PATH, &body(20.0)).await;
    assert_eq!(limited["dose_g"], 16.0);
    close(
        number(&limited, "same_depth_dose_g"),
        20.0 * 2916.0 / 3364.0,
        1e-12,
        "same depth",
    );
    assert_eq!(limited["beverage_mass_g"], 32.0);
    assert_eq!(limited["fits_basket"], true);
    assert_eq!(listed(&limited, "not_met"), ["dose_too_large"]);
    assert!(listed(&limited, "changed").contains(&"bed_depth"));
    assert_eq!(
        limited["shot_time_change"]["direction"], "shorter",
        "a shallower bed"
    );
    // a recipe that left its own basket's range keeps its bed depth and is told so
    let heaped = answer(PATH, &body(25.0)).await;
    close(
        number(&heaped, "dose_g"),
        25.0 * 2916.0 / 3364.0,
        1e-12,
        "same depth",
    );
    assert_eq!(heaped["fits_basket"], false);
    assert_eq!(listed(&heaped, "not_met"), ["dose_too_large"]);
    assert!(listed(&heaped, "kept").contains(&"bed_depth"));
}

#[tokio::test]
async fn a_machine_with_less_pressure_holds_the_profile_down() {
    let body = json!({"from": {"brew_pressure_bar": 9}, "to": {"brew_pressure_bar": 6},
        "recipe": {"dose_g": 18, "beverage_mass_g": 36,
            "pressure_profile": {"time_s": [0, 7, 8], "pressure_bar": [3, 3, 9]}}});
    let answer = answer(PATH, &body).await;
    let pressures = &answer["pressure_profile"]["pressure_bar"];
    assert_eq!(*pressures, json!([3.0, 3.0, 6.0]));
    assert_eq!(listed(&answer, "not_met"), ["pressure_out_of_reach"]);
    assert_eq!(
        listed(&answer, "changed"),
        ["pressure_profile", "shot_time"]
    );
    assert_eq!(answer["shot_time_change"]["direction"], "longer");
}

/// What the model does not take is told, and only the direction is answered.
#[tokio::test]
async fn a_shot_outside_the_model_gets_a_direction_and_the_reason() {
    let set_up = |grind| json!({"basket_diameter_mm": 58, "grind_diameter_um": grind, "brew_pressure_bar": 9});
    let body = json!({"from": set_up(300), "to": set_up(330),
        "recipe": {"dose_g": 18, "beverage_mass_g": 36, "brew_temperature_c": 50}});
    let answer = answer(PATH, &body).await;
    let change = &answer["shot_time_change"];
    assert_eq!(change["method"], "direction");
    assert_eq!(change["direction"], "shorter");
    assert_eq!(change["not_simulated"]["code"], "outside_the_model");
}

#[tokio::test]
async fn the_working_ends_at_what_is_answered() {
    let body: Value = serde_json::from_str(include_str!(
        "../../../demo-data/recipe-transfer/lab-rated-basket.json"
    ))
    .expect("JSON");
    let answer = answer(PATH, &body).await;
    let steps = answer["workings"].as_array().expect("workings");
    for name in [
        "same_depth_dose_g",
        "dose_g",
        "beverage_mass_g",
        "tamped_depth_mm",
        "shot_time_s",
    ] {
        let step = steps.iter().find(|step| step["step"] == name);
        assert_eq!(step.expect(name)["value"], answer[name], "{name}");
    }
    let sources = answer["sources"].as_array().expect("sources");
    assert!(steps.iter().all(|step| sources.contains(&step["source"])));
}

/// Requests that are refused, and the faults that say why.
const REFUSED: &[(&str, &[&str])] = &[
    (r#"{"from":{},"to":{}}"#, &["/recipe required"]),
    (
        r#"{"from":{},"to":{},"recipe":{}}"#,
        &["/recipe/dose_g required"],
    ),
    (
        r#"{"from":{},"to":{"altitude_m":5,"altitude_ft":16},"recipe":{"dose_g":18}}"#,
        &[
            "/to/altitude_m contradictory",
            "/to/altitude_ft contradictory",
        ],
    ),
    (
        r#"{"from":{},"to":{},"recipe":{"dose_g":18,"brew_temperature_c":93,"brew_temperature_f":200,"pressure_profile":{"time_s":[0,1],"pressure_bar":[9]}}}"#,
        &[
            "/recipe/brew_temperature_c contradictory",
            "/recipe/brew_temperature_f contradictory",
            "/recipe/pressure_profile/pressure_bar inconsistent",
        ],
    ),
    (
        r#"{"from":{},"to":{},"recipe":{"dose_g":18,"pressure_profile":{"time_s":[1,1],"pressure_bar":[9,9]}}}"#,
        &["/recipe/pressure_profile/time_s inconsistent"],
    ),
    (
        r#"{"from":{},"to":{"basket_diameter_mm":20},"recipe":{"dose_g":18,"beans":1}}"#,
        &[
            "/to/basket_diameter_mm out_of_range",
            "/recipe/beans unknown_field",
        ],
    ),
    // what another calculation refuses is told in the caller's own fields
    (
        r#"{"from":{},"to":{},"recipe":{"dose_g":5000,"beverage_mass_g":1}}"#,
        &["/recipe/beverage_mass_g out_of_range"],
    ),
    (
        r#"{"from":{"basket_diameter_mm":30},"to":{"basket_diameter_mm":80},"recipe":{"dose_g":5000}}"#,
        &["/recipe/dose_g out_of_range"],
    ),
];

#[tokio::test]
async fn what_cannot_be_carried_is_refused_at_its_field() {
    for (body, expected) in REFUSED {
        assert_eq!(refused(PATH, body).await, *expected, "{body}");
    }
}
