//! Mistakes with mixtures, salts, scatter and cost, each worked out here by hand.

use super::mistakes::{diagnosis, step};
use super::{exercise, given, marked, own_steps};

/// The diagnosis of one answer alone.
async fn told(exercise: &serde_json::Value, name: &str, value: f64) -> String {
    let marking = marked(exercise, &[step(name, value)]).await;
    diagnosis(&marking, name).to_owned()
}

/// Numbers of a datum that lists several.
fn listed(exercise: &serde_json::Value, field: &str) -> Vec<f64> {
    let data = exercise["data"].as_array().expect("data");
    let datum = data
        .iter()
        .find(|datum| datum["field"] == field)
        .expect(field);
    let texts = datum["text"].as_str().expect("a text").split(", ");
    texts.map(|text| text.parse().expect("a number")).collect()
}

#[tokio::test]
async fn a_plain_mean_of_slices_is_told() {
    for seed in [2, 5, 9] {
        let slices = exercise("fractions", 2, seed).await;
        let strengths = [0, 1, 2].map(|i| given(&slices, &format!("slices.{i}.tds_percent")));
        let plain = strengths.iter().sum::<f64>() / 3.0;
        assert_eq!(told(&slices, "tds_percent", plain).await, "plain_mean");
    }
}

/// Molar masses of magnesium sulfate, without water and as heptahydrate, 120.361 and 246.466 g/mol, and of magnesium, 24.305.
#[tokio::test]
async fn a_salt_without_its_water_and_a_water_without_its_ions_are_told() {
    let salt = exercise("water-dosing", 1, 3).await;
    let (volume, wanted) = (
        given(&salt, "volume_l"),
        given(&salt, "target.magnesium_mg_per_l"),
    );
    let right = wanted / 24.305 * 246.466 * volume / 1000.0;
    let anhydrous = wanted / 24.305 * 120.361 * volume / 1000.0;
    assert_eq!(told(&salt, "mass_g", right).await, "none");
    assert_eq!(told(&salt, "mass_g", anhydrous).await, "hydrate_forgotten");

    let started = exercise("water-dosing", 2, 3).await;
    let all = given(&started, "target.magnesium_mg_per_l") / 24.305 * 2.0;
    let name = "lacking_meq_per_l_of_magnesium_mg_per_l";
    assert_eq!(told(&started, name, all).await, "start_forgotten");
}

#[tokio::test]
async fn wrong_divisors_of_squares_are_told() {
    let shots = exercise("consistency", 1, 3).await;
    let doses = listed(&shots, "shots.dose_g");
    let mean = doses.iter().sum::<f64>() / 6.0;
    let squares: f64 = doses.iter().map(|dose| (dose - mean).powi(2)).sum();
    let name = "quantities.dose_g.spread";
    assert_eq!(told(&shots, name, (squares / 5.0).sqrt()).await, "none");
    let wrong = told(&shots, name, (squares / 6.0).sqrt()).await;
    assert_eq!(wrong, "population_divisor");

    let brews = exercise("brew-comparison", 2, 3).await;
    let variance = |field| {
        let readings = listed(&brews, field);
        let mean = readings.iter().sum::<f64>() / 5.0;
        readings.iter().map(|r| (r - mean).powi(2)).sum::<f64>() / 4.0
    };
    let both = variance("first.readings") + variance("second.readings");
    let name = "standard_uncertainty";
    assert_eq!(told(&brews, name, (both / 5.0).sqrt()).await, "none");
    assert_eq!(told(&brews, name, both.sqrt()).await, "single_for_mean");
}

#[tokio::test]
async fn air_left_on_a_gauge_is_told() {
    let table = exercise("unit-conversion", 3, 3).await;
    // 1 psi is 6894.757 Pa
    let absolute = given(&table, "value") * 0.068_947_57;
    let air = given(&table, "air_pressure_hpa") / 1000.0;
    assert_eq!(
        told(&table, "converted_value", absolute - air).await,
        "none"
    );
    let wrong = told(&table, "converted_value", absolute).await;
    assert_eq!(wrong, "absolute_for_gauge");
}

#[tokio::test]
async fn a_share_in_percent_is_told_with_and_without_its_unit() {
    let blend = exercise("water-blend", 2, 3).await;
    let [tap, soft, wanted] = [
        "first_water.alkalinity",
        "second_water.alkalinity",
        "target.alkalinity",
    ]
    .map(|field| given(&blend, field));
    let share = (wanted - soft) / (tap - soft);
    assert_eq!(told(&blend, "first_fraction", share).await, "none");
    let percent = told(&blend, "first_fraction", 100.0 * share).await;
    assert_eq!(percent, "percent_for_fraction");
    let mut answer = step("first_fraction", 100.0 * share);
    answer["unit"] = "%".into();
    let marking = marked(&blend, &[answer]).await;
    assert_eq!(diagnosis(&marking, "first_fraction"), "wrong_unit");
    assert_eq!(marking["marks"], 1);
}

#[tokio::test]
async fn waste_heat_loss_and_the_jug_are_told() {
    let menu = exercise("recipes", 3, 3).await;
    let beans = given(&menu, "servings") * given(&menu, "dose_g");
    assert_eq!(
        told(&menu, "totals.beans_g", beans).await,
        "waste_forgotten"
    );

    let jug = exercise("milk-steaming", 3, 3).await;
    let [m, c, cold, warm, mj, cj, tj, loss] = [
        "milk_mass_g",
        "milk_specific_heat_kj_per_kg_k",
        "start_temperature_c",
        "final_temperature_c",
        "jug_mass_g",
        "jug_specific_heat_kj_per_kg_k",
        "jug_temperature_c",
        "loss_fraction",
    ]
    .map(|field| given(&jug, field));
    let (milk, steel) = (
        m * c * (warm - cold) / 1000.0,
        mj * cj * (warm - tj) / 1000.0,
    );
    let right = (1.0 + loss) * (milk + steel);
    assert_eq!(told(&jug, "heat_kj", right).await, "none");
    let without_jug = told(&jug, "heat_kj", (1.0 + loss) * milk).await;
    assert_eq!(without_jug, "vessel_forgotten");
    let without_loss = told(&jug, "heat_kj", milk + steel).await;
    assert_eq!(without_loss, "loss_forgotten");
}

/// A reading to two figures has its half-width over √3 as its standard uncertainty.
#[tokio::test]
async fn a_half_width_used_as_it_is_is_told() {
    let readings = exercise("refractometry", 3, 3).await;
    let half_width = given(&readings, "solids_per_brix_half_width");
    let name = "solids per Brix standard uncertainty";
    let right = half_width / 3_f64.sqrt();
    assert_eq!(told(&readings, name, right).await, "none");
    let wrong = told(&readings, name, half_width).await;
    assert_eq!(wrong, "half_width_for_standard_uncertainty");
}

/// A mass of three figures that begins with a 1: one figure less is up to 5 % off, which no rounding
/// on the way explains.
#[tokio::test]
async fn far_is_not_taken_for_rounded_too_early() {
    let mixed = exercise("fractions", 3, 3).await;
    let strength = own_steps(&mixed).await["tds_percent"];
    for (factor, expected) in [(1.004, "rounded_too_early"), (1.06, "not_told")] {
        let diagnosis = told(&mixed, "tds_percent", strength * factor).await;
        assert_eq!(diagnosis, expected, "{strength} × {factor}");
    }
    let dish = exercise("oven-drying", 3, 3).await;
    let name = "corrected_extraction_yield_percent";
    let corrected = own_steps(&dish).await[name];
    // to two figures within 0.5; ten times that is a quarter of the yield
    for (more, expected) in [(0.55, "rounded_too_early"), (3.4, "not_told")] {
        assert_eq!(
            told(&dish, name, corrected + more).await,
            expected,
            "{corrected} + {more}"
        );
    }
}
