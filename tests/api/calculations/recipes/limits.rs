//! What a bar cannot do: listed with a reason, never passed over; and requests that are wrong.

use serde_json::{Value, json};

use super::super::{answer, close, codes, number, refused};
use super::PATH;

/// The codes of what could not be met.
fn missed(answer: &Value) -> Vec<&str> {
    let all = answer["not_met"].as_array().expect("a list");
    for one in all {
        let detail = one["detail"].as_str().expect("words");
        assert!(detail.len() > 20, "{one}");
    }
    let codes: Vec<_> = all
        .iter()
        .map(|one| one["code"].as_str().expect("a code"))
        .collect();
    if !codes.is_empty() {
        assert_eq!(answer["not_met_codes"], codes.join(";"));
    }
    codes
}

#[tokio::test]
async fn a_cup_that_is_too_small_is_listed_with_what_runs_over() {
    let request = json!({"drink": "latte", "cup_ml": 200.0});
    let recipe = answer(PATH, &request).await;
    assert_eq!(missed(&recipe), ["cup_too_small"]);
    assert_eq!(recipe["fits_cup"], false);
    let over = number(&recipe, "drink_volume_ml") - 200.0;
    close(number(&recipe, "cup_room_ml"), -over, 1e-9, "room");
    let exact = json!({"drink": "latte", "cup_ml": recipe["drink_volume_ml"]});
    let recipe = answer(PATH, &exact).await;
    assert_eq!(recipe["fits_cup"], true, "a cup that is full to its brim");
    assert!(missed(&recipe).is_empty());
}

/// By hand: 22 g × (54/58)² = 19.07 g is the most that a 54 mm basket holds.
#[tokio::test]
async fn too_much_for_the_basket_is_brought_to_what_it_holds_also_high_up() {
    let request = json!({"drink": "espresso", "dose_g": 22.0, "basket_diameter_mm": 54.0,
        "altitude_m": 3000.0});
    let recipe = answer(PATH, &request).await;
    assert_eq!(missed(&recipe), ["dose_outside_basket"]);
    close(
        number(&recipe, "dose_g"),
        22.0 * 54.0 * 54.0 / (58.0 * 58.0),
        1e-9,
        "dose",
    );
    close(number(&recipe, "brew_ratio"), 2.0, 1e-12, "ratio");
    assert_eq!(recipe["brew_temperature_c"], 93.0, "held under pressure");
    assert!(codes(&recipe).contains(&"superheated"));
    assert!(codes(&recipe).contains(&"diameter_alone"));
    let little = json!({"drink": "espresso", "dose_g": 9.0, "basket_rated_dose_g": 18.0});
    let recipe = answer(PATH, &little).await;
    assert_eq!(missed(&recipe), ["dose_outside_basket"]);
    assert_eq!(recipe["dose_g"], 17.0);
}

#[tokio::test]
async fn water_that_boils_too_early_is_listed_and_the_kettle_is_set_below() {
    let request = json!({"drink": "filter", "altitude_m": 3000.0, "brew_temperature_c": 94.0});
    let recipe = answer(PATH, &request).await;
    assert_eq!(missed(&recipe), ["temperature_not_reachable"]);
    let brewed = number(&recipe, "brew_temperature_c");
    close(
        brewed,
        number(&recipe, "boiling_point_c") - 0.5,
        1e-9,
        "kettle",
    );
    assert!(!codes(&recipe).contains(&"superheated"), "it does not boil");
    let open = json!({"drink": "espresso", "altitude_m": 3000.0, "preinfusion_pressure_bar": 0.0});
    let recipe = answer(PATH, &open).await;
    assert_eq!(missed(&recipe), ["temperature_not_reachable"]);
    assert_eq!(recipe["brew_temperature_c"], recipe["boiling_point_c"]);
}

#[tokio::test]
async fn milk_hotter_than_its_steam_is_listed_and_no_steam_is_answered() {
    let request = json!({"drink": "cappuccino", "altitude_m": 3000.0, "steam_pressure_bar": 0.1,
        "milk_final_temperature_c": 95.0, "cup_ml": 200.0, "milk_price_per_l": 1.2,
        "bean_price_per_kg": 30.0});
    let recipe = answer(PATH, &request).await;
    let expected = [
        "milk_hotter_than_steam",
        "cup_not_checked",
        "cost_incomplete",
    ];
    assert_eq!(missed(&recipe), expected);
    for name in [
        "steam_condensed_g",
        "foam_ml",
        "drink_volume_ml",
        "fits_cup",
    ] {
        assert!(recipe.get(name).is_none(), "{name}");
    }
    assert!(recipe["milk_g"].is_f64());
    assert_eq!(recipe["allergens"], json!(["milk"]));
    assert!(recipe["cost"].get("total").is_none());
    let boiling = json!({"drink": "latte", "altitude_m": 3000.0, "milk_final_temperature_c": 92.0});
    let recipe = answer(PATH, &boiling).await;
    assert_eq!(missed(&recipe), ["milk_temperature_not_reachable"]);
    let cold = json!({"drink": "latte", "steam_temperature_c": 80.0});
    assert_eq!(missed(&answer(PATH, &cold).await), ["milk_not_steamed"]);
    let cooler = r#"{"drink":"latte","milk_start_temperature_c":60,"milk_final_temperature_c":50}"#;
    let faults = [
        "/milk_start_temperature_c inconsistent",
        "/milk_final_temperature_c inconsistent",
    ];
    assert_eq!(refused(PATH, cooler).await, faults);
}

#[tokio::test]
async fn half_a_basket_for_odd_servings_leaves_half_a_basket() {
    let request = json!({"drink": "espresso", "servings": 3, "shot_share": "half"});
    let recipe = answer(PATH, &request).await;
    assert_eq!(missed(&recipe), ["half_basket_left"]);
    assert_eq!(recipe["baskets_pulled"], 2);
    assert_eq!(recipe["totals"]["dose_g"], 36.0);
}

#[tokio::test]
async fn beans_outside_their_window_are_listed_and_a_roast_to_come_is_refused() {
    for (roast, expected) in [
        ("2026-03-10", vec!["beans_outside_window"]),
        ("2026-03-01", vec![]),
        ("2026-01-02", vec!["beans_outside_window"]),
    ] {
        let request = json!({"drink": "espresso", "roast_date": roast, "brew_date": "2026-03-12"});
        let recipe = answer(PATH, &request).await;
        assert_eq!(missed(&recipe), expected, "{roast}");
        assert_eq!(recipe["beans_in_window"], expected.is_empty(), "{roast}");
    }
    let body = r#"{"drink":"espresso","roast_date":"2026-03-20","brew_date":"2026-03-12"}"#;
    let faults = ["/roast_date inconsistent", "/brew_date inconsistent"];
    assert_eq!(refused(PATH, body).await, faults);
    let body = r#"{"drink":"espresso","roast_date":"2026-03-20"}"#;
    assert_eq!(refused(PATH, body).await, ["/brew_date required"]);
}

#[tokio::test]
async fn a_strength_that_no_brew_has_is_listed() {
    // 18 % of the dose in half of its mass are 36 % of it, and no beverage is that strong
    let request = json!({"drink": "ristretto", "brew_ratio": 0.5});
    let recipe = answer(PATH, &request).await;
    assert_eq!(missed(&recipe), ["strength_out_of_reach"]);
    assert!(recipe.get("tds_window_percent").is_none());
}

#[tokio::test]
async fn a_missing_price_leaves_no_total() {
    let request = json!({"drink": "latte", "bean_price_per_kg": 30.0});
    let recipe = answer(PATH, &request).await;
    assert_eq!(missed(&recipe), ["cost_incomplete"]);
    assert!(recipe["cost"]["beans"].is_f64());
    assert!(recipe["cost"].get("total").is_none());
    let black = json!({"drink": "lungo", "bean_price_per_kg": 30.0});
    // 18 g at 30 a kilogram
    close(
        number(&answer(PATH, &black).await["cost"], "total"),
        0.54,
        1e-12,
        "total",
    );
}

#[tokio::test]
async fn fields_without_a_use_are_named() {
    let request = json!({"drink": "filter", "basket_diameter_mm": 58.0, "shot_share": "half",
        "milk_id": "whole", "dose_g": 20.0});
    let recipe = answer(PATH, &request).await;
    let unused = json!(["shot_share", "basket_diameter_mm", "milk_id"]);
    assert_eq!(recipe["not_used"], unused);
    assert!(missed(&recipe).is_empty());
}

#[tokio::test]
async fn proportions_of_the_caller_come_before_those_of_the_trade() {
    let request = json!({"drink": "espresso", "milk_to_beverage_ratio": 2.0, "air_ratio": 0.2,
        "water_to_beverage_ratio": 0.5});
    let recipe = answer(PATH, &request).await;
    close(number(&recipe, "milk_g"), 72.0, 1e-9, "milk");
    close(number(&recipe, "added_water_g"), 18.0, 1e-9, "water");
    assert_eq!(recipe["allergens"], json!(["milk"]));
    let black = json!({"drink": "latte", "milk_to_beverage_ratio": 0.0});
    let recipe = answer(PATH, &black).await;
    assert!(recipe.get("milk_g").is_none());
    assert_eq!(recipe["allergens"], json!([]));
}

#[tokio::test]
async fn cautions_come_first_where_somebody_can_get_hurt() {
    let recipe = answer(PATH, &json!({"drink": "flat_white"})).await;
    let found = codes(&recipe);
    for code in [
        "hot_water",
        "served_hot",
        "burn",
        "scald",
        "pressure_vessel",
        "allergens",
        "recipe_allergens",
        "cold_holding",
        "local_food_code",
        "sea_level_assumed",
    ] {
        assert!(found.contains(&code), "{code} in {found:?}");
    }
    let mut once = found.clone();
    once.dedup();
    assert_eq!(once, found);
}

#[tokio::test]
async fn wrong_requests_are_refused_at_their_own_fields() {
    for (body, faults) in [
        ("{}", vec!["/drink required"]),
        (r#"{"drink":"mocktail"}"#, vec!["/drink not_allowed"]),
        (
            r#"{"drink":"espresso","servings":0}"#,
            vec!["/servings out_of_range"],
        ),
        (
            r#"{"drink":"espresso","servings":1.5}"#,
            vec!["/servings wrong_type"],
        ),
        (
            r#"{"drink":"espresso","altitude_m":5,"altitude_ft":16}"#,
            vec!["/altitude_m contradictory", "/altitude_ft contradictory"],
        ),
        (
            r#"{"drink":"espresso","bean_price_per_kg":30,"currency":"eur"}"#,
            vec!["/currency not_allowed"],
        ),
        (
            r#"{"drink":"espresso","currency":"EURO"}"#,
            vec!["/currency not_allowed"],
        ),
        (
            r#"{"drink":"espresso","basket_diameter_mm":58,"basket_depth_mm":5}"#,
            vec!["/basket_depth_mm inconsistent"],
        ),
        (
            r#"{"drink":"espresso","dose_g":5000,"brew_ratio":50}"#,
            vec!["/dose_g out_of_range"],
        ),
        (
            r#"{"drink":"filter","water_ratio":1.6}"#,
            vec!["/water_ratio out_of_range", "/dose_g out_of_range"],
        ),
    ] {
        assert_eq!(refused(PATH, body).await, faults, "{body}");
    }
}
