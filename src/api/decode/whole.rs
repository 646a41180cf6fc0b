//! Whole numbers that are written with a fraction of nothing: `7.0` for `7`.
//!
//! JSON has one kind of number, and a schema's integer is any whole one; serde takes an integer
//! field from digits alone. A refused body that writes such a number is read once more.

use serde::de::DeserializeOwned;
use serde_json::{Number, Value};

use super::map_only::MapOnly;

/// Largest whole number that every double below it can name.
const LARGEST_EXACT: f64 = 9_007_199_254_740_992.0;

/// The request of a body in which no fault was found, its whole numbers read as integers; none
/// when it is still refused.
pub(super) fn read<R: DeserializeOwned>(body: &[u8]) -> Option<R> {
    // only a point or an exponent can hide an integer
    if !body.iter().any(|byte| matches!(byte, b'.' | b'e' | b'E')) {
        return None;
    }
    let mut value: Value = serde_json::from_slice(body).ok()?;
    if !rewrite(&mut value) {
        return None;
    }
    R::deserialize(MapOnly(value)).ok()
}

/// Whether any number was rewritten.
fn rewrite(value: &mut Value) -> bool {
    match value {
        Value::Number(number) => match whole(number) {
            Some(integer) => {
                *number = integer.into();
                true
            }
            None => false,
        },
        // every one is visited, so no short cut
        Value::Array(items) => items
            .iter_mut()
            .fold(false, |any, item| rewrite(item) | any),
        Value::Object(fields) => fields
            .values_mut()
            .fold(false, |any, item| rewrite(item) | any),
        Value::Null | Value::Bool(_) | Value::String(_) => false,
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "whole and inside the exact integers"
)]
fn whole(number: &Number) -> Option<i64> {
    let value = number.as_f64().filter(|_| number.is_f64())?;
    let is_whole = libm::trunc(value).to_bits() == value.to_bits();
    (is_whole && libm::fabs(value) <= LARGEST_EXACT).then_some(value as i64)
}
