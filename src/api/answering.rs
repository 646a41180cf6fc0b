//! One request of one calculation to its answer, for each form of call: read, weighed, computed,
//! written.

use super::calculation::{Calculation, Call};
use super::decode::{self, Fields};
use super::encode;
use super::limits;
use super::problem::{Problem, ProblemCode};
use super::query_text;
use super::rows::{Sink, Source};
use super::shape::Plan;
use super::weighing;

/// Appends the JSON answer to a request of one calculation that is given in fields.
pub(super) type AnswerFields =
    fn(Fields<'_>, &Plan, &Call<'_>, &mut Vec<u8>) -> Result<(), Problem>;

/// Puts the answer to a request of one calculation into the cells of a row.
pub(super) type AnswerCells = fn(Source<'_>, &Plan, &Call<'_>, Sink<'_>) -> Result<(), Problem>;

/// Appends the JSON answer to a JSON request of one calculation, and the query that asks the
/// same to an address where that is wanted.
pub(super) type AnswerJson = fn(&[u8], &Plan, &Call<'_>, Out<'_>) -> Result<(), Problem>;

/// Where an answer and the address that asks for it are written.
#[derive(Debug)]
pub struct Out<'o> {
    /// The answer as JSON.
    pub answer: &'o mut Vec<u8>,
    /// The address, path and query, where it is wanted; empty when no query can say the request.
    pub address: Option<&'o mut String>,
}

pub(super) fn fields<C: Calculation>(
    fields: Fields<'_>,
    plan: &Plan,
    call: &Call<'_>,
    out: &mut Vec<u8>,
) -> Result<(), Problem> {
    let request = affordable::<C>(decode::fields::<C>(fields, plan)?)?;
    let out = Out {
        answer: out,
        address: None,
    };
    answer_request::<C>(&request, call, out)
}

pub(super) fn cells<C: Calculation>(
    source: Source<'_>,
    plan: &Plan,
    call: &Call<'_>,
    mut sink: Sink<'_>,
) -> Result<(), Problem> {
    let request = affordable::<C>(weighing::read::<C>(source, plan)?)?;
    sink.put_request(&request)?;
    weighing::permitted::<C>(&request, call)?;
    let answer = C::answer(&request, call)?;
    sink.put_answer(&answer.result, &answer.provenance)
}

pub(super) fn json<C: Calculation>(
    body: &[u8],
    plan: &Plan,
    call: &Call<'_>,
    out: Out<'_>,
) -> Result<(), Problem> {
    let request = affordable::<C>(decode::json::<C>(body, plan)?)?;
    answer_request::<C>(&request, call, out)
}

/// The request itself, when its cost is inside the budget.
pub(super) fn affordable<C: Calculation>(request: C::Request) -> Result<C::Request, Problem> {
    let (cost, budget) = (C::cost(&request), C::BUDGET);
    if cost <= budget {
        return Ok(request);
    }
    Err(Problem::new(
        ProblemCode::WorkTooLarge,
        format!("the request costs {cost} units of work; the limit is {budget}"),
    ))
}

/// Writes the answer to a request, and its address where that is wanted.
pub(super) fn answer_request<C: Calculation>(
    request: &C::Request,
    call: &Call<'_>,
    out: Out<'_>,
) -> Result<(), Problem> {
    let start = out.answer.len();
    weighing::permitted::<C>(request, call)?;
    let answer = C::answer(request, call)?;
    encode::json(&answer, out.answer)?;
    let length = out.answer.len() - start;
    if length > limits::RESPONSE_BYTES {
        out.answer.truncate(start);
        return Err(limits::answer_too_large(length));
    }
    if let Some(address) = out.address
        && query_text::push(request, address).is_err()
    {
        address.clear();
    }
    Ok(())
}
