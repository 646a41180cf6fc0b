//! `recipes/menu` over HTTP: each recipe as `recipes` answers it, and what they take together.

use serde_json::{Value, json};

use super::recipes::PATH as ONE;
use super::{answer, close, number, refused};
use crate::support::post;

const PATH: &str = "/v1/recipes/menu";

fn demo() -> Value {
    let body = include_str!("../../../demo-data/recipes/menu/harbour-morning.json");
    serde_json::from_str(body).expect("JSON")
}

/// A recipe of a menu with what it shares.
fn alone(menu: &Value, recipe: &Value) -> Value {
    let mut whole = menu.clone();
    let fields = whole.as_object_mut().expect("an object");
    fields.remove("recipes");
    for (name, value) in recipe.as_object().expect("an object") {
        fields.insert(name.clone(), value.clone());
    }
    whole
}

#[tokio::test]
async fn each_recipe_is_answered_as_it_would_be_alone() {
    let menu = demo();
    let answered = answer(PATH, &menu).await;
    let recipes = menu["recipes"].as_array().expect("a list");
    assert_eq!(answered["answered"], recipes.len());
    assert_eq!(answered["refused"], 0);
    for (place, recipe) in recipes.iter().enumerate() {
        let expected = answer(ONE, &alone(&menu, recipe)).await;
        assert_eq!(answered["recipes"][place]["status"], 200);
        assert_eq!(answered["recipes"][place]["answer"], expected, "{recipe}");
    }
}

#[tokio::test]
async fn the_totals_are_the_sums() {
    let answered = answer(PATH, &demo()).await;
    let recipes = answered["recipes"].as_array().expect("a list");
    for name in [
        "servings",
        "baskets_pulled",
        "dose_g",
        "beans_g",
        "beverage_mass_g",
        "water_mass_g",
        "milk_g",
        "added_water_g",
    ] {
        let each = recipes.iter().map(|r| number(&r["answer"]["totals"], name));
        close(number(&answered["totals"], name), each.sum(), 1e-9, name);
    }
    let total = |totals: &Value| number(&totals["cost"], "total");
    let each = recipes.iter().map(|r| total(&r["answer"]["totals"]));
    close(total(&answered["totals"]), each.sum(), 1e-9, "cost");
    assert_eq!(answered["totals"]["cost"]["currency"], "EUR");
    assert_eq!(answered["not_met"], json!([]));
}

#[tokio::test]
async fn a_wrong_recipe_spoils_its_own_place_only() {
    let menu = json!({"recipes": [
        {"drink": "espresso"},
        {"drink": "tea", "dose_g": -1, "cups": 2},
        {},
        {"drink": "latte", "altitude_m": 1, "altitude_ft": 3},
        {"drink": "filter", "dose_g": 20.0},
        {"drink": "filter"},
    ]});
    // json! keeps the last of two fields, so the one that is given twice is written by hand
    let body = menu
        .to_string()
        .replace(r#""dose_g":20.0"#, r#""dose_g":20.0,"dose_g":21.0"#);
    let (status, answered) = post(PATH, &body).await;
    assert_eq!(status, 200, "{answered}");
    let recipes = answered["recipes"].as_array().expect("a list");
    let statuses: Vec<_> = recipes.iter().map(|one| one["status"].clone()).collect();
    assert_eq!(statuses, [200, 422, 422, 422, 422, 200]);
    let faults = |place: usize| -> Vec<String> {
        let errors = recipes[place]["problem"]["errors"].as_array();
        errors
            .expect("a list")
            .iter()
            .map(|e| format!("{} {}", e["pointer"], e["code"]).replace('"', ""))
            .collect()
    };
    let wrong = [
        "/drink not_allowed",
        "/dose_g out_of_range",
        "/cups unknown_field",
    ];
    assert_eq!(faults(1), wrong);
    assert_eq!(faults(2), ["/drink required"]);
    let twice = ["/altitude_m contradictory", "/altitude_ft contradictory"];
    assert_eq!(faults(3), twice);
    assert_eq!(faults(4), ["/dose_g duplicate_field"]);
    assert_eq!(answered["answered"], 2);
    assert_eq!(answered["refused"], 4);
    assert_eq!(answered["totals"]["servings"], 2);
}

#[tokio::test]
async fn a_recipe_that_names_its_own_place_or_null_keeps_it() {
    let menu = json!({
        "altitude_m": 2500.0,
        "roast": "dark",
        "recipes": [
            {"drink": "espresso"},
            {"drink": "espresso", "station_pressure_hpa": 1010.0},
            {"drink": "espresso", "roast": null},
        ],
    });
    let answered = answer(PATH, &menu).await;
    let get = |place: usize, name: &str| number(&answered["recipes"][place]["answer"], name);
    assert!(get(0, "boiling_point_c") < 92.0);
    assert!(get(1, "boiling_point_c") > 99.0);
    close(get(1, "brew_temperature_c"), 90.0, 1e-12, "dark");
    close(get(2, "brew_temperature_c"), 93.0, 1e-12, "no roast");
}

#[tokio::test]
async fn money_in_two_currencies_is_not_added_up() {
    let menu = json!({"bean_price_per_kg": 30.0, "recipes": [
        {"drink": "espresso", "currency": "EUR"},
        {"drink": "espresso", "currency": "CHF"},
    ]});
    let answered = answer(PATH, &menu).await;
    assert!(answered["totals"].get("cost").is_none());
    assert_eq!(answered["not_met"][0]["code"], "cost_incomplete");
}

#[tokio::test]
async fn a_menu_that_is_wrong_itself_is_refused() {
    let many = vec![json!({"drink": "espresso"}); 201];
    for (body, faults) in [
        (json!({}), vec!["/recipes required"]),
        (json!({"recipes": []}), vec!["/recipes too_few_items"]),
        (json!({"recipes": many}), vec!["/recipes too_many_items"]),
        (json!({"recipes": [5]}), vec!["/recipes/0 wrong_type"]),
        (
            json!({"recipes": [{"drink": "espresso"}], "altitude_m": 1e9, "dose_g": 18.0}),
            vec!["/altitude_m out_of_range", "/dose_g unknown_field"],
        ),
    ] {
        assert_eq!(refused(PATH, &body.to_string()).await, faults, "{body}");
    }
}

#[tokio::test]
async fn a_name_with_a_slash_works_in_a_batch_and_in_the_document() {
    let batch = json!({"calls": [{"calculation": "recipes/menu", "request": demo()}]});
    let answered = answer("/v1/batch", &batch).await;
    assert_eq!(answered["answers"][0]["status"], 200);
    assert_eq!(
        answered["answers"][0]["answer"],
        answer(PATH, &demo()).await
    );
    let document = crate::support::get("/openapi.json").await.1;
    let post = &document["paths"][PATH]["post"];
    assert_eq!(post["operationId"], "compute_recipes_menu");
}
