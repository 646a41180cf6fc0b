//! The compute pool: heavy work never runs on the threads that answer the others.
//!
//! As many permits as cores, and a short queue before them: what would wait longer is refused
//! at once, since an answer that comes too late is work for nothing. A permit belongs to the
//! work and not to the caller: it comes back when the thread is free again.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use super::clock::{self, Deadline};
use super::metrics::Metrics;
use crate::api::batch::Lent;
use crate::api::calculation::Call;
use crate::api::problem::{Problem, ProblemCode};

/// Longest wait for a permit.
pub(super) const WAIT: Duration = Duration::from_millis(100);
/// Calls that may wait for each permit there is.
const QUEUE_PER_PERMIT: usize = 1;
/// Work after which a thread lets others go first where they wait: a fraction of what the
/// system's scheduler would let it work, and of the time that a light call may take.
const SLICE: Duration = Duration::from_micros(500);
/// Time after the deadline in which work should have noticed it.
const NOTICE: Duration = Duration::from_millis(50);

/// Permits for heavy work.
#[derive(Debug, Clone)]
pub(super) struct Pool {
    permits: Arc<Semaphore>,
    size: usize,
    waiting: Arc<AtomicUsize>,
    metrics: Metrics,
}

impl Pool {
    pub(super) fn new(size: usize, metrics: Metrics) -> Self {
        Self {
            permits: Arc::new(Semaphore::new(size)),
            size,
            waiting: Arc::default(),
            metrics,
        }
    }

    /// Threads that work at once.
    pub(super) const fn size(&self) -> usize {
        self.size
    }

    /// Calls that may wait.
    pub(super) const fn queue(&self) -> usize {
        self.size * QUEUE_PER_PERMIT
    }

    /// The result of `work`, which is told its call.
    ///
    /// # Errors
    /// What `work` answers; 503 when there is no permit, or when the deadline passed first; 500
    /// when it panicked. When the caller goes away the work is told so by its call.
    pub(super) async fn run<T: Send + 'static>(
        &self,
        deadline: Duration,
        work: impl FnOnce(&Call<'_>) -> Result<T, Problem> + Send + 'static,
    ) -> Result<T, Problem> {
        let held = self.enter().await?;
        let until = Deadline::after(deadline);
        let abandoned = Abandon::default();
        let is_abandoned = Arc::clone(&abandoned.0);
        let worker = tokio::task::spawn_blocking(move || {
            let cancelled = || {
                // others wait for the core: a light call must not wait for a slice of heavy work
                if clock::has_worked_for(SLICE) {
                    std::thread::yield_now();
                }
                is_abandoned.load(Ordering::Relaxed) || until.has_passed()
            };
            let result = catch_unwind(AssertUnwindSafe(|| work(&Call::new(&cancelled))));
            drop(held);
            result
        });
        let result = match tokio::time::timeout(deadline + NOTICE, worker).await {
            Err(_) => Err(too_late(deadline)),
            Ok(Err(stopped)) => Err(Problem::internal(format!("the compute pool: {stopped}"))),
            Ok(Ok(Err(_))) => {
                self.metrics.count_panic();
                Err(Problem::internal("a panic on the compute pool"))
            }
            Ok(Ok(Ok(Err(_)))) if until.has_passed() => Err(too_late(deadline)),
            Ok(Ok(Ok(result))) => result,
        };
        if result.is_err() && until.has_passed() {
            self.metrics.count_shed("deadline");
        }
        result
    }

    /// All threads that are idle; none while others wait for one.
    pub(super) fn lend(&self) -> Lent {
        let try_acquire = || Arc::clone(&self.permits).try_acquire_owned().ok();
        let held: Vec<_> = std::iter::from_fn(try_acquire)
            .map(|permit| Held::new(permit, self.metrics.clone()))
            .collect();
        Lent {
            threads: held.len(),
            until_dropped: Some(Box::new(held)),
        }
    }

    /// A permit, after a short wait at most.
    async fn enter(&self) -> Result<Held, Problem> {
        let free = Arc::clone(&self.permits).try_acquire_owned();
        let permit = match free {
            Ok(permit) => permit,
            Err(_) => self.queued().await?,
        };
        Ok(Held::new(permit, self.metrics.clone()))
    }

    async fn queued(&self) -> Result<OwnedSemaphorePermit, Problem> {
        let place = Place::take(&self.waiting);
        if place.is_beyond(self.queue()) {
            return Err(self.shed("queue_full"));
        }
        let permit = Arc::clone(&self.permits).acquire_owned();
        match tokio::time::timeout(WAIT, permit).await {
            Ok(Ok(permit)) => Ok(permit),
            Ok(Err(_)) | Err(_) => Err(self.shed("queue_wait")),
        }
    }

    fn shed(&self, reason: &'static str) -> Problem {
        self.metrics.count_shed(reason);
        Problem::new(
            ProblemCode::Overloaded,
            "every compute thread is busy, and enough calls wait for one",
        )
        .with_retry_after(soon())
    }
}

fn too_late(deadline: Duration) -> Problem {
    Problem::new(
        ProblemCode::DeadlineExceeded,
        format!(
            "the calculation did not end within {} s",
            deadline.as_secs_f64()
        ),
    )
    .with_retry_after(soon())
}

/// Seconds from 1 to 5, different from caller to caller, so that they do not all come back at
/// once.
fn soon() -> u32 {
    let mut byte = [0];
    // without a random source all come back after the shortest wait
    let _ = getrandom::fill(&mut byte);
    1 + u32::from(byte[0] % 5)
}

/// Tells work that its caller has gone: set when the future that waits is dropped.
#[derive(Default)]
struct Abandon(Arc<AtomicBool>);

impl Drop for Abandon {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// A place in the queue, given up when dropped.
struct Place {
    waiting: Arc<AtomicUsize>,
    before: usize,
}

impl Place {
    fn take(waiting: &Arc<AtomicUsize>) -> Self {
        Self {
            before: waiting.fetch_add(1, Ordering::Relaxed),
            waiting: Arc::clone(waiting),
        }
    }

    const fn is_beyond(&self, queue: usize) -> bool {
        self.before >= queue
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.waiting.fetch_sub(1, Ordering::Relaxed);
    }
}

/// A permit, uncounted and given back when dropped.
struct Held {
    _permit: OwnedSemaphorePermit,
    metrics: Metrics,
}

impl Held {
    fn new(permit: OwnedSemaphorePermit, metrics: Metrics) -> Self {
        metrics.permits_in_use().inc();
        Self {
            _permit: permit,
            metrics,
        }
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        self.metrics.permits_in_use().dec();
    }
}
