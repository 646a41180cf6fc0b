//! How much one request may hold and one answer may be. Published in `/v1/capabilities`, and in
//! the schemas where a schema can say it.

use serde_json::Value;

use super::problem::{Problem, ProblemCode};

/// Longest text of a field in code points, where the field does not name another limit.
pub const TEXT_CHARACTERS: usize = 128;

/// Pattern of any text: the null character is refused, which too many readers end at.
const NO_NULL_CHARACTER: &str = r"^[^\x00]*$";

/// Longest list of a field, where the field does not name another limit.
pub const LIST_ITEMS: usize = 10_000;

/// Largest JSON answer in bytes.
pub const RESPONSE_BYTES: usize = 4 * 1024 * 1024;

/// Largest body of a batch in bytes.
pub const BATCH_BYTES: usize = 4 * 1024 * 1024;

/// Most calls of a batch.
pub const BATCH_CALLS: usize = 500;

/// Puts the common limits into every field of a schema that has none of its own.
pub fn patch(schema: &mut Value) {
    let properties = schema.get_mut("properties").and_then(Value::as_object_mut);
    for (_, property) in properties.into_iter().flatten() {
        patch_value(property);
    }
}

fn patch_value(schema: &mut Value) {
    if is_a(schema, "array") {
        if schema["maxItems"].is_null() {
            schema["maxItems"] = LIST_ITEMS.into();
        }
        patch_value(&mut schema["items"]);
    } else if is_a(schema, "string") && schema["enum"].is_null() {
        if schema["maxLength"].is_null() {
            schema["maxLength"] = TEXT_CHARACTERS.into();
        }
        if schema["pattern"].is_null() && schema["format"].is_null() {
            schema["pattern"] = NO_NULL_CHARACTER.into();
        }
    }
}

fn is_a(schema: &Value, kind: &str) -> bool {
    match &schema["type"] {
        Value::String(only) => only == kind,
        Value::Array(kinds) => kinds.iter().any(|one| one == kind),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::Object(_) => false,
    }
}

/// The problem for an answer that would be longer than [`RESPONSE_BYTES`].
pub(super) fn answer_too_large(length: usize) -> Problem {
    Problem::new(
        ProblemCode::WorkTooLarge,
        format!(
            "the answer would have {length} bytes; the limit is {RESPONSE_BYTES}: ask for less at once"
        ),
    )
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::{NO_NULL_CHARACTER, patch};

    #[test]
    fn a_limit_of_the_field_itself_stands() {
        let mut schema = json!({"properties": {
            "free": {"type": ["string", "null"]},
            "long": {"type": "string", "maxLength": 4000},
            "day": {"type": "string", "format": "date"},
            "word": {"type": "string", "enum": ["a"]},
            "list": {"type": "array", "items": {"type": "string"}},
            "few": {"type": "array", "maxItems": 3, "items": {"type": "number"}},
        }});
        patch(&mut schema);
        let pattern = NO_NULL_CHARACTER;
        let expected = json!({"properties": {
            "free": {"type": ["string", "null"], "maxLength": 128, "pattern": pattern},
            "long": {"type": "string", "maxLength": 4000, "pattern": pattern},
            "day": {"type": "string", "format": "date", "maxLength": 128},
            "word": {"type": "string", "enum": ["a"]},
            "list": {"type": "array", "maxItems": 10000, "items": {"type": "string", "maxLength": 128, "pattern": pattern}},
            "few": {"type": "array", "maxItems": 3, "items": {"type": "number"}},
        }});
        assert_eq!(schema, expected);
    }
}
