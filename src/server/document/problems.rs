//! The failures in the document: each kind once, with a real example.

use serde_json::{Value, json};

use super::Components;
use super::operations::with_headers;
use super::schemas::published_answer;
use crate::api::calculation::UNCANCELLED;
use crate::api::problem::{FaultCode, Problem, ProblemCode, ProblemDocument};
use crate::api::registry::{Entry, Schemas};
use crate::server::envelope::PROBLEM_JSON;

impl Components {
    pub(super) fn problem(&mut self, code: ProblemCode, entry: &'static Entry) -> String {
        if code != ProblemCode::ValidationFailed {
            self.reference(code);
            return response_name(code);
        }
        // a real one: what the calculation says to a body that is wrong in more than one way
        let name = format!("{}{}", response_name(code), pascal(entry.name));
        let problem = entry
            .answer(
                br#"{"workings": 1, "unheard_of": 1}"#,
                &UNCANCELLED,
                &mut Vec::new(),
            )
            .err()
            .unwrap_or_else(|| Problem::new(code, code.title()));
        self.responses
            .insert(name.clone(), problem_response(code, &problem));
        name
    }

    pub(super) fn reference(&mut self, code: ProblemCode) -> Value {
        let name = response_name(code);
        let problem = Problem::new(code, code.title());
        self.responses
            .entry(&name)
            .or_insert_with(|| problem_response(code, &problem));
        json!({"$ref": format!("#/components/responses/{name}")})
    }

    pub(super) fn add_problem(&mut self) {
        let Schemas {
            name,
            root,
            components,
        } = Schemas::of::<ProblemDocument>();
        for (name, component) in components {
            self.schemas.insert(name, published_answer(component));
        }
        self.schemas.insert(name, published_answer(root));
        let meanings = |all: Vec<(&str, &str)>| {
            let lines: Vec<_> = all
                .iter()
                .map(|(code, meaning)| format!("- `{code}`: {meaning}"))
                .collect();
            format!(
                "Stable code; never changes its meaning.\n\n{}",
                lines.join("\n")
            )
        };
        let problems = ProblemCode::ALL
            .iter()
            .map(|code| (code.as_str(), code.title()))
            .collect();
        let faults = FaultCode::ALL
            .iter()
            .map(|code| (code.as_str(), code.meaning()))
            .collect();
        self.schemas["ProblemCode"]["description"] = meanings(problems).into();
        self.schemas["FaultCode"]["description"] = meanings(faults).into();
    }
}

fn problem_response(code: ProblemCode, problem: &Problem) -> Value {
    let mut response = with_headers(json!({
        "description": explained(code),
        "content": {PROBLEM_JSON: {
            "schema": {"$ref": "#/components/schemas/Problem"},
            "example": problem.document("5f0c8e"),
        }},
    }));
    if code == ProblemCode::UnsupportedMediaType {
        response["headers"]["accept-encoding"] = json!({
            "description": "Codings that a body may have; only when the code is `unsupported_content_encoding`.",
            "schema": {"type": "string"},
        });
    }
    if code == ProblemCode::MethodNotAllowed {
        response["headers"]["allow"] =
            json!({"description": "Methods that the path answers.", "schema": {"type": "string"}});
    }
    let text =
        |description: &str| json!({"description": description, "schema": {"type": "string"}});
    let is_to_be_retried = matches!(code.status(), 429 | 503);
    if is_to_be_retried {
        response["headers"]["retry-after"] = text("Seconds after which to try again.");
    }
    if code == ProblemCode::QuotaExceeded {
        response["headers"]["ratelimit-policy"] = text("The quota: calls `q` in `w` seconds.");
        response["headers"]["ratelimit"] =
            text("What is left of it: calls `r`, and seconds `t` until it is whole again.");
    }
    if code == ProblemCode::Unauthenticated {
        response["headers"]["www-authenticate"] = text("How to present a key.");
    }
    response
}

/// What a status means; where two codes share it, both.
fn explained(code: ProblemCode) -> String {
    let sentence = |code: ProblemCode| format!("{}. {}", code.title(), code.remedy());
    let shared = |other: ProblemCode| {
        format!(
            "{} Or `{}`: {}",
            sentence(code),
            other.as_str(),
            sentence(other)
        )
    };
    match code.as_str() {
        "validation_failed" => shared(ProblemCode::WorkTooLarge),
        "overloaded" => shared(ProblemCode::DeadlineExceeded),
        _ => sentence(code),
    }
}

fn response_name(code: ProblemCode) -> String {
    pascal(code.as_str())
}

fn pascal(name: &str) -> String {
    name.split(['_', '-', '/'])
        .flat_map(|word| {
            let mut letters = word.chars();
            letters
                .next()
                .map(|first| first.to_ascii_uppercase())
                .into_iter()
                .chain(letters)
                .collect::<Vec<_>>()
        })
        .collect()
}
