//! `diagnosis` over HTTP: what the trade teaches (common practice, no source), and what must
//! hold of any rules: measurements outweigh tastes, and order does not matter.

use serde_json::{Value, json};

use super::{answer, codes, refused};

const PATH: &str = "/v1/diagnosis";

const TASTES: [&str; 7] = [
    "sour",
    "bitter",
    "astringent",
    "thin",
    "harsh",
    "salty",
    "balanced",
];

/// The likelihood of a cause; empty when nothing speaks for or against it.
fn likelihood<'a>(answer: &'a Value, code: &str) -> &'a str {
    let causes = answer["causes"].as_array().expect("a list");
    let found = causes.iter().find(|cause| cause["code"] == code);
    found.map_or("", |cause| cause["likelihood"].as_str().expect("a word"))
}

fn tried(answer: &Value) -> (&str, &str) {
    let word = |name: &str| answer["try_first"][name].as_str().expect("a word");
    (word("change"), word("direction"))
}

/// Common practice, no source: sour and salty for too little extraction, bitter for too much,
/// thin for little strength, astringent for an uneven bed.
#[tokio::test]
async fn a_taste_alone_points_where_the_trade_says() {
    for (taste, cause, change) in [
        ("sour", "under_extraction", ("grind_setting", "finer")),
        ("salty", "under_extraction", ("grind_setting", "finer")),
        ("bitter", "over_extraction", ("grind_setting", "coarser")),
        ("thin", "low_strength", ("brew_ratio", "lower")),
        (
            "astringent",
            "uneven_extraction",
            ("bed_preparation", "more_even"),
        ),
        ("balanced", "", ("nothing", "keep")),
    ] {
        let answer = answer(PATH, &json!({"tastes": [taste]})).await;
        assert_eq!(answer["basis"], "common_practice");
        if !cause.is_empty() {
            assert_eq!(answer["causes"][0]["code"], cause, "{taste}");
            assert_eq!(likelihood(&answer, cause), "likely", "{taste}");
        }
        assert_eq!(tried(&answer), change, "{taste}");
        assert!(codes(&answer).contains(&"practice_window"));
    }
}

/// Common practice, no source: hotter tends to bitter and astringent, cooler to sour.
#[tokio::test]
async fn water_that_was_measured_comes_before_the_grind() {
    let body = |taste: &str, temperature: f64| json!({"tastes": [taste], "brew_temperature_c": temperature});
    let cool = answer(PATH, &body("sour", 86.0)).await;
    assert_eq!(tried(&cool), ("brew_temperature", "higher"));
    assert!(codes(&cool).contains(&"hot_water"));
    let hot = answer(PATH, &body("bitter", 98.0)).await;
    assert_eq!(tried(&hot), ("brew_temperature", "lower"));
    let usual = answer(PATH, &body("sour", 93.0)).await;
    assert_eq!(likelihood(&usual, "water_too_cool"), "unlikely");
    assert_eq!(tried(&usual), ("grind_setting", "finer"));
}

#[tokio::test]
async fn a_measurement_outweighs_all_tastes() {
    for (field, inside, causes) in [
        (
            "extraction_yield_percent",
            20.0,
            ["under_extraction", "over_extraction"],
        ),
        ("tds_percent", 10.0, ["low_strength", "high_strength"]),
        (
            "brew_temperature_c",
            93.0,
            ["water_too_cool", "water_too_hot"],
        ),
        ("shot_time_s", 27.0, ["shot_too_fast", "shot_too_slow"]),
        ("bean_age_days", 14.0, ["beans_too_fresh", "beans_too_old"]),
    ] {
        // every set of tastes
        for set in 1..128_u32 {
            let tastes: Vec<_> = (0..7)
                .filter(|bit| set >> bit & 1 == 1)
                .map(|bit| TASTES[bit])
                .collect();
            let answer = answer(PATH, &json!({"tastes": tastes, field: inside})).await;
            for cause in causes {
                assert_eq!(likelihood(&answer, cause), "unlikely", "{field} {tastes:?}");
            }
        }
    }
    let under = answer(
        PATH,
        &json!({"tastes": ["bitter"], "extraction_yield_percent": 16.0}),
    )
    .await;
    assert_eq!(likelihood(&under, "under_extraction"), "likely");
    assert_eq!(likelihood(&under, "over_extraction"), "unlikely");
}

/// The statistic of the flow, as `shot-readings` answers it, for an even flow and for one that
/// doubles at once halfway: with 1 g/s before and 2 after, points lie 0.25 g/s off their line
/// (rms), a sixth of the mean, so it is near 0.83.
#[tokio::test]
async fn evenness_is_taken_as_shot_readings_answers_it_and_weighs_like_a_taste() {
    let time_s: Vec<f64> = (0..=270).map(|k| 0.1 * f64::from(k)).collect();
    for (later, uneven, with_both) in [(1.0, "unlikely", "likely"), (2.0, "likely", "likely")] {
        let mass = |time: &f64| (time - 7.0).max(0.0) + (later - 1.0) * (time - 17.0).max(0.0);
        let mass_g: Vec<f64> = time_s.iter().map(mass).collect();
        let stream = json!({
            "time_s": time_s, "mass_g": mass_g, "scale_lag_s": 0, "transport_delay_s": 0,
            "stopped_at_s": 27,
        });
        let evenness = answer("/v1/shot-readings", &stream).await["evenness"]
            .as_f64()
            .expect("an evenness");
        let expected = if later > 1.0 { 0.83 } else { 1.0 };
        assert!((evenness - expected).abs() < 0.03, "{evenness}");
        let said = |tastes: &[&str]| json!({"tastes": tastes, "evenness": evenness});
        let sour = answer(PATH, &said(&["sour"])).await;
        assert_eq!(likelihood(&sour, "uneven_extraction"), uneven);
        assert!(codes(&sour).contains(&"evenness_is_no_verdict"));
        // a smooth flow does not rule out what the tongue says
        let both = answer(PATH, &said(&["sour", "bitter"])).await;
        assert_eq!(likelihood(&both, "uneven_extraction"), with_both);
    }
}

#[tokio::test]
async fn tastes_that_contradict_one_another_are_named() {
    let both = answer(PATH, &json!({"tastes": ["sour", "bitter"]})).await;
    assert_eq!(both["contradictions"][0]["code"], "sour_and_bitter");
    assert_eq!(tried(&both), ("bed_preparation", "more_even"));
    assert_eq!(likelihood(&both, "under_extraction"), "possible");
    assert_eq!(likelihood(&both, "over_extraction"), "possible");
    let beside = answer(PATH, &json!({"tastes": ["balanced", "sour"]})).await;
    let alone = answer(PATH, &json!({"tastes": ["sour"]})).await;
    assert_eq!(
        beside["contradictions"][0]["code"],
        "balanced_beside_others"
    );
    assert_eq!(beside["causes"], alone["causes"]);
}

#[tokio::test]
async fn neither_order_nor_repetition_of_tastes_matters() {
    let one = answer(
        PATH,
        &json!({"tastes": ["sour", "harsh", "thin"], "tds_percent": 7.0}),
    )
    .await;
    let other = json!({"tds_percent": 7.0, "tastes": ["thin", "sour", "harsh", "sour"]});
    assert_eq!(one, answer(PATH, &other).await);
}

#[tokio::test]
async fn every_cause_has_evidence_and_its_weights_add_up() {
    let body: Value = serde_json::from_str(include_str!(
        "../../../demo-data/diagnosis/lab-sour-and-bitter.json"
    ))
    .expect("JSON");
    let answer = answer(PATH, &body).await;
    let causes = answer["causes"].as_array().expect("a list");
    let steps = answer["workings"].as_array().expect("workings");
    assert_eq!(causes.len(), steps.len());
    for (cause, step) in causes.iter().zip(steps) {
        assert_eq!(cause["code"], step["step"]);
        let evidence = cause["evidence"].as_array().expect("a list");
        assert!(!evidence.is_empty());
        let terms = step["substituted"].as_str().expect("a sum").split(" + ");
        let weights: Vec<f64> = terms
            .map(|term| {
                term.split(' ')
                    .next()
                    .and_then(|w| w.parse().ok())
                    .expect("a weight")
            })
            .collect();
        assert_eq!(step["value"], json!(weights.iter().sum::<f64>()));
        for (weight, item) in weights.iter().zip(evidence) {
            assert_eq!(item["supports"], json!(0.0 < *weight));
        }
    }
}

/// Nothing in the rules is about health.
#[tokio::test]
async fn no_answer_speaks_of_health() {
    for taste in TASTES {
        let text = answer(PATH, &json!({"tastes": [taste]})).await.to_string();
        for word in ["health", "healthy", "stomach", "toxic"] {
            assert!(!text.contains(word), "{taste}: {word}");
        }
    }
}

#[tokio::test]
async fn what_is_no_taste_is_refused_at_its_place() {
    for (body, expected) in [
        (r"{}", vec!["/tastes required"]),
        (r#"{"tastes":[]}"#, vec!["/tastes too_few_items"]),
        (
            r#"{"tastes":["sour","odd"]}"#,
            vec!["/tastes/1 not_allowed"],
        ),
        (
            r#"{"tastes":["sour"],"evenness":2,"brew_temperature_c":"hot"}"#,
            vec!["/evenness out_of_range", "/brew_temperature_c wrong_type"],
        ),
    ] {
        assert_eq!(refused(PATH, body).await, expected, "{body}");
    }
}
