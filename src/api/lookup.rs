//! A calculation asked by a query string.

use super::calculation::Call;
use super::decode::{Fields, Writing};
use super::problem::{Fault, FaultCode, Problem, ProblemCode};
use super::query;
use super::registry::Entry;
use super::reserved::Reserved;

/// Appends the JSON answer to the request that a query string holds; how it is to be written
/// comes back.
///
/// # Errors
/// 400 for a broken query, 422 with every fault of fields and reserved parameters together.
pub fn answer(
    entry: &Entry,
    query: &str,
    call: &Call<'_>,
    out: &mut Vec<u8>,
) -> Result<Reserved, Problem> {
    let mut pairs = query::parse(query)?;
    let (reserved, faults) = Reserved::take(&mut pairs);
    let answered = answer_pairs(entry, &pairs, call, out);
    if faults.is_empty() {
        return answered.map(|()| reserved);
    }
    Err(with_faults(faults, answered.err()))
}

/// How the answer to a body is to be written, as the query beside it says.
///
/// # Errors
/// 400 for a broken query, 422 for a wrong value or a name that is not reserved.
pub fn reserved(query: &str) -> Result<Reserved, Problem> {
    let mut pairs = query::parse(query)?;
    let (reserved, mut faults) = Reserved::take(&mut pairs);
    faults.extend(
        pairs
            .iter()
            .take(super::decode::MOST_FAULTS)
            .map(|(name, _)| {
                let name = super::decode::pointer_part(name);
                let detail =
                    "there is no such parameter; the fields of the request stand in the body";
                Fault::new(format!("/{name}"), FaultCode::UnknownField, detail)
            }),
    );
    if faults.is_empty() {
        Ok(reserved)
    } else {
        Err(Problem::invalid(faults))
    }
}

fn answer_pairs(
    entry: &Entry,
    pairs: &[(String, String)],
    call: &Call<'_>,
    out: &mut Vec<u8>,
) -> Result<(), Problem> {
    let names: Vec<&str> = pairs.iter().map(|(name, _)| name.as_str()).collect();
    let mut text = String::new();
    let mut spans = Vec::with_capacity(pairs.len());
    for (_, value) in pairs {
        let begin = text.len();
        text.push_str(value);
        spans.push((begin, text.len()));
    }
    let fields = Fields {
        names: &names,
        text: &text,
        spans: &spans,
        writing: Writing::QUERY,
    };
    entry.answer_fields(fields, call, out)
}

/// Faults of the reserved parameters, and those of the fields when they are why there is no
/// answer.
fn with_faults(mut faults: Vec<Fault>, problem: Option<Problem>) -> Problem {
    match problem {
        Some(problem) if problem.code() != ProblemCode::ValidationFailed => problem,
        Some(problem) => {
            faults.extend_from_slice(problem.faults());
            Problem::invalid(faults)
        }
        None => Problem::invalid(faults),
    }
}
