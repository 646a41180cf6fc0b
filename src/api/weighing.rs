//! Requests that are light or heavy by what they ask: found out when they are read, so that a
//! light one is answered at once and a heavy one goes to the compute pool.

use super::answering::{Out, affordable, answer_request};
use super::calculation::{Calculation, Call, LIGHT, Weight};
use super::decode;
use super::problem::{Problem, ProblemCode};
use super::registry::Entry;
use super::rows::Source;
use super::shape::Plan;

/// Answers a request that is light, or hands it back to be worked elsewhere.
pub(super) type Begin =
    fn(Source<'_>, &'static Entry, Out<'_>) -> Result<Option<Prepared>, Problem>;

/// Whether a request is heavy; one that cannot be read is not.
pub(super) type Weigh = fn(Source<'_>, &Plan) -> bool;

/// A request that was read and found right, to be answered on another thread.
pub struct Prepared(pub(super) Box<Work>);

pub(super) type Work = dyn FnOnce(&Call<'_>, Out<'_>) -> Result<(), Problem> + Send;

impl Prepared {
    /// Appends the JSON answer.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead; the answer is then as it was.
    pub fn answer(self, call: &Call<'_>, out: Out<'_>) -> Result<(), Problem> {
        (self.0)(call, out)
    }
}

impl std::fmt::Debug for Prepared {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Prepared").finish_non_exhaustive()
    }
}

/// Reads a request and holds its cost against the budget, without computing anything.
pub(super) type Prepare = fn(&[u8], &Plan) -> Result<Prepared, Problem>;

pub(super) fn prepare<C: Calculation>(body: &[u8], plan: &Plan) -> Result<Prepared, Problem> {
    let request = affordable::<C>(decode::json::<C>(body, plan)?)?;
    Ok(Prepared(Box::new(move |call, out| {
        answer_request::<C>(&request, call, out)
    })))
}

pub(super) fn begin<C: Calculation>(
    source: Source<'_>,
    entry: &'static Entry,
    mut out: Out<'_>,
) -> Result<Option<Prepared>, Problem> {
    let request = affordable::<C>(read::<C>(source, entry.plan())?)?;
    if weight::<C>(&request) == Weight::Light {
        entry.begin_address(&mut out);
        answer_request::<C>(&request, &LIGHT, out)?;
        return Ok(None);
    }
    Ok(Some(Prepared(Box::new(move |call, mut out| {
        entry.begin_address(&mut out);
        answer_request::<C>(&request, call, out)
    }))))
}

pub(super) fn is_heavy<C: Calculation>(source: Source<'_>, plan: &Plan) -> bool {
    let request = read::<C>(source, plan);
    request.is_ok_and(|request| weight::<C>(&request) == Weight::Heavy)
}

/// Refuses what is heavy by its request where only light work is done.
///
/// # Errors
/// `work_too_large`.
pub(super) fn permitted<C: Calculation>(
    request: &C::Request,
    call: &Call<'_>,
) -> Result<(), Problem> {
    let is_heavier = C::WEIGHT == Weight::ByRequest && C::is_heavy(request);
    if is_heavier && call.is_for_light_work() {
        let detail = format!(
            "what this asks of {} is answered by a request of its own only, not by rows or \
                inside another calculation",
            C::NAME
        );
        return Err(Problem::new(ProblemCode::WorkTooLarge, detail));
    }
    Ok(())
}

fn weight<C: Calculation>(request: &C::Request) -> Weight {
    match C::WEIGHT {
        Weight::ByRequest if C::is_heavy(request) => Weight::Heavy,
        Weight::ByRequest | Weight::Light => Weight::Light,
        Weight::Heavy => Weight::Heavy,
    }
}

/// The request of a source.
pub(super) fn read<C: Calculation>(source: Source<'_>, plan: &Plan) -> Result<C::Request, Problem> {
    match source {
        Source::Fields(fields) => decode::fields::<C>(fields, plan),
        Source::Json(body) => decode::json::<C>(body, plan),
    }
}
