//! The exercises of a version of the topics, as they are: a regression, no reference.
//!
//! Teachers print sheets and mark them weeks later, maybe by another copy of the service. So what
//! a seed gives is kept here, word for word and bit for bit. When it changes after a release,
//! `TOPIC_VERSION` is raised, and `EXTRACTION_MATHS_WRITE_EXERCISES=1 cargo test --test api
//! what_a_seed_gives` writes the file of the new version, in place of that of the old one.

use std::fmt::Write;

use extraction_maths::api::exercises::TOPIC_VERSION;
use extraction_maths::api::exercises::topics::TOPICS;
use serde_json::json;

use super::super::{answer, number};
use super::{exercise, own_steps};

#[tokio::test]
async fn what_a_seed_gives_stays_the_same_in_a_version() {
    let path = format!(
        "{}/tests/data/exercises_version_{TOPIC_VERSION}.txt",
        env!("CARGO_MANIFEST_DIR")
    );
    let now = all().await;
    if std::env::var_os("EXTRACTION_MATHS_WRITE_EXERCISES").is_some() {
        std::fs::write(&path, &now).expect("a file that can be written");
    }
    let kept = std::fs::read_to_string(&path).expect("the file of this version");
    for (now, kept) in now.lines().zip(kept.lines()) {
        assert_eq!(
            now, kept,
            "a seed gives another exercise: raise TOPIC_VERSION"
        );
    }
    assert_eq!(now.len(), kept.len(), "other exercises than those kept");
}

/// Each topic at each level from two seeds, and the seeds that a sheet gives to its students.
async fn all() -> String {
    let mut text = String::new();
    for topic in TOPICS {
        for (level, seed) in [(1, 0), (1, 2026), (2, 0), (2, 2026), (3, 0), (3, 2026)] {
            let exercise = exercise(topic.name, level, seed).await;
            let steps = own_steps(&exercise).await;
            let question = exercise["question"].as_str().expect("words");
            let _ = writeln!(text, "{} {level} {seed}: {question}", topic.name);
            for asked in exercise["asked"].as_array().expect("steps") {
                let step = asked["step"].as_str().expect("a name");
                let _ = writeln!(text, "    {step} = {}", steps[step]);
            }
        }
    }
    let wanted = json!({"topics": ["ratio", "targets"], "seed": 2026, "students": 3});
    let sheet = answer("/v1/exercises/sheet", &wanted).await;
    for student in sheet["students"].as_array().expect("students") {
        for exercise in student["exercises"].as_array().expect("exercises") {
            let _ = writeln!(
                text,
                "student {}: {} {}",
                student["student"], exercise["topic"], exercise["seed"]
            );
        }
    }
    assert!(number(&sheet, "topic_version") > 0.0);
    text
}
