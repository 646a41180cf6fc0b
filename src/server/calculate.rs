//! One call of one calculation, on the right thread and behind the guard against panics.

use std::panic::{AssertUnwindSafe, catch_unwind};

use actix_web::web::Bytes;

use super::clock::{Deadline, Stopwatch};
use super::form::Form;
use super::metrics::Metrics;
use super::represent::Computed;
use super::state::State;
use crate::api::calculation::{Call, UNCANCELLED, Weight};
use crate::api::lookup::Question;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::registry::{Entry, Out};
use crate::api::rows::{Source, one_row_csv};
use crate::api::solutions::Solutions;

/// The answer to a JSON request: light work here, heavy work on the compute pool.
///
/// # Errors
/// The problem to answer instead. A heavy request that is wrong or costs too much is refused
/// here, before it asks for a permit.
pub(super) async fn answer(
    entry: &'static Entry,
    body: Bytes,
    form: &Form,
    solutions: Solutions,
    state: &State,
) -> Result<Computed, Problem> {
    let here = UNCANCELLED.seeing(solutions);
    if form.is_row(entry) {
        return timed(entry, state.metrics(), |out| {
            let Out { answer, address } = out;
            let source = Source::Json(&body);
            // once as an object, for the address that repeats it, and once as a row
            let located = Out { answer, address };
            entry.answer_located(&body, &here, located)?;
            answer.clear();
            one_row_csv(entry, source, form.dialect(), &here, answer)
        });
    }
    match entry.weight {
        Weight::Light => timed(entry, state.metrics(), |out| {
            entry.answer_located(&body, &here, out)
        }),
        Weight::Heavy => {
            let prepared = guarded(entry, state.metrics(), || entry.prepare(&body))?;
            let metrics = state.metrics().clone();
            let work = move |call: &Call<'_>| {
                let call = call.seeing(solutions);
                timed(entry, &metrics, |out| prepared.answer(&call, out))
            };
            // boxed, so that light calls do not carry the room that it needs
            Box::pin(state.pool().run(entry.deadline, work)).await
        }
    }
}

/// The answer to a query, worked on this thread: what fits a query is light.
///
/// # Errors
/// The problem to answer instead.
pub(super) fn look_up(
    entry: &'static Entry,
    question: &Question,
    form: &Form,
    state: &State,
) -> Result<Computed, Problem> {
    // a key does not belong into an address, so a query sees what a stranger would
    let call = UNCANCELLED.seeing(state.teacher().solutions(None));
    timed(entry, state.metrics(), |out| {
        question.fields(|fields| {
            if form.is_row(entry) {
                let source = Source::Fields(fields);
                one_row_csv(entry, source, form.dialect(), &call, out.answer)
            } else {
                entry.answer_fields(fields, &call, out.answer)
            }
        })
    })
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
    timed(entry, metrics, |out| entry.answer(body, call, out.answer))
        .map(|computed| computed.answer)
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
    let call = Call::new(&cancelled).seeing(batch.solutions());
    here(entry, body, &call, metrics).map_err(|problem| {
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

/// Room for the address of a usual request.
const ADDRESS_BYTES: usize = 256;

fn timed(
    entry: &'static Entry,
    metrics: &Metrics,
    work: impl FnOnce(Out<'_>) -> Result<(), Problem>,
) -> Result<Computed, Problem> {
    let started = Stopwatch::start();
    let answered = guarded(entry, metrics, || {
        let mut computed = Computed {
            answer: Vec::with_capacity(1024),
            address: String::with_capacity(if entry.is_flat() { ADDRESS_BYTES } else { 0 }),
        };
        let out = Out {
            answer: &mut computed.answer,
            address: entry.is_flat().then_some(&mut computed.address),
        };
        work(out).map(|()| computed)
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
