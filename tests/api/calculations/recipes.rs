//! `recipes` over HTTP: every number is the one that the calculation it comes from answers.

mod limits;

use serde_json::{Map, Value, json};

use super::{answer, close, codes, number};
use crate::support::http::{send, send_json};

pub(super) const PATH: &str = "/v1/recipes";

/// Requests of `demo-data/recipes/`, and some that change what the demo leaves as it is.
fn requests() -> Vec<Value> {
    let demo = [
        include_str!("../../../demo-data/recipes/harbour-flat-white.json"),
        include_str!("../../../demo-data/recipes/station-cappuccino.json"),
        include_str!("../../../demo-data/recipes/station-pour-over.json"),
        include_str!("../../../demo-data/recipes/station-cannot.json"),
    ];
    let mut requests: Vec<Value> = demo
        .iter()
        .map(|body| serde_json::from_str(body).expect("JSON"))
        .collect();
    requests.extend([
        json!({"drink": "espresso"}),
        json!({"drink": "ristretto", "basket_rated_dose_g": 20.0, "altitude_ft": 5200.0}),
        json!({"drink": "lungo", "basket_diameter_mm": 58.0, "basket_depth_mm": 26.0}),
        json!({"drink": "americano", "dose_g": 17.5, "brew_temperature_f": 199.0, "cup_ml": 200.0}),
        json!({"drink": "immersion", "dose_g": 30.0, "water_ratio": 15.0, "roast": "dark"}),
        json!({"drink": "macchiato", "shot_share": "half", "servings": 4,
            "milk_to_beverage_ratio": 0.5, "air_ratio": 0.9, "steam_temperature_f": 255.0}),
        json!({"drink": "latte", "milk_start_temperature_f": 39.0, "milk_final_temperature_f": 140.0,
            "milk_id": "skim", "brew_ratio": 2.5, "roast_date": "2026-03-01",
            "brew_date": "2026-04-12", "window_start_days": 7, "frozen_days": 20}),
    ]);
    requests
}

/// The fields of a request that another calculation takes too, by both names.
fn carried(request: &Value, names: &[(&str, &str)]) -> Map<String, Value> {
    let found = names.iter().filter_map(|(here, there)| {
        let value = request.get(*here)?;
        Some(((*there).to_owned(), value.clone()))
    });
    found.collect()
}

fn same(name: &str) -> (&str, &str) {
    (name, name)
}

/// Where the request says it is, at sea level when it does not.
fn place(request: &Value) -> Map<String, Value> {
    let names = ["altitude_m", "altitude_ft", "station_pressure_hpa"].map(same);
    let mut place = carried(request, &names);
    if place.is_empty() {
        place.insert("altitude_m".to_owned(), json!(0.0));
    }
    place
}

fn is_espresso(answer: &Value) -> bool {
    answer["brew_kind"] == "espresso"
}

#[tokio::test]
async fn masses_are_those_of_ratio() {
    for request in requests() {
        let recipe = answer(PATH, &request).await;
        let mut asked = json!({"brew_kind": recipe["brew_kind"], "dose_g": recipe["dose_g"]});
        let ratio = if is_espresso(&recipe) {
            "brew_ratio"
        } else {
            "water_ratio"
        };
        asked[ratio] = recipe[ratio].clone();
        let found = answer("/v1/ratio", &asked).await;
        for name in [
            "beverage_mass_g",
            "brew_ratio",
            "brew_ratio_text",
            "water_mass_g",
            "water_ratio",
        ] {
            assert_eq!(recipe[name], found[name], "{request}: {name}");
        }
    }
}

#[tokio::test]
async fn the_dose_is_one_that_basket_capacity_holds() {
    for request in requests() {
        let recipe = answer(PATH, &request).await;
        let names = [
            ("basket_diameter_mm", "diameter_mm"),
            ("basket_rated_dose_g", "rated_dose_g"),
            ("basket_depth_mm", "depth_mm"),
        ];
        let mut asked = carried(&request, &names);
        if !is_espresso(&recipe) || asked.is_empty() {
            assert!(recipe.get("dose_min_g").is_none(), "{request}");
            continue;
        }
        let has_diameter = asked.contains_key("diameter_mm");
        asked.entry("diameter_mm").or_insert(json!(58.0));
        asked.insert("dose_g".to_owned(), recipe["dose_g"].clone());
        let found = answer("/v1/basket-capacity", &Value::from(asked)).await;
        assert_eq!(recipe["dose_min_g"], found["dose_min_g"], "{request}");
        assert_eq!(recipe["dose_max_g"], found["dose_max_g"], "{request}");
        assert_eq!(found["fits"], true, "{request}");
        let depth = has_diameter.then_some(&found["tamped_depth_mm"]);
        assert_eq!(recipe.get("tamped_depth_mm"), depth, "{request}");
    }
}

#[tokio::test]
async fn the_strengths_are_those_at_which_extraction_yield_finds_18_and_22_percent() {
    for request in requests() {
        let recipe = answer(PATH, &request).await;
        for (end, expected) in [("low", 18.0), ("high", 22.0)] {
            let mut asked = json!({
                "brew_kind": recipe["brew_kind"],
                "dose_g": recipe["dose_g"],
                "tds_percent": recipe["tds_window_percent"][end],
            });
            if recipe["brew_kind"] == "immersion" {
                asked["water_mass_g"] = recipe["water_mass_g"].clone();
            } else {
                asked["beverage_mass_g"] = recipe["beverage_mass_g"].clone();
            }
            let found = answer("/v1/extraction-yield", &asked).await;
            let percent = number(&found, "extraction_yield_percent");
            close(percent, expected, 1e-9, &request.to_string());
        }
    }
}

#[tokio::test]
async fn the_water_is_that_of_water_temperature() {
    for request in requests() {
        let recipe = answer(PATH, &request).await;
        let mut asked = Value::from(place(&request));
        asked["target_temperature_c"] = recipe["brew_temperature_c"].clone();
        if is_espresso(&recipe) {
            asked["brew_pressure_bar"] = json!(3.0);
        }
        let found = answer("/v1/water-temperature", &asked).await;
        assert_eq!(recipe["boiling_point_c"], found["boiling_point_c"]);
        assert_eq!(recipe["boiling_point_f"], found["boiling_point_f"]);
        let (brewed, boiling) = (
            number(&recipe, "brew_temperature_f"),
            number(&found, "target_temperature_f"),
        );
        close(brewed, boiling, 1e-12, &request.to_string());
        let is_reached = if is_espresso(&recipe) {
            found["target_reachable_under_pressure"] == true
        } else {
            found["recommended_open_kettle_temperature_c"] == recipe["brew_temperature_c"]
        };
        assert!(is_reached, "{request}: {found}");
    }
}

/// What `milk-steaming` answers to the milk of a recipe; none without milk.
async fn steamed(request: &Value, recipe: &Value) -> Option<Value> {
    let mut asked = place(request);
    asked.insert("milk_mass_g".to_owned(), recipe.get("milk_g")?.clone());
    asked.extend(carried(
        request,
        &[
            ("milk_start_temperature_c", "start_temperature_c"),
            ("milk_start_temperature_f", "start_temperature_f"),
            ("milk_final_temperature_c", "final_temperature_c"),
            ("milk_final_temperature_f", "final_temperature_f"),
            ("steam_pressure_bar", "pressure_bar"),
            ("steam_temperature_f", "temperature_f"),
            same("milk_id"),
            same("steam_quality"),
            same("loss_fraction"),
            same("air_ratio"),
        ],
    ));
    let drinks = answer_of_page("/v1/reference/drinks").await;
    let usual = drinks["drinks"].as_array().expect("a list").iter();
    let usual = usual
        .clone()
        .find(|entry| entry["drink"] == recipe["drink"]);
    let air = usual.expect("a drink")["air_ratio"].clone();
    asked.entry("air_ratio").or_insert(air);
    asked.entry("milk_id").or_insert(json!("whole"));
    let mut either = |names: [&str; 3], usual: f64| {
        if !names.iter().any(|name| asked.contains_key(*name)) {
            asked.insert(names[0].to_owned(), json!(usual));
        }
    };
    either(["start_temperature_c", "start_temperature_f", ""], 4.0);
    either(["final_temperature_c", "final_temperature_f", ""], 60.0);
    either(["temperature_c", "temperature_f", "pressure_bar"], 130.0);
    Some(answer("/v1/milk-steaming", &Value::from(asked)).await)
}

async fn answer_of_page(path: &str) -> Value {
    send(("GET", path), &[], "").await.json()
}

#[tokio::test]
async fn the_milk_is_that_of_milk_steaming_and_stands_in_the_cup() {
    let mut with_milk = 0;
    for request in requests() {
        let recipe = answer(PATH, &request).await;
        let found = steamed(&request, &recipe).await;
        let mut volume = number(&recipe, "serving_beverage_g");
        volume += recipe["added_water_g"].as_f64().unwrap_or(0.0);
        if let Some(found) = &found {
            with_milk += 1;
            for (here, there) in [
                same("steam_condensed_g"),
                ("foam_ml", "foam_volume_ml"),
                ("milk_ml", "milk_volume_ml"),
                ("milk_final_temperature_c", "final_temperature_c"),
                ("milk_final_temperature_f", "final_temperature_f"),
            ] {
                assert_eq!(recipe[here], found[there], "{request}: {here}");
            }
            volume += number(found, "foam_volume_ml");
        }
        let has_milk = found.is_some();
        let allergens = if has_milk { json!(["milk"]) } else { json!([]) };
        assert_eq!(recipe["allergens"], allergens, "{request}");
        assert_eq!(codes(&recipe).contains(&"burn"), has_milk, "{request}");
        close(number(&recipe, "drink_volume_ml"), volume, 1e-9, "volume");
        if let Some(cup) = request["cup_ml"].as_f64() {
            assert_eq!(recipe["fits_cup"], volume <= cup, "{request}");
            close(number(&recipe, "cup_room_ml"), cup - volume, 1e-9, "room");
        }
    }
    assert!(with_milk > 3, "only {with_milk} drinks with milk were seen");
}

#[tokio::test]
async fn the_beans_are_those_of_bean_supply() {
    for request in requests() {
        let recipe = answer(PATH, &request).await;
        let names = [
            same("roast_date"),
            same("brew_date"),
            same("window_start_days"),
            same("window_end_days"),
            same("frozen_days"),
            same("waste_percent"),
        ];
        let mut asked = Value::from(carried(&request, &names));
        let has_dates = asked.get("roast_date").is_some();
        for name in ["roast_date", "brew_date"] {
            if !has_dates {
                asked[name] = json!("2026-03-01");
            }
        }
        asked["daily_dose_g"] = recipe["totals"]["dose_g"].clone();
        let found = answer("/v1/bean-supply", &asked).await;
        let beans = number(&recipe["totals"], "beans_g");
        close(beans, number(&found, "daily_use_g"), 1e-9, "beans");
        let dated = |name: &str| has_dates.then(|| found[name].clone());
        assert_eq!(recipe.get("bean_age_days"), dated("age_days").as_ref());
        assert_eq!(recipe.get("beans_in_window"), dated("in_window").as_ref());
    }
}

/// The flat white of the bar by the sea, by hand: two baskets of 18 g with 6 % waste at 28.50 a
/// kilogram, and twice 108 g of whole milk at 1.25 a litre (density as `milk-steaming` has it).
#[tokio::test]
async fn money_is_reckoned_from_the_prices_and_only_from_them() {
    let request = &requests()[0];
    let recipe = answer(PATH, request).await;
    let beans = 2.0 * 18.0 / 0.94 * 28.5 / 1000.0;
    let milk = 2.0 * number(&recipe, "milk_ml") * 1.25 / 1000.0;
    let of_all = &recipe["totals"]["cost"];
    close(number(of_all, "beans"), beans, 1e-12, "beans");
    close(number(of_all, "milk"), milk, 1e-12, "milk");
    close(number(of_all, "total"), beans + milk, 1e-12, "total");
    let of_one = &recipe["cost"];
    close(number(of_one, "total"), (beans + milk) / 2.0, 1e-12, "one");
    // 1.0915 / 2 + 0.1307 = 0.6764 to the cent
    assert_eq!(of_one["total_text"], "0.68");
    assert_eq!(of_one["currency"], "EUR");
    assert_eq!(of_one["minor_units"], 2);
    let plain = answer(PATH, &json!({"drink": "latte", "currency": "EUR"})).await;
    assert!(plain.get("cost").is_none(), "{plain}");
    let yen = json!({"drink": "espresso", "bean_price_per_kg": 5200.0, "currency": "JPY"});
    // 18 g at 5200 a kilogram are 93.6, and the yen has no smaller unit
    assert_eq!(answer(PATH, &yen).await["cost"]["total_text"], "94");
}

#[tokio::test]
async fn half_a_basket_each_is_half_of_everything_from_the_basket() {
    let whole = answer(PATH, &json!({"drink": "cortado", "servings": 4})).await;
    let half = json!({"drink": "cortado", "servings": 4, "shot_share": "half"});
    let half = answer(PATH, &half).await;
    assert_eq!(whole["baskets_pulled"], 4);
    assert_eq!(half["baskets_pulled"], 2);
    assert_eq!(half["dose_g"], whole["dose_g"]);
    for name in ["serving_beverage_g", "milk_g"] {
        close(2.0 * number(&half, name), number(&whole, name), 1e-9, name);
    }
    for name in ["dose_g", "beans_g", "beverage_mass_g", "milk_g"] {
        let (half, whole) = (
            number(&half["totals"], name),
            number(&whole["totals"], name),
        );
        close(2.0 * half, whole, 1e-9, name);
    }
    assert_eq!(half["not_met"], json!([]));
}

/// Common practice: 3 bar for 7 s, then 9.
#[tokio::test]
async fn the_pressure_rises_after_the_pre_infusion() {
    let usual = answer(PATH, &json!({"drink": "espresso"})).await;
    let expected = json!({"time_s": [0.0, 7.0, 8.0], "pressure_bar": [3.0, 3.0, 9.0]});
    assert_eq!(usual["pressure_profile"], expected);
    assert_eq!(usual["shot_time_window_s"]["includes_preinfusion"], true);
    let flat = json!({"drink": "espresso", "preinfusion_time_s": 0.0, "brew_pressure_bar": 8.0});
    let expected = json!({"time_s": [0.0], "pressure_bar": [8.0]});
    assert_eq!(answer(PATH, &flat).await["pressure_profile"], expected);
    let filter = answer(PATH, &json!({"drink": "filter"})).await;
    assert!(filter.get("pressure_profile").is_none());
    assert!(filter.get("baskets_pulled").is_none());
}

#[tokio::test]
async fn a_profile_of_a_recipe_can_be_simulated() {
    let recipe = answer(PATH, &requests()[0]).await;
    let shot = json!({
        "dose_g": recipe["dose_g"],
        "basket_diameter_mm": 58.0,
        "grind_diameter_um": 340.0,
        "water_temperature_c": recipe["brew_temperature_c"],
        "pressure_profile": recipe["pressure_profile"],
        "target_beverage_mass_g": recipe["beverage_mass_g"],
        "sample_time_s": [],
    });
    assert_eq!(
        answer("/v1/shot-simulation", &shot).await["target_reached"],
        true
    );
}

#[tokio::test]
async fn a_query_gets_what_a_body_gets_and_both_may_be_kept() {
    for request in requests() {
        let fields = request.as_object().expect("an object").iter();
        let pairs: Vec<_> = fields
            .map(|(name, value)| {
                let text = value
                    .as_str()
                    .map_or_else(|| value.to_string(), str::to_owned);
                format!("{name}={text}")
            })
            .collect();
        let path = format!("{PATH}?{}", pairs.join("&"));
        let asked = send(("GET", &path), &[], "").await;
        let posted = send_json(("POST", PATH), &[], &request.to_string()).await;
        assert_eq!(asked.status, 200, "{path}: {}", asked.text());
        assert_eq!(asked.body, posted.body, "{path}");
        assert!(
            asked
                .header("cache-control")
                .starts_with("public, max-age=")
        );
        let tag = asked.header("etag").to_owned();
        let again = send(("GET", &path), &[("if-none-match", &tag)], "").await;
        assert_eq!((again.status, again.body.len()), (304, 0), "{path}");
    }
}

#[tokio::test]
async fn the_workings_name_what_they_find_and_sources_of_the_answer() {
    for mut request in requests() {
        request["workings"] = json!(true);
        let recipe = answer(PATH, &request).await;
        let steps = recipe["workings"].as_array().expect("workings");
        let sources = recipe["sources"].as_array().expect("sources");
        for step in steps {
            assert!(sources.contains(&step["source"]), "{request}: {step}");
            let name = step["step"].as_str().expect("a name");
            if let Some(answered) = recipe.pointer(&format!("/{}", name.replace('.', "/"))) {
                assert_eq!(step["value"], *answered, "{request}: {name}");
            }
        }
        for name in ["serving_beverage_g", "drink_volume_ml", "totals.beans_g"] {
            assert!(steps.iter().any(|step| step["step"] == name), "{name}");
        }
        let is_inner = |step: &Value| step["step"] == "ratio.beverage_mass_g";
        assert!(steps.iter().any(|step| is_inner(step)) || !is_espresso(&recipe));
    }
}

#[tokio::test]
async fn every_drink_of_the_list_can_be_made_as_the_list_says() {
    let list = answer_of_page("/v1/reference/drinks").await;
    let drinks = list["drinks"].as_array().expect("a list");
    assert!(drinks.len() > 8);
    for drink in drinks {
        let recipe = answer(PATH, &json!({"drink": drink["drink"]})).await;
        assert_eq!(recipe["not_met"], json!([]), "{drink}");
        assert_eq!(drink["known"], "common practice");
        for name in ["brew_ratio", "water_ratio"] {
            if let Some(ratio) = drink.get(name) {
                assert_eq!(recipe[name], *ratio, "{drink}: {name}");
            }
        }
        let milk = drink["milk_to_beverage_ratio"].as_f64().unwrap_or(0.0);
        let expected = milk * number(&recipe, "serving_beverage_g");
        close(
            recipe["milk_g"].as_f64().unwrap_or(0.0),
            expected,
            1e-9,
            "milk",
        );
    }
}

/// [scaa2015], [lockhart1957]: 1.15 to 1.35 %, 18 to 22 %.
#[tokio::test]
async fn the_charts_of_the_list_hold_what_was_published() {
    let list = answer_of_page("/v1/reference/control-charts").await;
    let charts = list["control_charts"].as_array().expect("a list");
    for name in ["scaa2015", "lockhart1957"] {
        let chart = charts.iter().find(|chart| chart["control_chart"] == name);
        let chart = chart.expect("a chart");
        assert_eq!(chart["tds_low_percent"], 1.15);
        assert_eq!(chart["tds_high_percent"], 1.35);
        assert_eq!(chart["extraction_yield_low_percent"], 18.0);
        assert_eq!(chart["extraction_yield_high_percent"], 22.0);
    }
    for (kind, brew) in [
        (
            "espresso",
            json!({"brew_kind": "espresso", "beverage_mass_g": 36}),
        ),
        (
            "filter",
            json!({"brew_kind": "filter", "beverage_mass_g": 260}),
        ),
        (
            "immersion",
            json!({"brew_kind": "immersion", "water_mass_g": 290}),
        ),
    ] {
        let mut body = brew;
        body["dose_g"] = json!(18.0);
        body["tds_percent"] = json!(1.3);
        let judged = answer("/v1/extraction-yield", &body).await;
        let is_default = |chart: &&Value| {
            let kinds = chart["default_for"].as_array().expect("a list");
            kinds.contains(&json!(kind))
        };
        let usual: Vec<_> = charts.iter().filter(is_default).collect();
        assert_eq!(usual.len(), 1, "{kind}");
        assert_eq!(usual[0]["control_chart"], judged["assessment"]["chart"]);
    }
}
