//! The answer to a body by rows: a stream that reads, works and writes at once.
//!
//! Nothing is read that cannot be worked soon, and nothing is worked that the caller does not
//! fetch: the stream is asked for its next piece only when the last one has been sent. So its
//! memory is two blocks of rows and two of answers, however long the body is.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use actix_web::Error;
use actix_web::web::{Bytes, BytesMut, Payload};
use futures_util::future::{BoxFuture, Either, poll_immediate, ready, select};
use futures_util::stream::{FuturesOrdered, Stream, StreamExt, unfold};

use super::blocks::{Arrived, Piece};
use crate::api::calculation::Call;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::rows::{Answered, LONGEST_ROW, MOST_ROWS, Rows};
use crate::server::state::State;

/// Blocks that are worked at once, which fills two cores when they are idle.
const IN_FLIGHT: usize = 2;
/// Bytes handed to the connection at once.
const PIECE: usize = 64 * 1024;

/// Everything that the answer to a body by rows needs.
pub(super) struct Exchange {
    pub(super) rows: Arc<dyn Rows>,
    pub(super) request_id: String,
    pub(super) payload: Payload,
    pub(super) state: State,
}

/// The answers to the rows that have arrived and those that still will.
pub(super) fn answers(
    exchange: Exchange,
    start: BytesMut,
) -> impl Stream<Item = Result<Bytes, Error>> {
    let running = Running {
        arrived: Arrived::new(start, exchange.rows.delimiter()),
        ready: exchange.rows.head().into(),
        jobs: FuturesOrdered::new(),
        rows_left: MOST_ROWS,
        idle: exchange.state.settings().rows_idle(),
        is_cancelled: Arc::default(),
        exchange,
    };
    unfold(running, |mut running| async move {
        let piece = running.next().await?;
        Some((piece, running))
    })
}

struct Running {
    exchange: Exchange,
    arrived: Arrived,
    ready: Bytes,
    jobs: FuturesOrdered<BoxFuture<'static, Result<Answered, Problem>>>,
    rows_left: u64,
    idle: Duration,
    is_cancelled: Arc<AtomicBool>,
}

impl Drop for Running {
    fn drop(&mut self) {
        // the caller may have gone: what is still being worked can stop
        self.is_cancelled.store(true, Ordering::Relaxed);
    }
}

impl Running {
    async fn next(&mut self) -> Option<Result<Bytes, Error>> {
        loop {
            if !self.ready.is_empty() {
                return Some(Ok(self.ready.split_to(self.ready.len().min(PIECE))));
            }
            self.take_arrived().await;
            if self.jobs.is_empty() && self.arrived.is_over() {
                return None;
            }
            if let Err(error) = self.wait().await {
                return Some(Err(error));
            }
        }
    }

    /// Takes in what has already arrived and starts work on it.
    async fn take_arrived(&mut self) {
        self.start_blocks(false);
        while self.wants_more() {
            match poll_immediate(self.exchange.payload.next()).await {
                Some(chunk) => self.take(chunk),
                None => break,
            }
            self.start_blocks(false);
        }
        // nothing else to do: a part of a block is better than waiting for the whole
        self.start_blocks(self.jobs.is_empty() || self.arrived.is_over());
    }

    /// Waits for a block to be done, for more to arrive, or for too long.
    async fn wait(&mut self) -> Result<(), Error> {
        if !self.wants_more() {
            return self.finish_block().await;
        }
        if self.jobs.is_empty() {
            match tokio::time::timeout(self.idle, self.exchange.payload.next()).await {
                Ok(chunk) => self.take(chunk),
                Err(_) => self.end(
                    ProblemCode::RequestTimeout,
                    "no row came for too long; the rows after this are not answered",
                ),
            }
            return Ok(());
        }
        let chunk = match select(self.jobs.next(), self.exchange.payload.next()).await {
            Either::Left((Some(done), _)) => return self.finish(done),
            Either::Left((None, _)) => return Ok(()),
            Either::Right((chunk, _)) => chunk,
        };
        self.take(chunk);
        Ok(())
    }

    async fn finish_block(&mut self) -> Result<(), Error> {
        match self.jobs.next().await {
            Some(done) => self.finish(done),
            None => Ok(()),
        }
    }

    fn finish(&mut self, done: Result<Answered, Problem>) -> Result<(), Error> {
        let answered = done.map_err(actix_web::error::ErrorInternalServerError)?;
        let metrics = self.exchange.state.metrics();
        metrics.count_panics(answered.panics);
        metrics.count_non_finite(answered.non_finite);
        self.ready = answered.text.into();
        Ok(())
    }

    fn wants_more(&self) -> bool {
        !self.arrived.is_over() && !self.arrived.is_full()
    }

    fn take(&mut self, chunk: Option<Result<Bytes, actix_web::error::PayloadError>>) {
        match chunk {
            Some(Ok(chunk)) => self.arrived.push(&chunk),
            None => self.arrived.close(),
            Some(Err(_)) => self.end(
                ProblemCode::InvalidEncoding,
                "the body broke off; the rows after this are not answered",
            ),
        }
    }

    fn start_blocks(&mut self, is_hurried: bool) {
        while self.jobs.len() < IN_FLIGHT {
            if self.rows_left == 0 && !self.arrived.is_empty() {
                let detail = format!(
                    "one call answers {MOST_ROWS} rows; the rows after this are not answered"
                );
                return self.end(ProblemCode::BodyTooLarge, &detail);
            }
            match self.arrived.next(is_hurried, self.rows_left) {
                None => return,
                Some(Piece::TooLong) => {
                    let detail = format!(
                        "the row has more than {LONGEST_ROW} bytes, or a quote that is never closed"
                    );
                    self.rows_left -= 1;
                    self.fail(&Problem::new(ProblemCode::BodyTooLarge, detail));
                }
                Some(Piece::Rows(block, rows)) => {
                    self.rows_left -= rows;
                    self.start(block);
                }
            }
        }
    }

    fn start(&mut self, block: Bytes) {
        let rows = Arc::clone(&self.exchange.rows);
        let is_cancelled = Arc::clone(&self.is_cancelled);
        let request_id = self.exchange.request_id.clone();
        let pool = self.exchange.state.pool();
        let work = move |call: &Call<'_>| rows.rows(&block, &request_id, call);
        self.jobs.push_back(pool.block(is_cancelled, work));
    }

    /// Puts a problem in the place of a row.
    fn fail(&mut self, problem: &Problem) {
        let text = self
            .exchange
            .rows
            .failure(problem, &self.exchange.request_id);
        let answered = Answered {
            text,
            ..Answered::default()
        };
        self.jobs.push_back(Box::pin(ready(Ok(answered))));
    }

    /// Ends the answers with a problem.
    fn end(&mut self, code: ProblemCode, detail: &str) {
        self.fail(&Problem::new(code, detail));
        self.arrived.abandon();
    }
}
