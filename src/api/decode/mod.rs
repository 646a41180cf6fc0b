//! Reading a request: quickly when it is right, and with every fault named when it is not.
//!
//! The fast path is serde on the slice, a walk over the numbers, and validator for lengths.
//! Only when one of them refuses is the body read a second time into a tree that keeps
//! duplicates, and the tree judged against the published schema.

mod cells;
mod faults;
mod map_only;
mod number;
mod tree;
mod whole;
mod within;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use validator::Validate;

use super::calculation::Calculation;
use super::problem::{Fault, FaultCode, Problem, ProblemCode};
use super::shape::Plan;
use map_only::MapOnly;
use tree::Node;

pub use cells::{Fields, Writing};
pub use faults::MOST_FAULTS;
pub(crate) use faults::{of_header as header_faults, pointer_part};
pub use number::Decimal;

/// The request that a JSON text holds.
///
/// # Errors
/// 400 for text that is not JSON, 422 with every fault named for JSON that is not the request.
pub fn json<C: Calculation>(body: &[u8], plan: &Plan) -> Result<C::Request, Problem> {
    json_of(body, plan)
}

/// The same for a request that is no calculation's own.
pub(super) fn json_of<R>(body: &[u8], plan: &Plan) -> Result<R, Problem>
where
    R: DeserializeOwned + Serialize + Validate,
{
    let body = without_mark(body);
    match read::<R>(body) {
        Ok(request) if is_sound(&request, plan) => Ok(request),
        outcome => {
            let reason = outcome.err().map(|error| error.to_string());
            explain(body, plan)?;
            whole::read::<R>(body)
                .filter(|request| is_sound(request, plan))
                .ok_or_else(|| unexplained(reason))
        }
    }
}

/// The value that a JSON text holds, when it has the plan's shape and `holds`.
///
/// # Errors
/// As [`json`].
pub(super) fn with<'b, R: Deserialize<'b>>(
    body: &'b [u8],
    plan: &Plan,
    holds: impl Fn(&R) -> bool,
) -> Result<R, Problem> {
    let body = without_mark(body);
    match read::<R>(body) {
        Ok(request) if holds(&request) => Ok(request),
        outcome => {
            let reason = outcome.err().map(|error| error.to_string());
            explain(body, plan)?;
            Err(unexplained(reason))
        }
    }
}

/// A text without the mark that some editors put before UTF-8.
fn without_mark(body: &[u8]) -> &[u8] {
    body.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(body)
}

fn is_sound<R: Serialize + Validate>(request: &R, plan: &Plan) -> bool {
    within::holds(request, plan) && request.validate().is_ok()
}

/// The request that names and texts hold: a query, or a row under its header.
///
/// # Errors
/// 422 with every fault named for fields that are not the request.
pub fn fields<C: Calculation>(fields: Fields<'_>, plan: &Plan) -> Result<C::Request, Problem> {
    match cells::read::<C::Request>(fields, plan.shape.fields()) {
        Ok(request) if is_sound(&request, plan) => Ok(request),
        Ok(_) | Err(_) => {
            let node = cells::tree(fields, &plan.shape);
            judged(&node, plan)?;
            Err(unexplained(None))
        }
    }
}

/// Whether a text is a finite number, written so.
pub(crate) fn is_number(text: &str, decimal: Decimal) -> bool {
    number::number(text, decimal).is_ok()
}

/// Whether a text says NaN or infinity, or is too large for a double.
pub(crate) fn is_not_finite(text: &str, decimal: Decimal) -> bool {
    number::number(text, decimal) == Err(number::NotANumber::NotFinite)
}

fn read<'b, R: Deserialize<'b>>(body: &'b [u8]) -> Result<R, serde_json::Error> {
    let mut reader = serde_json::Deserializer::from_slice(body);
    let request = R::deserialize(MapOnly(&mut reader))?;
    reader.end()?;
    Ok(request)
}

/// Why a body was refused, as an error; nothing when no fault is found in it.
fn explain(body: &[u8], plan: &Plan) -> Result<(), Problem> {
    if body.iter().all(u8::is_ascii_whitespace) {
        return Err(Problem::new(
            ProblemCode::EmptyBody,
            "the body is empty where a JSON object is needed",
        ));
    }
    let node = tree::read(body, &plan.shape).map_err(|error| malformed(body, &error))?;
    judged(&node, plan)
}

fn judged(node: &Node, plan: &Plan) -> Result<(), Problem> {
    let found = faults::of(node, plan);
    if found.is_empty() {
        Ok(())
    } else {
        Err(Problem::invalid(found))
    }
}

/// The two readers disagree: still the caller's request, and still a clear refusal.
fn unexplained(reason: Option<String>) -> Problem {
    let reason = reason.unwrap_or_else(|| "a value does not fit its field".to_owned());
    Problem::invalid(vec![Fault::new("", FaultCode::WrongType, reason)])
}

fn malformed(body: &[u8], error: &serde_json::Error) -> Problem {
    let detail = error.to_string();
    if std::str::from_utf8(body).is_err() || detail.contains("surrogate") {
        return Problem::new(
            ProblemCode::InvalidEncoding,
            format!("the body is not valid Unicode: {detail}"),
        );
    }
    let at = usize::saturating_sub;
    let rest = body
        .split(|byte| *byte == b'\n')
        .nth(at(error.line(), 1))
        .and_then(|line| line.get(at(error.column(), 1)..))
        .unwrap_or_default();
    let is_number_word = [&b"NaN"[..], b"Inf", b"-Inf", b"nan", b"inf"]
        .iter()
        .any(|word| rest.starts_with(word) || rest.starts_with(&word[1..]));
    let hint = if is_number_word {
        "; NaN and Infinity are not JSON: leave out a quantity that does not exist"
    } else {
        ""
    };
    Problem::new(ProblemCode::MalformedJson, format!("{detail}{hint}"))
}
