//! Seeded wrong answers get the right diagnosis. Each wrong value is worked out here by hand,
//! out of the data that the exercise tells.

use serde_json::{Value, json};

use super::{exercise, given, marked, own_steps};

pub(super) fn step(name: &str, value: f64) -> Value {
    json!({"step": name, "value": value})
}

/// The diagnosis of one step.
#[track_caller]
pub(super) fn diagnosis<'v>(marking: &'v Value, name: &str) -> &'v str {
    let steps = marking["steps"].as_array().expect("steps");
    let found = steps.iter().find(|step| step["step"] == name).expect(name);
    found["diagnosis"].as_str().unwrap_or("none")
}

/// Seeds whose espresso exercise has a dose and a beverage.
const SEEDS: [u64; 4] = [1, 2026, 31, 400];

#[tokio::test]
async fn swapped_masses_are_told_and_counted_once() {
    for seed in SEEDS {
        let exercise = exercise("extraction-yield", 1, seed).await;
        let [d, b, t] = ["dose_g", "beverage_mass_g", "tds_percent"].map(|f| given(&exercise, f));
        let answers = [
            step("dissolved_solids_g", t * d / 100.0),
            step("extraction_yield_percent", t * d / b),
        ];
        let marking = marked(&exercise, &answers).await;
        assert_eq!(
            diagnosis(&marking, "dissolved_solids_g"),
            "swapped_masses",
            "{marking}"
        );
        assert_eq!(
            diagnosis(&marking, "extraction_yield_percent"),
            "swapped_masses"
        );
        assert_eq!(marking["marks"], 1, "carried forward: {marking}");
    }
}

#[tokio::test]
async fn a_fraction_for_a_percentage_is_told() {
    for seed in SEEDS {
        let exercise = exercise("extraction-yield", 1, seed).await;
        let [d, b, t] = ["dose_g", "beverage_mass_g", "tds_percent"].map(|f| given(&exercise, f));
        let in_the_data = [step("dissolved_solids_g", t / 100.0 * b / 100.0)];
        let marking = marked(&exercise, &in_the_data).await;
        assert_eq!(
            diagnosis(&marking, "dissolved_solids_g"),
            "percent_for_fraction"
        );
        let in_the_answer = [step("extraction_yield_percent", t * b / d / 100.0)];
        let marking = marked(&exercise, &in_the_answer).await;
        assert_eq!(
            diagnosis(&marking, "extraction_yield_percent"),
            "percent_for_fraction"
        );
    }
}

#[tokio::test]
async fn percolation_for_immersion_is_told() {
    for seed in SEEDS {
        let exercise = exercise("extraction-yield", 2, seed).await;
        let [d, w, t] = ["dose_g", "water_mass_g", "tds_percent"].map(|f| given(&exercise, f));
        let answers = [
            step("dissolved_solids_g", t * w / 100.0),
            step("extraction_yield_percent", t * w / d),
        ];
        let marking = marked(&exercise, &answers).await;
        for name in ["dissolved_solids_g", "extraction_yield_percent"] {
            assert_eq!(
                diagnosis(&marking, name),
                "percolation_for_immersion",
                "{marking}"
            );
        }
    }
}

#[tokio::test]
async fn immersion_for_percolation_is_told() {
    let exercise = exercise("extraction-yield", 1, 1).await;
    let [b, t] = ["beverage_mass_g", "tds_percent"].map(|f| given(&exercise, f));
    let marking = marked(
        &exercise,
        &[step("dissolved_solids_g", b * t / (100.0 - t))],
    )
    .await;
    assert_eq!(
        diagnosis(&marking, "dissolved_solids_g"),
        "immersion_for_percolation"
    );
}

#[tokio::test]
async fn another_unit_is_told_whether_it_is_named_or_not() {
    let exercise = exercise("ratio", 1, 9).await;
    let steps = own_steps(&exercise).await;
    let water = steps["water_mass_g"];
    for (value, unit, expected, marks) in [
        (water / 1000.0, Some("kg"), "wrong_unit", 1),
        (water / 1000.0, None, "wrong_unit", 1),
        (water, Some("kg"), "wrong_unit", 1),
        (water, Some("grams"), "none", 2),
        (water, None, "none", 2),
        // 1 oz avoirdupois is 28.349523125 g
        (water / 28.349_523_125, Some("oz"), "wrong_unit", 1),
    ] {
        let mut answer = step("water_mass_g", value);
        if let Some(unit) = unit {
            answer["unit"] = json!(unit);
        }
        let marking = marked(&exercise, &[answer]).await;
        assert_eq!(
            diagnosis(&marking, "water_mass_g"),
            expected,
            "{value} {unit:?}"
        );
        assert_eq!(marking["marks"], marks, "{value} {unit:?}");
        assert_eq!(diagnosis(&marking, "beverage_mass_g"), "missing");
    }
    let boiling = super::exercise("water-temperature", 1, 3).await;
    let celsius = own_steps(&boiling).await["boiling_point_c"];
    let marking = marked(&boiling, &[step("boiling_point_c", 1.8 * celsius + 32.0)]).await;
    assert_eq!(diagnosis(&marking, "boiling_point_c"), "wrong_unit");
}

#[tokio::test]
async fn rounding_too_early_is_told() {
    for seed in SEEDS {
        let exercise = exercise("extraction-yield", 1, seed).await;
        let [d, b, t] = ["dose_g", "beverage_mass_g", "tds_percent"].map(|f| given(&exercise, f));
        // a brew ratio rounded to one decimal before it is used
        let early = t * ((b / d * 10.0).round() / 10.0);
        let right = t * b / d;
        let marking = marked(&exercise, &[step("extraction_yield_percent", early)]).await;
        let expected = if (early - right).abs() <= 0.05 {
            "none"
        } else {
            "rounded_too_early"
        };
        assert_eq!(
            diagnosis(&marking, "extraction_yield_percent"),
            expected,
            "{early} for {right}"
        );
    }
}

#[tokio::test]
async fn signs_points_and_ratios_are_told() {
    let exercise = exercise("extraction-yield", 1, 2).await;
    let steps = own_steps(&exercise).await;
    let (solids, ratio) = (
        steps["dissolved_solids_g"],
        steps.get("brew_ratio").copied(),
    );
    for (value, expected) in [
        (-solids, "wrong_sign"),
        (10.0 * solids, "decimal_point"),
        (solids * 1.37, "not_told"),
    ] {
        let marking = marked(&exercise, &[step("dissolved_solids_g", value)]).await;
        assert_eq!(diagnosis(&marking, "dissolved_solids_g"), expected);
        assert_eq!(marking["marks"], 0);
    }
    let weighed = super::exercise("ratio", 3, 1).await;
    let [d, b] = ["dose_g", "beverage_mass_g"].map(|f| given(&weighed, f));
    let marking = marked(&weighed, &[step("brew_ratio", d / b)]).await;
    assert_eq!(
        diagnosis(&marking, "brew_ratio"),
        "upside_down",
        "{ratio:?}"
    );
}

#[tokio::test]
async fn mistakes_with_heat_and_pressure_are_told() {
    let slurry = exercise("slurry-temperature", 2, 8).await;
    let [w, tw, d, tc] = [
        "water_mass_g",
        "water_temperature_c",
        "dose_g",
        "coffee_temperature_c",
    ]
    .map(|f| given(&slurry, f));
    // 4.2 and 1.6 kJ/(kg K), as the question says; the vessel left out
    let mixed = (4.2 * w * tw + 1.6 * d * tc) / (4.2 * w + 1.6 * d);
    let marking = marked(&slurry, &[step("slurry_temperature_c", mixed)]).await;
    assert_eq!(
        diagnosis(&marking, "slurry_temperature_c"),
        "vessel_forgotten",
        "{mixed}"
    );

    let boiler = exercise("steam-boiler", 1, 8).await;
    let gauge = given(&boiler, "pressure_bar");
    let marking = marked(&boiler, &[step("boiler_pressure_hpa", 1000.0 * gauge)]).await;
    assert_eq!(
        diagnosis(&marking, "boiler_pressure_hpa"),
        "gauge_for_absolute"
    );

    let place = exercise("water-temperature", 2, 8).await;
    let marking = marked(&place, &[step("air_pressure_hpa", 1013.25)]).await;
    assert_eq!(diagnosis(&marking, "air_pressure_hpa"), "sea_level_assumed");
}

#[tokio::test]
async fn mistakes_of_the_other_topics_are_told() {
    let basket = exercise("basket-capacity", 1, 4).await;
    let d = given(&basket, "diameter_mm");
    let marking = marked(
        &basket,
        &[step("bed_area_mm2", std::f64::consts::PI * d * d)],
    )
    .await;
    assert_eq!(diagnosis(&marking, "bed_area_mm2"), "diameter_for_radius");

    let dish = exercise("oven-drying", 1, 4).await;
    let [wet, dry] = ["wet_mass_g", "dry_mass_g"].map(|f| given(&dish, f));
    let marking = marked(&dish, &[step("solids_percent", 100.0 * dry / wet)]).await;
    assert_eq!(diagnosis(&marking, "solids_percent"), "tare_forgotten");

    let sugar = exercise("refractometry", 1, 4).await;
    let marking = marked(
        &sugar,
        &[step("tds_percent", given(&sugar, "brix_percent"))],
    )
    .await;
    assert_eq!(diagnosis(&marking, "tds_percent"), "no_coffee_factor");

    let supply = exercise("bean-supply", 2, 4).await;
    let daily = given(&supply, "daily_shots") * given(&supply, "dose_g");
    let marking = marked(&supply, &[step("daily_use_g", daily)]).await;
    assert_eq!(diagnosis(&marking, "daily_use_g"), "waste_forgotten");

    let water = exercise("brewing-water", 1, 4).await;
    // equivalents of CaCO3, Ca and Mg: 50.043, 20.039 and 12.1525 g/mol
    let wrong = given(&water, "magnesium_mg_per_l") * 50.043 / 20.039;
    let marking = marked(&water, &[step("calcium_hardness_mg_per_l_caco3", wrong)]).await;
    assert_eq!(
        diagnosis(&marking, "calcium_hardness_mg_per_l_caco3"),
        "swapped_ions"
    );

    let bag = exercise("unit-conversion", 1, 0).await;
    let value = given(&bag, "value");
    let wrong = if bag["request"]["to_unit"] == "g" {
        value / 28.349_523_125
    } else {
        1.8 * value + 32.0
    };
    let marking = marked(&bag, &[step("converted_value", wrong)]).await;
    assert_eq!(diagnosis(&marking, "converted_value"), "wrong_way_round");
}
