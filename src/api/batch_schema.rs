//! How a batch looks in the document; its request is also judged against this.

use serde_json::{Value, json};

use super::limits::{BATCH_CALLS, TEXT_CHARACTERS};
use super::problem::ProblemDocument;
use super::registry::Entry;
use super::schemas::Schemas;

/// What a text may not hold, as a pattern of the schema.
const NO_NULL_CHARACTER: &str = "^[^\\u0000]*$";

/// The schema of a batch.
#[must_use]
pub fn request() -> Schemas {
    let call = json!({
        "type": "object",
        "description": "One call of a batch.",
        "required": ["calculation", "request"],
        "additionalProperties": false,
        "properties": {
            "id": {
                "type": ["string", "null"],
                "description": "A name of the caller's own, repeated beside the answer.",
                "maxLength": TEXT_CHARACTERS,
                "pattern": NO_NULL_CHARACTER,
            },
            "calculation": {
                "type": "string",
                "description": "Name of the calculation: the last part of its path.",
                "maxLength": TEXT_CHARACTERS,
                "pattern": NO_NULL_CHARACTER,
            },
            "request": {
                "type": "object",
                "description": "What would be posted to the calculation's own path.",
            },
        },
    });
    Schemas {
        name: "BatchRequest".to_owned(),
        root: json!({
            "type": "object",
            "description": "Many calls at once, of one calculation or of several.",
            "required": ["calls"],
            "additionalProperties": false,
            "properties": {"calls": {
                "type": "array",
                "description": "The calls; answers keep their order.",
                "maxItems": BATCH_CALLS,
                "items": {"$ref": "#/components/schemas/BatchCall"},
            }},
        }),
        components: vec![("BatchCall".to_owned(), call)],
    }
}

/// The schema of the answer to a batch.
#[must_use]
pub fn response() -> Schemas {
    let answer = json!({
        "type": "object",
        "description": "The answer to one call: `answer` when `status` is 200, else `problem`.",
        "required": ["status"],
        "properties": {
            "id": {"type": "string", "description": "The call's own name, when it has one."},
            "status": {
                "type": "integer",
                "description": "The status that the call would have had by itself.",
                "minimum": 200,
                "maximum": 599,
            },
            "answer": {
                "type": "object",
                "description": "What the calculation's own path would have answered.",
            },
            "problem": {"$ref": "#/components/schemas/Problem"},
        },
    });
    let problem = Schemas::of::<ProblemDocument>();
    let mut components = vec![
        ("BatchAnswer".to_owned(), answer),
        ("Problem".to_owned(), problem.root),
    ];
    components.extend(problem.components);
    Schemas {
        name: "BatchAnswers".to_owned(),
        root: json!({
            "type": "object",
            "description": "One answer for each call, in order.",
            "required": ["answers"],
            "properties": {"answers": {
                "type": "array",
                "description": "The answers, in the order of the calls.",
                "maxItems": BATCH_CALLS,
                "items": {"$ref": "#/components/schemas/BatchAnswer"},
            }},
        }),
        components,
    }
}

/// A batch with the leading example of the first two calculations, and one call that is wrong.
#[must_use]
pub fn example(registry: &[Entry]) -> Value {
    let leading = registry.iter().take(2).filter_map(|entry| {
        let request: Value = serde_json::from_str(entry.examples.first()?.body).ok()?;
        Some(json!({"id": entry.name, "calculation": entry.name, "request": request}))
    });
    let wrong = registry.first().map(
        |entry| json!({"id": "wrong", "calculation": entry.name, "request": {"unheard_of": 1}}),
    );
    let calls: Vec<Value> = leading.chain(wrong).collect();
    json!({"calls": calls})
}
