//! The distribution of the yield by trials.

use extraction_maths::maths::uncertainty::DegreesOfFreedom;
use extraction_maths::maths::uncertainty::student::two_sided_quantile;
use serde_json::{Value, json};

use super::super::{answer, close, codes, number, refused};
use super::{PATH, espresso, with};
use crate::support::{get, post};

fn by_trials(body: Value) -> Value {
    with(body, &json!({"method": "monte_carlo"}))
}

fn trials(answer: &Value) -> &Value {
    &answer["uncertainty"]["monte_carlo"]
}

/// A brew of each form that the yield has, with small uncertainties.
fn forms() -> Vec<Value> {
    let base = json!({
        "dose_g": 18.0, "dose_uncertainty_g": 0.01,
        "tds_percent": 1.3, "tds_uncertainty_percent": 0.001, "trials": 200_000,
    });
    let steeped = json!({
        "brew_kind": "immersion", "water_mass_g": 288.0, "water_mass_uncertainty_g": 0.02,
    });
    let weighed = ["beverage_mass_g", "final_beverage_mass_g"].map(|field| {
        json!({
            field: 230.0, "beverage_mass_uncertainty_g": 0.02,
            "bypass_water_g": 30.0, "bypass_water_uncertainty_g": 0.02,
        })
    });
    let steeped = with(base.clone(), &steeped);
    let mut forms = vec![steeped.clone()];
    for brew in [base, steeped] {
        forms.extend(weighed.iter().map(|more| with(brew.clone(), more)));
    }
    forms
}

/// For small uncertainties first order is exact: a second route to every form of the yield,
/// whose first-order uncertainties are held against an independent propagation elsewhere.
#[tokio::test]
async fn small_uncertainties_give_what_first_order_gives_for_every_way_of_brewing() {
    for form in forms() {
        let what = form.to_string();
        let answer = answer(PATH, &by_trials(form)).await;
        let e = number(&answer, "extraction_yield_percent");
        let (first, found) = (&answer["uncertainty"], trials(&answer));
        let u = number(first, "standard_points");
        close(number(found, "mean_percent"), e, u / 80.0, &what);
        close(number(found, "standard_points"), u, u / 80.0, &what);
        let expanded = number(first, "expanded_points");
        close(number(found, "low_percent"), e - expanded, u / 20.0, "low");
        close(
            number(found, "high_percent"),
            e + expanded,
            u / 20.0,
            "high",
        );
        assert_eq!(found["first_order"]["valid"], json!(true));
    }
}

/// Readings alone: the yield is proportional to a t-distributed strength, so the interval is
/// known exactly.
#[tokio::test]
async fn readings_alone_give_the_interval_of_students_t() {
    let body = json!({
        "dose_g": 18.0, "beverage_mass_g": 36.0, "tds_readings_percent": [9.0, 9.1, 9.2, 9.1, 9.3],
        "trials": 200_000,
    });
    let answer = answer(PATH, &by_trials(body)).await;
    let u = number(&answer["uncertainty"], "standard_points");
    let e = number(&answer, "extraction_yield_percent");
    // JCGM 100 table G.2: 2.78 for four degrees of freedom
    let t = two_sided_quantile(0.95, DegreesOfFreedom::finite(4.0).unwrap()).unwrap();
    close(t, 2.78, 0.005, "table G.2");
    let found = trials(&answer);
    close(number(found, "low_percent"), e - t * u, 0.05 * u, "low");
    close(number(found, "high_percent"), e + t * u, 0.05 * u, "high");
    // the variance of Student's t is v / (v − 2)
    let expected = u * 2.0_f64.sqrt();
    close(number(found, "standard_points"), expected, 0.05 * u, "u");
}

#[tokio::test]
async fn a_wide_rectangle_shows_first_order_to_be_off() {
    let body = json!({
        "dose_g": 18.0, "beverage_mass_g": 36.0, "tds_percent": 9.0, "dose_half_width_g": 2.0,
        "trials": 200_000,
    });
    let answer = answer(PATH, &by_trials(body)).await;
    let found = trials(&answer);
    assert_eq!(found["first_order"]["valid"], json!(false));
    assert!(codes(&answer).contains(&"first_order_off"));
    // hand: E = t B / D, D evenly from 16 to 20 g; quantiles at 19.9 and 16.1 g
    close(number(found, "low_percent"), 9.0 * 36.0 / 19.9, 0.01, "low");
    close(
        number(found, "high_percent"),
        9.0 * 36.0 / 16.1,
        0.01,
        "high",
    );
    // the density falls towards high yields: the shortest interval begins at the lowest yield
    close(
        number(found, "shortest_low_percent"),
        16.2,
        0.01,
        "shortest, low",
    );
    close(
        number(found, "shortest_high_percent"),
        9.0 * 36.0 / 16.2,
        0.01,
        "shortest, high",
    );
}

#[tokio::test]
async fn a_seed_decides_every_digit_and_trials_stop_when_they_have_settled() {
    let body = by_trials(espresso());
    let (first, again) = (answer(PATH, &body).await, answer(PATH, &body).await);
    assert_eq!(first, again);
    let other = answer(PATH, &with(body.clone(), &json!({"seed": 2}))).await;
    assert_ne!(
        trials(&first)["mean_percent"],
        trials(&other)["mean_percent"]
    );
    let made = number(trials(&first), "trials");
    assert!((20_000.0..2_000_000.0).contains(&made), "{made}");
    close(made % 10_000.0, 0.0, 0.0, "whole blocks");
    assert_eq!(trials(&first)["stable"], json!(true));
    // the numbers of fewer trials are the first of more, so both estimate the same
    let few = answer(PATH, &with(body, &json!({"trials": 10_000}))).await;
    assert_eq!(trials(&few)["stable"], json!(false));
    assert!(codes(&few).contains(&"trials_unsettled"));
}

#[tokio::test]
async fn trials_by_query_are_those_of_the_body() {
    let query = "dose_g=18&beverage_mass_g=36&tds_percent=9&dose_uncertainty_g=0.1\
        &method=monte_carlo&seed=5&trials=20000";
    let (status, by_query) = get(&format!("{PATH}?{query}")).await;
    assert_eq!(status, 200, "{by_query}");
    let body = r#"{"dose_g":18,"beverage_mass_g":36,"tds_percent":9,"dose_uncertainty_g":0.1,
        "method":"monte_carlo","seed":5,"trials":20000}"#;
    let (_, by_body) = post(PATH, body).await;
    assert_eq!(by_query, by_body);
}

#[tokio::test]
async fn correlated_masses_vary_together_in_the_trials() {
    let body = json!({
        "dose_g": 18.0, "beverage_mass_g": 36.0, "tds_percent": 9.0, "trials": 200_000,
        "dose_uncertainty_g": 0.18, "beverage_mass_uncertainty_g": 0.36,
        "dose_beverage_mass_correlation": 1.0, "tds_uncertainty_percent": 0.05,
    });
    let answer = answer(PATH, &by_trials(body)).await;
    // hand: the masses cancel in B / D = 2, and u(E) = 2 × 0.05
    close(number(trials(&answer), "standard_points"), 0.1, 0.001, "u");
}

#[tokio::test]
async fn what_cannot_be_drawn_is_refused() {
    let refused =
        |more: Value| async move { refused(PATH, &with(espresso(), &more).to_string()).await };
    let monte_carlo = |more: Value| refused(by_trials(more));
    let found = refused(json!({"seed": 3, "trials": 20_000})).await;
    assert_eq!(found, ["/seed contradictory", "/trials contradictory"]);
    let found = monte_carlo(json!({
        "tds_percent": null, "tds_readings_percent": [9.0, 9.1, 9.2],
        "dose_uncertainty_g": null, "dose_half_width_g": 0.05,
        "dose_beverage_mass_correlation": 0.5,
    }));
    let expected = [
        "/tds_readings_percent inconsistent",
        "/dose_beverage_mass_correlation contradictory",
    ];
    assert_eq!(found.await, expected);
    let found = monte_carlo(json!({
        "tds_repeatability_percent": 0.05, "tds_repeatability_degrees_of_freedom": 2.0,
        "dose_uncertainty_g": 3.0,
    }));
    let expected = [
        "/tds_repeatability_degrees_of_freedom inconsistent",
        "/dose_uncertainty_g inconsistent",
    ];
    assert_eq!(found.await, expected);
    let found = monte_carlo(json!({"trials": 2_000_001, "seed": 4_294_967_296_u64})).await;
    assert_eq!(found, ["/trials out_of_range", "/seed out_of_range"]);
    let found = monte_carlo(json!({"half_width_distribution": "triangular"})).await;
    assert_eq!(found, ["/dose_half_width_g required"]);
}
