//! `consistency` over HTTP: published examples, what few shots do not tell, and shots made up
//! so that one thing stands out.

use serde_json::{Value, json};

use super::{answer, close, codes, number, refused};

const PATH: &str = "/v1/consistency";

/// [nist-handbook] section 6.3.2.2: ten batches, here as shot times.
const FLOW_RATES: [f64; 10] = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

fn timed(times: &[f64]) -> Value {
    let shots: Vec<_> = times
        .iter()
        .map(|time| json!({"shot_time_s": time}))
        .collect();
    json!({"shots": shots})
}

#[tokio::test]
async fn the_limits_of_the_handbook_are_answered() {
    let answer = answer(PATH, &timed(&FLOW_RATES)).await;
    let time = &answer["quantities"]["shot_time_s"];
    close(number(time, "mean"), 50.81, 1e-10, "mean");
    close(
        number(&time["limits"], "upper"),
        55.8041,
        5e-5,
        "upper limit",
    );
    close(
        number(&time["limits"], "lower"),
        45.8159,
        5e-5,
        "lower limit",
    );
    assert_eq!(time["limits"]["outside"], json!([]));
    assert_eq!(time["count"], 10);
    assert_eq!(codes(&answer), ["few_shots"]);
    assert!(answer["quantities"].get("dose_g").is_none());
}

/// Spread 1, 9 degrees of freedom; chi-squared tables, from memory: 19.023 and 2.700.
#[tokio::test]
async fn the_interval_of_the_spread_is_that_of_chi_squared() {
    let answer = answer(PATH, &timed(&FLOW_RATES)).await;
    let time = &answer["quantities"]["shot_time_s"];
    let spread = number(time, "spread");
    close(
        number(time, "spread_low") / spread,
        (9.0_f64 / 19.023).sqrt(),
        2e-5,
        "low",
    );
    close(
        number(time, "spread_high") / spread,
        (9.0_f64 / 2.700).sqrt(),
        4e-4,
        "high",
    );
}

#[tokio::test]
async fn a_shot_far_from_its_neighbours_is_outside_the_limits() {
    let mut times = vec![
        27.0, 27.4, 26.9, 27.2, 27.1, 27.3, 26.8, 27.2, 27.0, 27.1, 27.3, 27.0,
    ];
    times[7] = 40.0;
    times.extend_from_slice(&[27.1, 27.2, 26.9, 27.1, 27.3, 27.0, 27.2, 27.1]);
    let answer = answer(PATH, &timed(&times)).await;
    let limits = &answer["quantities"]["shot_time_s"]["limits"];
    assert_eq!(limits["outside"], json!([7]));
    assert_eq!(codes(&answer), [""; 0], "twenty shots are enough");
}

/// By hand: times 30, 28, 29, 27, 26 against their places: the slope is -9/10.
#[tokio::test]
async fn a_drift_is_the_slope_over_the_places() {
    let answer = answer(PATH, &timed(&[30.0, 28.0, 29.0, 27.0, 26.0])).await;
    let drift = &answer["quantities"]["shot_time_s"]["drift"];
    close(number(drift, "change_per_shot"), -0.9, 1e-12, "slope");
    // R squared: 0.81 x 10 / 10
    close(number(drift, "share_percent"), 81.0, 1e-10, "share");
    // adjusted: 1 - 0.19 x 4 / 3
    close(
        number(drift, "adjusted_share_percent"),
        100.0 * (1.0 - 0.76 / 3.0),
        1e-10,
        "adjusted",
    );
    // t = -0.9 / sqrt(1.9 / 3 / 10) = -3.576, Student's quantile of 0.95 for 3 is 3.182
    assert_eq!(drift["is_clear"], true);
    let width = 3.182 * (1.9_f64 / 30.0).sqrt();
    close(number(drift, "low"), -0.9 - width, 5e-4, "low");
}

fn two_hands(apart: f64) -> Value {
    let noise = [
        0.3, -0.2, 0.1, -0.4, 0.2, 0.0, -0.1, 0.4, -0.3, 0.1, 0.2, -0.2,
    ];
    let shots = noise.iter().zip(0..).map(|(noise, place)| {
        let is_first = place % 2 == 0;
        json!({
            "dose_g": 18.0 + 0.1 * f64::from(place % 3),
            "beverage_mass_g": 36.0 + noise + if is_first { 0.0 } else { apart },
            "barista": if is_first { "first" } else { "second" },
        })
    });
    json!({"shots": shots.collect::<Vec<_>>()})
}

#[tokio::test]
async fn the_hand_that_differs_is_what_to_tighten_first() {
    let apart = answer(PATH, &two_hands(3.0)).await;
    assert_eq!(apart["tighten_first"]["code"], "barista");
    assert_eq!(apart["tighten_first"]["quantity"], "beverage_mass_g");
    let shares = apart["quantities"]["beverage_mass_g"]["share_explained"].as_array();
    let by_hand = shares
        .expect("shares")
        .iter()
        .find(|share| share["by"] == "barista");
    let by_hand = by_hand.expect("a share by barista");
    assert!(number(by_hand, "share_percent") > 90.0);
    assert!(number(by_hand, "adjusted_share_percent") < number(by_hand, "share_percent"));
    assert_eq!(by_hand["groups"], 2);
    let alike = answer(PATH, &two_hands(0.0)).await;
    assert_eq!(alike["tighten_first"]["code"], "shot_to_shot");
}

/// A yield that goes with the dose alone: 3.6 g of solids whatever the dose.
#[tokio::test]
async fn the_dose_that_explains_the_yield_is_what_to_tighten_first() {
    let shots: Vec<_> = [17.0, 18.6, 17.4, 19.0, 18.1, 17.8, 18.9, 17.2]
        .iter()
        .map(|dose| json!({"dose_g": dose, "beverage_mass_g": 36, "tds_percent": 10}))
        .collect();
    let answer = answer(PATH, &json!({"shots": shots})).await;
    assert_eq!(answer["tighten_first"]["code"], "dose");
    assert_eq!(
        answer["tighten_first"]["quantity"],
        "extraction_yield_percent"
    );
    let yields = &answer["quantities"]["extraction_yield_percent"];
    close(number(yields, "largest"), 360.0 / 17.0, 1e-12, "yield");
    // nothing is to be explained of what is alike
    let left_out = answer["left_out"].as_array().expect("a list");
    let tds = left_out
        .iter()
        .filter(|item| item["quantity"] == "tds_percent");
    assert!(tds.clone().count() > 0 && tds.clone().all(|item| item["code"] == "all_alike"));
    let limits = &answer["quantities"]["tds_percent"]["limits"];
    assert_eq!(limits["outside"], json!([]));
}

#[tokio::test]
async fn what_few_shots_do_not_tell_is_left_out_and_said() {
    let two = answer(
        PATH,
        &json!({"shots": [{"dose_g": 18, "beverage_mass_g": 36, "day": "a"},
            {"dose_g": 18.4, "tds_percent": 9.1, "day": "b"}]}),
    )
    .await;
    let dose = &two["quantities"]["dose_g"];
    // by hand: the spread of two is their difference over the root of two
    close(
        number(dose, "spread"),
        0.4 / 2.0_f64.sqrt(),
        1e-12,
        "spread",
    );
    assert!(dose.get("limits").is_none() && dose.get("drift").is_none());
    assert!(two["quantities"].get("tds_percent").is_none());
    assert!(two.get("tighten_first").is_none());
    let left_out = two["left_out"].as_array().expect("a list");
    for (quantity, statistic) in [
        ("tds_percent", "all"),
        ("beverage_mass_g", "all"),
        ("dose_g", "limits"),
        ("dose_g", "drift"),
        ("dose_g", "share_explained"),
    ] {
        let said = left_out
            .iter()
            .find(|item| item["quantity"] == quantity && item["statistic"] == statistic);
        assert_eq!(
            said.expect(quantity)["code"],
            "too_few_shots",
            "{statistic}"
        );
    }
}

#[tokio::test]
async fn labels_that_change_together_cannot_be_told_apart() {
    let shot = |who: &str, grinder: &str, time: f64| json!({"shot_time_s": time, "barista": who, "grinder": grinder});
    let together = json!({"shots": [shot("a", "x", 27.0), shot("a", "x", 28.0),
        shot("b", "y", 30.0), shot("b", "y", 31.0)]});
    assert!(codes(&answer(PATH, &together).await).contains(&"confounded_labels"));
    let crossed = json!({"shots": [shot("a", "x", 27.0), shot("a", "y", 28.0),
        shot("b", "y", 30.0), shot("b", "y", 31.0)]});
    assert!(!codes(&answer(PATH, &crossed).await).contains(&"confounded_labels"));
}

#[tokio::test]
async fn shots_that_are_all_alike_have_nothing_to_tighten() {
    let answer = answer(PATH, &timed(&[27.1; 6])).await;
    assert_eq!(answer["tighten_first"]["code"], "nothing");
    let time = &answer["quantities"]["shot_time_s"];
    assert_eq!(
        (&time["spread"], &time["spread_high"]),
        (&json!(0.0), &json!(0.0))
    );
    assert_eq!(time["limits"]["outside"], json!([]));
}

#[tokio::test]
async fn the_working_ends_at_what_is_answered() {
    let mut body = timed(&FLOW_RATES);
    body["workings"] = json!(true);
    let answer = answer(PATH, &body).await;
    let steps = answer["workings"].as_array().expect("workings");
    assert_eq!(steps.len(), 7);
    for step in steps {
        let path = step["step"].as_str().expect("a path");
        let found = path.split('.').fold(&answer, |inner, name| &inner[name]);
        assert_eq!(step["value"], *found, "{path}");
        assert_eq!(step["unit"], "s");
    }
}

#[tokio::test]
async fn what_is_no_list_of_shots_is_refused_at_its_field() {
    for (body, expected) in [
        (r"{}", vec!["/shots required"]),
        (r#"{"shots":[]}"#, vec!["/shots too_few_items"]),
        (r#"{"shots":[{"dose_g":18}]}"#, vec!["/shots too_few_items"]),
        (
            r#"{"shots":[{"dose_g":18},{"dose_g":-1,"who":"x"}],"coverage_probability":1}"#,
            vec![
                "/shots/1/dose_g out_of_range",
                "/shots/1/who unknown_field",
                "/coverage_probability out_of_range",
            ],
        ),
        (
            r#"{"shots":[{"dose_g":18,"beverage_mass_g":40,"tds_percent":20},{"dose_g":18,"beverage_mass_g":80,"tds_percent":9}]}"#,
            vec![
                "/shots/0/tds_percent inconsistent",
                "/shots/1/tds_percent inconsistent",
            ],
        ),
    ] {
        assert_eq!(refused(PATH, body).await, expected, "{body}");
    }
}
