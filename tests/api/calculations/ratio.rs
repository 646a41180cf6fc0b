//! `ratio` over HTTP.

use crate::support::{faults, post};

/// SCA Coffee Standards, revised 2018, section 3.1 to 3.3: 8.25 g to 150 mL of water is 55 g/L.
#[tokio::test]
async fn the_cupping_ratio_of_the_standard_is_55_grams_per_litre() {
    let body = r#"{"brew_kind":"immersion","dose_g":8.25,"water_mass_g":150}"#;
    let (status, answer) = post("/v1/ratio", body).await;
    assert_eq!(status, 200);
    let grams = answer["grams_per_litre"].as_f64().expect("a number");
    assert!((grams - 55.0).abs() < 1e-9, "{grams}");
    let ratio = answer["water_ratio"].as_f64().expect("a number");
    // 150 / 8.25, the same standard's 18.18 mL/g
    assert!((ratio - 18.181_818_181_818_18).abs() < 1e-12, "{ratio}");
}

#[tokio::test]
async fn what_came_in_goes_out_bit_for_bit() {
    let body = r#"{"dose_g":17.3,"beverage_mass_g":30.000000000000004}"#;
    let (_, answer) = post("/v1/ratio", body).await;
    assert_eq!(answer["dose_g"].to_string(), "17.3");
    assert_eq!(answer["beverage_mass_g"].to_string(), "30.000000000000004");
}

#[tokio::test]
async fn more_than_is_needed_is_held_against_the_digits_given() {
    let (status, _) = post(
        "/v1/ratio",
        r#"{"dose_g":18.0,"beverage_mass_g":37.2,"brew_ratio":2.07}"#,
    )
    .await;
    assert_eq!(status, 200, "37.2 / 18.0 rounds to 2.07");
    let (status, problem) = post(
        "/v1/ratio",
        r#"{"dose_g":18.02,"beverage_mass_g":37.21,"brew_ratio":3.01}"#,
    )
    .await;
    assert_eq!(status, 422);
    let expected = ["/dose_g", "/beverage_mass_g", "/brew_ratio"];
    let found: Vec<_> = faults(&problem).into_iter().collect();
    assert_eq!(found.len(), 3);
    for pointer in expected {
        assert!(
            found.contains(&(pointer.to_owned(), "inconsistent".to_owned())),
            "{found:?}"
        );
    }
}

#[tokio::test]
async fn too_little_is_a_missing_field_and_not_a_guess() {
    for body in [
        "{}",
        r#"{"dose_g":18}"#,
        r#"{"brew_ratio":2,"water_ratio":3}"#,
    ] {
        let (status, problem) = post("/v1/ratio", body).await;
        assert_eq!(status, 422, "{body}");
        assert_eq!(
            faults(&problem),
            [("/dose_g".to_owned(), "required".to_owned())],
            "{body}"
        );
    }
}

#[tokio::test]
async fn a_recipe_that_needs_an_impossible_mass_is_refused_by_that_mass() {
    let (status, problem) = post("/v1/ratio", r#"{"dose_g":5000,"brew_ratio":900}"#).await;
    assert_eq!(status, 422);
    assert!(faults(&problem).contains(&("/beverage_mass_g".to_owned(), "out_of_range".to_owned())));
}

#[tokio::test]
async fn the_styles_of_espresso_change_at_their_limits() {
    for (ratio, style) in [
        (1.49, "ristretto"),
        (1.5, "normale"),
        (2.49, "normale"),
        (2.5, "lungo"),
    ] {
        let (_, answer) = post(
            "/v1/ratio",
            &format!(r#"{{"dose_g":18,"brew_ratio":{ratio}}}"#),
        )
        .await;
        assert_eq!(answer["style"], style, "{ratio}");
    }
}

#[tokio::test]
async fn the_workings_lead_from_what_was_given_to_what_is_answered() {
    let body = r#"{"brew_kind":"filter","water_mass_g":1000,"water_ratio":16,"workings":true}"#;
    let (_, answer) = post("/v1/ratio", body).await;
    let steps = answer["workings"].as_array().expect("workings");
    for step in steps {
        let name = step["step"].as_str().expect("a name");
        assert_eq!(step["value"], answer[name], "{name} is the value answered");
    }
    assert_eq!(steps[0]["substituted"], "1000 / 16");
}
