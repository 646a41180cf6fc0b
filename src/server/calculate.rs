//! One call of one calculation, on the right thread and behind the guard against panics.

use std::panic::{AssertUnwindSafe, catch_unwind};

use actix_web::web::Bytes;

use super::clock::{Deadline, Stopwatch};
use super::form::Form;
use super::metrics::Metrics;
use super::represent::Computed;
use super::state::State;
use crate::api::calculation::{Call, LIGHT, UNCANCELLED, Weight};
use crate::api::lookup::Question;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::registry::{Entry, Out, Prepared};
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
    if form.is_row(entry) {
        let is_heavy = || Ok(entry.is_heavy(Source::Json(&body)));
        let is_heavy = guarded(entry, state.metrics(), is_heavy)?;
        let (dialect, wanted) = (form.dialect(), form.wanted.clone());
        let work = move |call: &Call<'_>, out: Out<'_>| {
            let Out { answer, address } = out;
            // once as an object, for the address that repeats it, and once as a row
            let located = Out { answer, address };
            entry.answer_located(&body, call, located)?;
            answer.clear();
            one_row_csv(entry, Source::Json(&body), (dialect, &wanted), call, answer)
        };
        return weighed(entry, is_heavy, state, work).await;
    }
    match entry.weight {
        Weight::Light => timed(entry, state.metrics(), |out| {
            entry.answer_located(&body, &UNCANCELLED.seeing(solutions), out)
        }),
        Weight::ByRequest => {
            let mut computed = room(entry);
            let out = computed.out(entry);
            match begun(entry, state.metrics(), Source::Json(&body), out)? {
                None => Ok(computed),
                Some(prepared) => on_the_pool(entry, prepared, solutions, state).await,
            }
        }
        Weight::Heavy => {
            let prepared = guarded(entry, state.metrics(), || entry.prepare(&body))?;
            on_the_pool(entry, prepared, solutions, state).await
        }
    }
}

/// The answer to a query: light work here, heavy work on the compute pool.
///
/// # Errors
/// The problem to answer instead.
pub(super) async fn look_up(
    entry: &'static Entry,
    question: Question,
    form: &Form,
    state: &State,
) -> Result<Computed, Problem> {
    if form.is_row(entry) {
        let is_heavy = || Ok(question.fields(|fields| entry.is_heavy(Source::Fields(fields))));
        let is_heavy = guarded(entry, state.metrics(), is_heavy)?;
        let (dialect, wanted) = (form.dialect(), form.wanted.clone());
        let work = move |call: &Call<'_>, out: Out<'_>| {
            question.fields(|fields| {
                one_row_csv(
                    entry,
                    Source::Fields(fields),
                    (dialect, &wanted),
                    call,
                    out.answer,
                )
            })
        };
        return weighed(entry, is_heavy, state, work).await;
    }
    let mut computed = room(entry);
    match asked(entry, &question, &mut computed, state)? {
        None => Ok(computed),
        Some(prepared) => on_the_pool(entry, prepared, Solutions::Withheld, state).await,
    }
}

/// What is wrong with the fields of a query, if anything.
pub(super) fn refusal(
    entry: &'static Entry,
    question: &Question,
    state: &State,
) -> Option<Problem> {
    asked(entry, question, &mut room(entry), state).err()
}

/// What is wrong with a JSON body, if anything.
pub(super) fn refused(entry: &'static Entry, body: &[u8], state: &State) -> Option<Problem> {
    let mut computed = room(entry);
    let out = computed.out(entry);
    begun(entry, state.metrics(), Source::Json(body), out).err()
}

/// Answers a query that is light, or hands it back.
fn asked(
    entry: &'static Entry,
    question: &Question,
    computed: &mut Computed,
    state: &State,
) -> Result<Option<Prepared>, Problem> {
    question.fields(|fields| {
        let out = Out {
            answer: &mut computed.answer,
            address: None,
        };
        begun(entry, state.metrics(), Source::Fields(fields), out)
    })
}

/// Answers a light request, or hands a heavy one back.
fn begun(
    entry: &'static Entry,
    metrics: &Metrics,
    source: Source<'_>,
    out: Out<'_>,
) -> Result<Option<Prepared>, Problem> {
    let started = Stopwatch::start();
    let begun = guarded(entry, metrics, || entry.begin(source, out));
    // a heavy one is timed when it is worked
    if !matches!(begun, Ok(Some(_))) {
        metrics.observe_calculation(entry.name, started.elapsed());
    }
    begun
}

/// Works a request that was read on the compute pool.
async fn on_the_pool(
    entry: &'static Entry,
    prepared: Prepared,
    solutions: Solutions,
    state: &State,
) -> Result<Computed, Problem> {
    let work = move |call: &Call<'_>, out: Out<'_>| prepared.answer(&call.seeing(solutions), out);
    weighed(entry, true, state, work).await
}

/// Does work here or, when it is heavy, on the compute pool.
async fn weighed(
    entry: &'static Entry,
    is_heavy: bool,
    state: &State,
    work: impl FnOnce(&Call<'_>, Out<'_>) -> Result<(), Problem> + Send + 'static,
) -> Result<Computed, Problem> {
    if !is_heavy {
        return timed(entry, state.metrics(), |out| work(&LIGHT, out));
    }
    let metrics = state.metrics().clone();
    let work = move |call: &Call<'_>| timed(entry, &metrics, |out| work(call, out));
    // boxed, so that light calls do not carry the room that it needs
    Box::pin(state.pool().run(entry.deadline, work)).await
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

fn room(entry: &Entry) -> Computed {
    Computed {
        answer: Vec::with_capacity(1024),
        address: String::with_capacity(if entry.is_flat() { ADDRESS_BYTES } else { 0 }),
    }
}

impl Computed {
    fn out(&mut self, entry: &Entry) -> Out<'_> {
        Out {
            answer: &mut self.answer,
            address: entry.is_flat().then_some(&mut self.address),
        }
    }
}

fn timed(
    entry: &'static Entry,
    metrics: &Metrics,
    work: impl FnOnce(Out<'_>) -> Result<(), Problem>,
) -> Result<Computed, Problem> {
    let started = Stopwatch::start();
    let answered = guarded(entry, metrics, || {
        let mut computed = room(entry);
        work(computed.out(entry)).map(|()| computed)
    });
    metrics.observe_calculation(entry.name, started.elapsed());
    answered
}

/// A panic inside a calculation becomes a problem here, where the response still passes through
/// the layers that a browser depends on.
pub(super) fn guarded<T>(
    entry: &'static Entry,
    metrics: &Metrics,
    work: impl FnOnce() -> Result<T, Problem>,
) -> Result<T, Problem> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        metrics.count_panic();
        Err(Problem::internal(format!("a panic in {}", entry.name)))
    })
}
