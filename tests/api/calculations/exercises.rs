//! `exercises` over HTTP: what is asked, how it is marked, and who sees the solution.

mod course;
mod figures;
mod mistakes;
mod more_mistakes;
mod teacher;
mod version;

use std::collections::HashMap;

use extraction_maths::api::exercises::topics::TOPICS;
use serde_json::{Value, json};

use super::{answer, number, refused};
use crate::support::get;

const PATH: &str = "/v1/exercises";
const MARKING: &str = "/v1/exercises/marking";

async fn exercise(topic: &str, level: u8, seed: u64) -> Value {
    answer(PATH, &json!({"topic": topic, "level": level, "seed": seed})).await
}

/// The steps of the topic's own calculation, by the names that an exercise gives them.
async fn own_steps(exercise: &Value) -> HashMap<String, f64> {
    let mut request = exercise["request"].clone();
    request["workings"] = json!(true);
    let path = format!("/v1/{}", exercise["topic"].as_str().expect("a topic"));
    let own = answer(&path, &request).await;
    let (mut steps, mut seen) = (HashMap::new(), HashMap::new());
    for step in own["workings"].as_array().expect("workings") {
        let name = step["step"].as_str().expect("a name");
        let count = seen.entry(name.to_owned()).or_insert(0);
        *count += 1;
        let name = if *count == 1 {
            name.to_owned()
        } else {
            format!("{name}#{count}")
        };
        steps.insert(name, number(step, "value"));
    }
    steps
}

/// A number rounded to significant figures, by the text that a student would write.
fn rounded(value: f64, figures: u64) -> f64 {
    let places = usize::try_from(figures - 1).expect("few");
    format!("{value:.places$e}").parse().expect("a number")
}

/// A datum of an exercise by its field.
fn given(exercise: &Value, field: &str) -> f64 {
    let data = exercise["data"].as_array().expect("data");
    let datum = data
        .iter()
        .find(|datum| datum["field"] == field)
        .expect(field);
    datum["text"]
        .as_str()
        .expect("a text")
        .parse()
        .expect("a number")
}

/// The marking of answers to an exercise.
async fn marked(exercise: &Value, answers: &[Value]) -> Value {
    let body = json!({
        "topic": exercise["topic"],
        "level": exercise["level"],
        "seed": exercise["seed"],
        "topic_version": exercise["topic_version"],
        "answers": answers,
    });
    answer(MARKING, &body).await
}

/// Answered by its own calculation, rounded as asked, every exercise gets full marks.
#[tokio::test]
async fn the_own_calculation_gets_full_marks_in_every_topic() {
    for topic in TOPICS {
        for level in 1..=3 {
            for seed in [0, 1, 2, 77, 9_007_199_254_740_991] {
                let exercise = exercise(topic.name, level, seed).await;
                let steps = own_steps(&exercise).await;
                let asked = exercise["asked"].as_array().expect("steps");
                let answers: Vec<_> = asked
                    .iter()
                    .map(|asked| {
                        let name = asked["step"].as_str().expect("a name");
                        let figures = asked["significant_figures"].as_u64().expect("a count");
                        let value = rounded(steps[name], figures);
                        json!({"step": name, "value": value, "unit": asked["unit"]})
                    })
                    .collect();
                let marking = marked(&exercise, &answers).await;
                assert_eq!(
                    marking["marks"], marking["marks_possible"],
                    "{exercise}: {marking}"
                );
                assert_eq!(marking["marks"], exercise["marks"]);
            }
        }
    }
}

#[tokio::test]
async fn the_question_tells_every_number_and_what_is_wanted() {
    for topic in TOPICS {
        let exercise = exercise(topic.name, 2, 11).await;
        let question = exercise["question"].as_str().expect("words");
        for datum in exercise["data"].as_array().expect("data") {
            let text = datum["text"].as_str().expect("a text");
            assert!(question.contains(text), "{text} in {question}");
        }
        assert!(question.contains("significant figures"), "{question}");
        assert!(question.contains("Find (a)"), "{question}");
    }
}

#[tokio::test]
async fn a_query_asks_for_the_same_exercise() {
    let posted = exercise("ratio", 2, 5).await;
    let (status, asked) = get("/v1/exercises?topic=ratio&level=2&seed=5").await;
    assert_eq!((status, asked), (200, posted));
}

#[tokio::test]
async fn seeds_give_different_exercises() {
    let mut questions = Vec::new();
    for seed in 0..20 {
        let question = exercise("extraction-yield", 1, seed).await["question"].to_string();
        assert!(!questions.contains(&question), "{seed}: {question}");
        questions.push(question);
    }
}

/// Path, body, and what is wrong with it.
const REFUSED: [(&str, &str, &str); 12] = [
    (PATH, r#"{"seed":1}"#, "/topic required"),
    (
        PATH,
        r#"{"topic":"shot-simulation","seed":1}"#,
        "/topic not_allowed",
    ),
    (
        PATH,
        r#"{"topic":"ratio","seed":9007199254740992}"#,
        "/seed out_of_range",
    ),
    (PATH, r#"{"topic":"ratio","seed":1.5}"#, "/seed wrong_type"),
    (
        PATH,
        r#"{"topic":"ratio","seed":1,"level":4}"#,
        "/level out_of_range",
    ),
    (
        PATH,
        r#"{"topic":"ratio","seed":1,"topic_version":2}"#,
        "/topic_version inconsistent",
    ),
    (
        PATH,
        r#"{"topic":"ratio","seed":1,"level":0}"#,
        "/level out_of_range",
    ),
    (
        MARKING,
        r#"{"topic":"ratio","seed":1,"answers":[{"step":"water_mass_g","value":"1,5"}]}"#,
        "/answers/0/value decimal_comma",
    ),
    (
        MARKING,
        r#"{"topic":"ratio","seed":1,"answers":[{"step":"water_mass_g","value":1e13}]}"#,
        "/answers/0/value out_of_range",
    ),
    (
        MARKING,
        r#"{"topic":"ratio","seed":1}"#,
        "/answers required",
    ),
    (
        MARKING,
        r#"{"topic":"ratio","seed":1,"answers":[{"step":"x","value":1}]}"#,
        "/answers/0/step inconsistent",
    ),
    (
        MARKING,
        r#"{"topic":"ratio","seed":1,"answers":[{"step":"water_mass_g","value":1},{"step":"water_mass_g","value":2}]}"#,
        "/answers/1/step contradictory",
    ),
];

#[tokio::test]
async fn what_cannot_be_is_refused() {
    for (path, body, expected) in REFUSED {
        assert_eq!(refused(path, body).await, [expected], "{body}");
    }
}

#[tokio::test]
async fn all_faults_are_told_at_once() {
    let all = r#"{"topic":"none","seed":-1,"level":9,"answer":1,"answers":[{"step":1}]}"#;
    let expected = [
        "/topic not_allowed",
        "/seed out_of_range",
        "/level out_of_range",
        "/answer unknown_field",
        "/answers/0/step wrong_type",
        "/answers/0/value required",
    ];
    assert_eq!(refused(MARKING, all).await, expected, "all faults at once");
}
