//! What the topic's calculation answers, and the steps of its workings by name.

use serde_json::{Value, json};

use crate::api::calculation::Call;
use crate::api::caution::{Caution, CautionCode, Severity};
use crate::api::provenance::WorkingStep;
use crate::api::registry::Entry;

/// The answer with its workings; none when the calculation refuses.
pub(super) fn answered(entry: &Entry, request: &Value, call: &Call<'_>) -> Option<Value> {
    let mut request = request.clone();
    request["workings"] = json!(true);
    let mut out = Vec::new();
    entry
        .answer(request.to_string().as_bytes(), call, &mut out)
        .ok()?;
    serde_json::from_slice(&out).ok()
}

/// The steps of an answer by name, the second of a name as `name#2`.
pub(super) fn steps_of(answer: &Value) -> Vec<(String, WorkingStep)> {
    let steps: Vec<WorkingStep> =
        serde_json::from_value(answer["workings"].clone()).unwrap_or_default();
    let mut named: Vec<(String, WorkingStep)> = Vec::with_capacity(steps.len());
    for step in steps {
        let before = named
            .iter()
            .filter(|(_, other)| other.step == step.step)
            .count();
        let name = if before == 0 {
            step.step.to_string()
        } else {
            format!("{}#{}", step.step, before + 1)
        };
        named.push((name, step));
    }
    named
}

/// What can hurt where the exercise is tried out: the hazards of the answer, without its numbers,
/// which may be those asked for.
pub(super) fn hazards_of(answer: &Value) -> Vec<CautionCode> {
    let cautions: Vec<Caution> =
        serde_json::from_value(answer["cautions"].clone()).unwrap_or_default();
    cautions
        .iter()
        .filter(|caution| caution.severity == Severity::Hazard)
        .map(|caution| caution.code)
        .collect()
}
