//! Many calls in one request: how they are read, and how their answers are joined, in order.
//!
//! Requests of the calls are passed on as they stand in the body, and answers are joined as the
//! bytes that they are: neither is parsed twice.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::OnceLock;

use serde::Deserialize;
use serde_json::value::RawValue;

use super::batch_schema;
use super::decode;
use super::limits::{BATCH_CALLS, RESPONSE_BYTES, TEXT_CHARACTERS};
use super::problem::{Problem, ProblemCode};
use super::registry::Entry;
use super::schemas::Schemas;
use super::shape::{Plan, Shape};
use super::threads::{self, Lend};

/// The last part of the path.
pub const NAME: &str = "batch";

/// Calls worked on before their answers are joined: bounds what is held in memory beyond the
/// answer itself.
const WAVE: usize = 64;

/// A batch as it stands in its body.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Batch<'b> {
    /// The calls, in order.
    #[serde(borrow)]
    pub calls: Vec<BatchCall<'b>>,
}

/// One call of a batch.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BatchCall<'b> {
    /// The caller's name for the call, repeated beside its answer.
    #[serde(borrow, default)]
    pub id: Option<Cow<'b, str>>,
    /// Name of the calculation.
    #[serde(borrow)]
    pub calculation: Cow<'b, str>,
    /// The request, not yet read.
    #[serde(borrow)]
    pub request: &'b RawValue,
}

/// The calls of a body.
///
/// # Errors
/// 400 for text that is not JSON, 422 with every fault of the batch named; what is wrong inside
/// a call's request is told in the place of its answer instead.
pub fn read(body: &[u8]) -> Result<Batch<'_>, Problem> {
    static PLAN: OnceLock<Plan> = OnceLock::new();
    let plan = PLAN.get_or_init(|| {
        let Schemas {
            root, components, ..
        } = batch_schema::request();
        Plan::new(Shape::compile(&root, &components), &[])
    });
    decode::with(body, plan, |batch: &Batch<'_>| {
        batch.calls.len() <= BATCH_CALLS && batch.calls.iter().all(BatchCall::is_bounded)
    })
}

impl BatchCall<'_> {
    fn is_bounded(&self) -> bool {
        let is_bounded = |text: &str| {
            // code points are never more than bytes, which are counted for nothing
            let is_short =
                text.len() <= TEXT_CHARACTERS || text.chars().nth(TEXT_CHARACTERS).is_none();
            is_short && !text.contains('\0')
        };
        is_bounded(&self.calculation) && self.id.as_deref().is_none_or(is_bounded)
    }
}

/// Answers one request of one calculation.
pub type Work<'w> = dyn Fn(&'static Entry, &[u8]) -> Result<Vec<u8>, Problem> + Sync + 'w;

/// How a batch is worked.
#[derive(Clone, Copy)]
pub struct Run<'w> {
    /// The calculations that can be called.
    pub registry: &'static [Entry],
    /// Lends threads for a part of the calls.
    pub lend: &'w Lend<'w>,
    /// Id of the request, for the problems in it.
    pub request_id: &'w str,
    /// Answers one call.
    pub work: &'w Work<'w>,
}

impl std::fmt::Debug for Run<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Run")
            .field("request_id", &self.request_id)
            .finish_non_exhaustive()
    }
}

/// The JSON answer to a batch: one answer or problem for each call, in order.
///
/// Once the answers fill [`RESPONSE_BYTES`], the calls after them are refused with
/// `work_too_large` and not worked; which ones does not depend on the number of threads.
#[must_use]
pub fn answer(batch: &Batch<'_>, run: Run<'_>) -> Vec<u8> {
    let by_name: HashMap<&str, &'static Entry> = run
        .registry
        .iter()
        .map(|entry| (entry.name, entry))
        .collect();
    let mut joined = Joined::new(run.request_id, batch.calls.len());
    for wave in batch.calls.chunks(WAVE) {
        let answers = if joined.is_full {
            wave.iter().map(|_| Err(full())).collect()
        } else {
            work_through(wave, &by_name, run)
        };
        for (call, answer) in wave.iter().zip(answers) {
            joined.add(call, answer);
        }
    }
    joined.finish()
}

type CallAnswer = Result<Vec<u8>, Problem>;

fn work_through(
    calls: &[BatchCall<'_>],
    by_name: &HashMap<&str, &'static Entry>,
    run: Run<'_>,
) -> Vec<CallAnswer> {
    let one = |call: &BatchCall<'_>| match by_name.get(&*call.calculation) {
        Some(entry) => (run.work)(entry, call.request.get().as_bytes()),
        None => Err(unknown(&call.calculation)),
    };
    let lost = || Err(Problem::internal("a call of a batch was not worked"));
    let answers = threads::in_order(calls, run.lend, one).into_iter();
    answers.map(|answer| answer.unwrap_or_else(lost)).collect()
}

fn unknown(name: &str) -> Problem {
    Problem::new(
        ProblemCode::NotFound,
        format!("there is no calculation {name:?}; /v1/capabilities lists them"),
    )
}

fn full() -> Problem {
    Problem::new(
        ProblemCode::WorkTooLarge,
        format!(
            "the answers before this one fill the {RESPONSE_BYTES} bytes of a response; \
             send this call in another batch"
        ),
    )
}

/// Answers written one after the other.
struct Joined<'r> {
    out: Vec<u8>,
    request_id: &'r str,
    left: usize,
    is_first: bool,
    is_full: bool,
}

/// Bytes kept for the problem of each call that finds no place: its fixed texts, an id and a
/// request id of 128 characters, which may be of four bytes or escaped.
const PROBLEM_BYTES: usize = 2048;

impl<'r> Joined<'r> {
    fn new(request_id: &'r str, left: usize) -> Self {
        Self {
            out: b"{\"answers\":[".to_vec(),
            request_id,
            left,
            is_first: true,
            is_full: false,
        }
    }

    fn add(&mut self, call: &BatchCall<'_>, answer: CallAnswer) {
        let start = self.out.len();
        self.left = self.left.saturating_sub(1);
        let comma: &[u8] = if self.is_first { b"" } else { b"," };
        self.is_first = false;
        self.out.extend_from_slice(comma);
        let answer = if self.is_full { Err(full()) } else { answer };
        self.write_answer(call, answer);
        if !self.is_full && self.out.len() > RESPONSE_BYTES - (1 + self.left) * PROBLEM_BYTES {
            self.is_full = true;
            self.out.truncate(start);
            self.out.extend_from_slice(comma);
            self.write_answer(call, Err(full()));
        }
    }

    fn write_answer(&mut self, call: &BatchCall<'_>, answer: CallAnswer) {
        self.out.push(b'{');
        if let Some(id) = &call.id {
            self.write(b"\"id\":", id);
            self.out.push(b',');
        }
        match answer {
            Ok(bytes) => {
                self.out.extend_from_slice(b"\"status\":200,\"answer\":");
                self.out.extend_from_slice(&bytes);
            }
            Err(problem) => {
                self.write(b"\"status\":", &problem.code().status());
                self.write(b",\"problem\":", &problem.document(self.request_id));
            }
        }
        self.out.push(b'}');
    }

    fn write<T: serde::Serialize>(&mut self, name: &[u8], value: &T) {
        self.out.extend_from_slice(name);
        // texts and finite numbers into a vector: nothing that could fail
        let _ = serde_json::to_writer(&mut self.out, value);
    }

    fn finish(mut self) -> Vec<u8> {
        self.out.extend_from_slice(b"]}");
        self.out
    }
}
