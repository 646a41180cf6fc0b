//! `extraction-yield` over HTTP: correlated masses, and Monte Carlo trials.

mod monte_carlo;

use serde_json::{Value, json};

use super::{answer, cell, close, codes, data, number, refused};

const PATH: &str = "/v1/extraction-yield";

/// A double whose masses and strength are uncertain.
fn espresso() -> Value {
    json!({
        "dose_g": 18.0, "beverage_mass_g": 36.4, "tds_percent": 9.1,
        "dose_uncertainty_g": 0.05, "beverage_mass_uncertainty_g": 0.1,
        "tds_uncertainty_percent": 0.05,
    })
}

fn with(mut body: Value, more: &Value) -> Value {
    for (name, value) in more.as_object().expect("an object") {
        body[name] = value.clone();
    }
    body
}

/// The uncertainties package of Python, see tests/data/SOURCES.md.
#[tokio::test]
async fn masses_of_one_scale_match_an_independent_propagation() {
    for row in data("uncertainties_one_scale.csv") {
        let n = |name: &str| cell(&row, name);
        let body = json!({
            "brew_kind": row["kind"], "dose_g": n("dose_g"), "beverage_mass_g": n("beverage_g"),
            "water_mass_g": n("water_g"), "bypass_water_g": n("bypass_g"),
            "tds_percent": n("strength_percent"), "tds_uncertainty_percent": n("u_strength"),
            "dose_uncertainty_g": n("u_dose"), "beverage_mass_uncertainty_g": n("u_beverage"),
            "water_mass_uncertainty_g": n("u_water"), "bypass_water_uncertainty_g": n("u_bypass"),
            "dose_beverage_mass_correlation": n("r_db"), "dose_water_mass_correlation": n("r_dw"),
            "dose_bypass_water_correlation": n("r_dv"),
            "beverage_mass_water_mass_correlation": n("r_bw"),
            "beverage_mass_bypass_water_correlation": n("r_bv"),
            "water_mass_bypass_water_correlation": n("r_wv"),
        });
        let answer = answer(PATH, &body).await;
        let (e, u) = (n("yield_percent"), n("u_yield_points"));
        close(
            number(&answer, "extraction_yield_percent"),
            e,
            1e-12 * e,
            "yield",
        );
        let uncertainty = &answer["uncertainty"];
        close(
            number(uncertainty, "standard_points"),
            u,
            1e-9 * u,
            &format!("{row:?}"),
        );
        let budget = uncertainty["budget"].as_array().expect("a budget");
        let shares: f64 = budget
            .iter()
            .map(|line| number(line, "share_percent"))
            .sum();
        close(shares, 100.0, 1e-9, "shares");
    }
}

#[tokio::test]
async fn a_shared_scale_tightens_the_yield_and_loses_the_degrees_of_freedom() {
    let readings = json!({"tds_percent": null, "tds_readings_percent": [9.0, 9.1, 9.2, 9.1]});
    let alone = with(espresso(), &readings);
    let shared = with(
        alone.clone(),
        &json!({"dose_beverage_mass_correlation": 0.9}),
    );
    let (alone, shared) = (answer(PATH, &alone).await, answer(PATH, &shared).await);
    let of = |answer: &Value| number(&answer["uncertainty"], "standard_points");
    assert!(of(&shared) < of(&alone));
    assert!(alone["uncertainty"]["effective_degrees_of_freedom"].is_f64());
    assert!(shared["uncertainty"]["effective_degrees_of_freedom"].is_null());
    // the two-sided 95 % quantile of the normal distribution, JCGM 100 table G.1: 1.960
    close(
        number(&shared["uncertainty"], "coverage_factor"),
        1.960,
        0.0005,
        "k",
    );
    assert!(!codes(&alone).contains(&"degrees_of_freedom_lost"));
    assert!(codes(&shared).contains(&"degrees_of_freedom_lost"));
}

#[tokio::test]
async fn a_coefficient_of_zero_changes_nothing() {
    let plain = answer(PATH, &espresso()).await;
    let zero = with(espresso(), &json!({"dose_beverage_mass_correlation": 0.0}));
    assert_eq!(answer(PATH, &zero).await, plain);
}

#[tokio::test]
async fn a_fully_shared_scale_error_cancels_in_the_ratio() {
    // hand: E = t B / D; with r = 1 and equal relative uncertainties the masses cancel, and
    // u(E) = (B / D) u(t) = 2 × 0.05 = 0.1 points
    let body = json!({
        "dose_g": 18.0, "beverage_mass_g": 36.0, "tds_percent": 9.0,
        "dose_uncertainty_g": 0.09, "beverage_mass_uncertainty_g": 0.18,
        "tds_uncertainty_percent": 0.05, "dose_beverage_mass_correlation": 1.0,
    });
    let answer = answer(PATH, &body).await;
    let u = number(&answer["uncertainty"], "standard_points");
    close(u, 0.1, 1e-12, "uncertainty");
    // with the masses cancelled the probabilities come from the strength alone
    let probability = number(&answer["assessment"], "probability_within");
    assert!(0.0 < probability && probability <= 1.0);
}

#[tokio::test]
async fn correlations_that_cannot_all_be_true_are_refused_at_each() {
    let three = json!({
        "bypass_water_g": 20.0, "bypass_water_uncertainty_g": 0.1,
        "dose_beverage_mass_correlation": -0.9, "dose_bypass_water_correlation": -0.9,
        "beverage_mass_bypass_water_correlation": -0.9,
    });
    let body = with(espresso(), &three).to_string();
    let expected = [
        "/dose_beverage_mass_correlation inconsistent",
        "/dose_bypass_water_correlation inconsistent",
        "/beverage_mass_bypass_water_correlation inconsistent",
    ];
    assert_eq!(refused(PATH, &body).await, expected);
}

#[tokio::test]
async fn a_correlation_needs_the_uncertainties_that_it_joins() {
    let body = json!({
        "dose_g": 18.0, "beverage_mass_g": 36.4, "tds_percent": 9.1,
        "dose_beverage_mass_correlation": 0.5,
    });
    let found = refused(PATH, &body.to_string()).await;
    let expected = [
        "/dose_uncertainty_g required",
        "/beverage_mass_uncertainty_g required",
    ];
    assert_eq!(found, expected);
    let body = with(espresso(), &json!({"dose_beverage_mass_correlation": 1.5}));
    let found = refused(PATH, &body.to_string()).await;
    assert_eq!(found, ["/dose_beverage_mass_correlation out_of_range"]);
}
