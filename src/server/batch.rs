//! `POST /v1/batch`: many calls in one request.

use std::time::Duration;

use actix_web::web::{Bytes, Data, Payload};
use actix_web::{HttpRequest, HttpResponse};

use super::access::Admitted;
use super::request_id::RequestId;

use super::state::State;
use super::{body, calculate, failure, negotiate, teacher};
use crate::api::batch::{self, Batch, BatchCall, Run};
use crate::api::calculation::{Call, UNCANCELLED};
use crate::api::limits::BATCH_BYTES;
use crate::api::lookup;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::registry::Entry;
use crate::api::reserved::Format;
use crate::api::rows::Source;
use crate::api::solutions::Solutions;
use crate::api::threads::{Lend, Lent};

/// The path.
pub(super) const PATH: &str = "/v1/batch";

/// Time in which all calls must be answered; what is left then is refused one by one.
pub(super) const DEADLINE: Duration = Duration::from_secs(10);

/// Most calls that are answered on the thread that read them, and most bytes of their body.
const FEW_CALLS: usize = 16;
const FEW_BYTES: usize = 32 * 1024;

/// Answers a batch.
pub(super) async fn post(
    request: HttpRequest,
    payload: Payload,
    state: Data<State>,
) -> HttpResponse {
    if let Err(problem) = plain(&request) {
        return failure::response(problem);
    }
    let body = match body::json(&request, payload, state.settings(), BATCH_BYTES).await {
        Ok(body) => body,
        Err(problem) => return failure::response(problem),
    };
    let solutions = state.teacher().solutions_for(request.headers());
    let job = Job {
        request_id: RequestId::of(&request),
        admitted: Admitted::of(&request),
        solutions,
        state: state.as_ref().clone(),
    };
    match answer(body, job).await {
        Ok((out, admitted)) => {
            admitted.attach(&request);
            let mut response = HttpResponse::Ok()
                .content_type("application/json")
                .body(out);
            teacher::keep_to_the_caller(solutions, response.headers_mut());
            response
        }
        Err(problem) => failure::response(problem),
    }
}

/// Refuses another form than JSON, and parts of answers.
fn plain(request: &HttpRequest) -> Result<(), Problem> {
    let (reserved, mut faults) = lookup::beside_body(request.query_string())?;
    let is_json = matches!(reserved.format, None | Some(Format::Json));
    let given = [
        ("/format", !is_json),
        ("/select", reserved.select.is_some()),
        ("/decimal", reserved.decimal_comma.is_some()),
        ("/display", reserved.display),
    ];
    faults.extend(
        given
            .into_iter()
            .filter(|(_, is_given)| *is_given)
            .map(|(pointer, _)| {
                let detail = "the calls of a batch are answered whole, as JSON";
                Fault::new(pointer, FaultCode::Contradictory, detail)
            }),
    );
    if !faults.is_empty() {
        return Err(Problem::invalid(faults));
    }
    match reserved.format {
        Some(_) => Ok(()),
        None => negotiate::media_type(request.headers(), &[("application/json", ())]),
    }
}

/// What a batch needs of its request, on whatever thread it is worked.
struct Job {
    request_id: String,
    admitted: Admitted,
    solutions: Solutions,
    state: State,
}

type Answered = Result<(Vec<u8>, Admitted), Problem>;

async fn answer(body: Bytes, job: Job) -> Answered {
    if body.len() <= FEW_BYTES {
        let batch = batch::read(&body)?;
        if is_light(&batch, job.state.registry()) {
            return job.answer(&batch, (&UNCANCELLED, &Lent::default));
        }
    }
    let pool = job.state.pool().clone();
    let lender = pool.clone();
    let work = move |call: &Call<'_>| {
        let batch = batch::read(&body)?;
        job.answer(&batch, (call, &|| lender.lend()))
    };
    pool.run(DEADLINE, work).await
}

fn is_light(batch: &Batch<'_>, registry: &[Entry]) -> bool {
    let is_heavy = |call: &BatchCall<'_>| {
        let entry = registry.iter().find(|entry| entry.name == call.calculation);
        let source = Source::Json(call.request.get().as_bytes());
        entry.is_some_and(|entry| entry.is_heavy(source))
    };
    batch.calls.len() <= FEW_CALLS && !batch.calls.iter().any(is_heavy)
}

impl Job {
    fn answer(mut self, batch: &Batch<'_>, (call, lend): (&Call<'_>, &Lend<'_>)) -> Answered {
        let call = &call.seeing(self.solutions);
        // the request itself was counted as one call when it was let in
        let more = batch.calls.len().saturating_sub(1);
        self.state.access().charge(&mut self.admitted, more)?;
        let metrics = self.state.metrics();
        let work = |entry, body: &[u8]| {
            calculate::inside_batch(entry, body, call, metrics)
                .inspect_err(|problem| self.tell(entry, problem))
        };
        let run = Run {
            registry: self.state.registry(),
            lend,
            request_id: &self.request_id,
            work: &work,
        };
        Ok((batch::answer(batch, run), self.admitted))
    }

    /// Counts a problem inside the batch, and logs what only the log may say.
    fn tell(&self, entry: &Entry, problem: &Problem) {
        self.state.metrics().count_problem(problem);
        if let Some(context) = problem.private() {
            let (request_id, calculation) = (&self.request_id, entry.name);
            tracing::error!(request_id, calculation, context, "a call of a batch failed");
        }
    }
}
