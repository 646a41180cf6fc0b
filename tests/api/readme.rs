//! The calls of the README give the README's answers.

use serde_json::Value;

use crate::support::{client, post};

const README: &str = include_str!("../../README.md");
const HERE: &str = "http://127.0.0.1:8080";

/// Each call with the JSON that stands below it.
fn calls() -> Vec<(&'static str, &'static str)> {
    let blocks: Vec<_> = README.split("```").skip(1).step_by(2).collect();
    let pairs = blocks.windows(2).filter_map(|pair| {
        let call = pair[0].strip_prefix("sh\n")?.trim();
        let answer = pair[1].strip_prefix("json\n")?.trim();
        call.starts_with("curl -s ").then_some((call, answer))
    });
    pairs.collect()
}

async fn answer(call: &str) -> Value {
    let words: Vec<_> = call.split_whitespace().collect();
    let url = words
        .iter()
        .map(|word| word.trim_matches('\''))
        .find(|word| word.starts_with(HERE))
        .expect("an address");
    let path = url.strip_prefix(HERE).expect("our address");
    let file = words.last().expect("words").strip_prefix('@');
    let Some(file) = file else {
        let (status, text) = client().get(path).await.expect("an answer");
        assert_eq!(status, 200, "{call}");
        return serde_json::from_str(&text).expect("JSON");
    };
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    let body = std::fs::read_to_string(&file).expect("a request body");
    let (status, answer) = post(path, &body).await;
    assert_eq!(status, 200, "{call}: {answer}");
    answer
}

#[tokio::test]
async fn the_calls_of_the_readme_give_the_answers_of_the_readme() {
    let calls = calls();
    assert!(calls.len() >= 4, "one call for each calculation at least");
    for (call, expected) in calls {
        let answer = answer(call).await;
        let pretty = serde_json::to_string_pretty(&answer).expect("JSON");
        assert_eq!(pretty, expected, "the answer to {call}");
    }
}
