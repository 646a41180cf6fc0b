//! One call of one calculation, on the right thread and behind the guard against panics.

use std::panic::{AssertUnwindSafe, catch_unwind};

use actix_web::web::Bytes;

use super::clock::{Deadline, Stopwatch};
use super::metrics::Metrics;
use super::state::State;
use crate::api::calculation::{Call, UNCANCELLED, Weight};
use crate::api::problem::{Problem, ProblemCode};
use crate::api::registry::Entry;

/// The JSON answer to a JSON request: light work here, heavy work on the compute pool.
///
/// # Errors
/// The problem to answer instead. A heavy request that is wrong or costs too much is refused
/// here, before it asks for a permit.
pub(super) async fn answer(
    entry: &'static Entry,
    body: Bytes,
    state: &State,
) -> Result<Vec<u8>, Problem> {
    match entry.weight {
        Weight::Light => here(entry, &body, &UNCANCELLED, state.metrics()),
        Weight::Heavy => {
            let prepared = guarded(entry, state.metrics(), || entry.prepare(&body))?;
            let metrics = state.metrics().clone();
            let work =
                move |call: &Call<'_>| timed(entry, &metrics, |out| prepared.answer(call, out));
            state.pool().run(entry.deadline, work).await
        }
    }
}

/// The JSON answer to a JSON request, worked on this thread.
///
/// # Errors
/// The problem to answer instead.
pub(super) fn here(
    entry: &'static Entry,
    body: &[u8],
    call: &Call<'_>,
    metrics: &Metrics,
) -> Result<Vec<u8>, Problem> {
    timed(entry, metrics, |out| entry.answer(body, call, out))
}

/// The answer to a call of a batch: cancelled with the batch, and by its own deadline.
///
/// # Errors
/// The problem that stands in the answer's place.
pub(super) fn inside_batch(
    entry: &'static Entry,
    body: &[u8],
    batch: &Call<'_>,
    metrics: &Metrics,
) -> Result<Vec<u8>, Problem> {
    batch.go_on()?;
    if entry.weight == Weight::Light {
        return here(entry, body, batch, metrics);
    }
    let until = Deadline::after(entry.deadline);
    let cancelled = || batch.is_cancelled() || until.has_passed();
    here(entry, body, &Call::new(&cancelled), metrics).map_err(|problem| {
        if until.has_passed() {
            let detail = format!(
                "the calculation did not end within {} s",
                entry.deadline.as_secs_f64()
            );
            Problem::new(ProblemCode::DeadlineExceeded, detail)
        } else {
            problem
        }
    })
}

fn timed(
    entry: &'static Entry,
    metrics: &Metrics,
    work: impl FnOnce(&mut Vec<u8>) -> Result<(), Problem>,
) -> Result<Vec<u8>, Problem> {
    let started = Stopwatch::start();
    let answered = guarded(entry, metrics, || {
        let mut out = Vec::with_capacity(1024);
        work(&mut out).map(|()| out)
    });
    metrics.observe_calculation(entry.name, started.elapsed());
    answered
}

/// A panic inside a calculation becomes a problem here, where the response still passes through
/// the layers that a browser depends on.
fn guarded<T>(
    entry: &'static Entry,
    metrics: &Metrics,
    work: impl FnOnce() -> Result<T, Problem>,
) -> Result<T, Problem> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        metrics.count_panic();
        Err(Problem::internal(format!("a panic in {}", entry.name)))
    })
}
