//! The compute pool: heavy work never runs on the threads that answer the others.
//!
//! As many permits as cores, and a short queue before them: what would wait longer is refused
//! at once, since an answer that comes too late is work for nothing. A permit belongs to the
//! work and not to the caller: it comes back when the thread is free again.

mod permits;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};
use std::thread;
use std::time::Duration;

use futures_util::future::BoxFuture;
use tokio::sync::oneshot;
use tokio::time::timeout;

use self::permits::{Entered, Job, Permits};
use super::clock::{self, Deadline};
use super::metrics::Metrics;
use crate::api::calculation::Call;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::threads::Lent;

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
    permits: Permits,
    /// Those of the blocks of streams; what waits is bounded by the streams themselves.
    blocks: Permits,
    metrics: Metrics,
}

/// What work came to, or that it panicked.
type Ended<T> = thread::Result<Result<T, Problem>>;

impl Pool {
    pub(super) fn new(size: usize, metrics: Metrics) -> Self {
        let in_use = metrics.permits_in_use().clone();
        Self {
            permits: Permits::new(size, size * QUEUE_PER_PERMIT, in_use),
            blocks: Permits::new(size, usize::MAX, metrics.blocks_in_work().clone()),
            metrics,
        }
    }

    /// Threads that work at once.
    pub(super) fn size(&self) -> usize {
        self.permits.size()
    }

    /// Calls that may wait.
    pub(super) fn queue(&self) -> usize {
        self.permits.queue()
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
        let caller = StopWhenDropped::default();
        let limit = Limit::of(deadline);
        let (tell, told) = oneshot::channel();
        let job = self.job(Arc::clone(&caller.0), limit.clone(), work, tell);
        let result = match self.ended(&limit, job, told).await? {
            None => Err(too_late(deadline)),
            Some(Err(_)) => return Err(panicked(&self.metrics)),
            Some(Ok(Err(_))) if limit.has_passed() => Err(too_late(deadline)),
            Some(Ok(result)) => return result,
        };
        self.metrics.count_shed("deadline");
        result
    }

    fn job<T: Send + 'static>(
        &self,
        should_stop: Arc<AtomicBool>,
        limit: Limit,
        work: impl FnOnce(&Call<'_>) -> Result<T, Problem> + Send + 'static,
        tell: oneshot::Sender<Ended<T>>,
    ) -> Job {
        let pool = self.clone();
        Box::new(move || {
            limit.begin();
            let cancelled = || {
                if give_way() && limit.has_passed() {
                    should_stop.store(true, Ordering::Relaxed);
                }
                should_stop.load(Ordering::Relaxed)
            };
            let lend = || pool.lend();
            let call = Call::new(&cancelled).lending(&lend);
            let ended = catch_unwind(AssertUnwindSafe(|| work(&call)));
            // a caller that has gone needs no result
            Box::new(move || drop(tell.send(ended)))
        })
    }

    /// What a job came to; nothing when it did not notice its deadline.
    async fn ended<T>(
        &self,
        limit: &Limit,
        job: Job,
        mut told: oneshot::Receiver<Ended<T>>,
    ) -> Result<Option<Ended<T>>, Problem> {
        let stopped = |_| Problem::internal("the compute pool stopped");
        match self.permits.enter(job) {
            Entered::Begun => {}
            Entered::Full => return Err(self.shed("queue_full")),
            Entered::Waits(place) => match timeout(WAIT, &mut told).await {
                Ok(ended) => return ended.map(Some).map_err(stopped),
                Err(_) if place.give_up() => return Err(self.shed("queue_wait")),
                Err(_) => {}
            },
        }
        match timeout(limit.remaining() + NOTICE, told).await {
            Ok(ended) => ended.map(Some).map_err(stopped),
            Err(_) => Ok(None),
        }
    }

    /// What a block of a stream came to, once it had its turn.
    ///
    /// Blocks have threads of their own, as many as calls have: a stream is to wait for no long
    /// call, nor a call for a stream, and the system shares the cores among them.
    ///
    /// # Errors
    /// 500 when the work panicked.
    pub(super) fn block<T: Send + 'static>(
        &self,
        should_stop: Arc<AtomicBool>,
        work: impl FnOnce(&Call<'_>) -> T + Send + 'static,
    ) -> BoxFuture<'static, Result<T, Problem>> {
        let (tell, told) = oneshot::channel();
        let entered = self.blocks.enter(Box::new(move || {
            let cancelled = || {
                give_way();
                should_stop.load(Ordering::Relaxed)
            };
            let call = Call::new(&cancelled).for_light_work();
            let ended = catch_unwind(AssertUnwindSafe(|| work(&call)));
            // a caller that has gone needs no result
            Box::new(move || drop(tell.send(ended)))
        }));
        let metrics = self.metrics.clone();
        Box::pin(async move {
            let _place = entered;
            match told.await {
                Ok(Ok(came)) => Ok(came),
                Ok(Err(_)) => Err(panicked(&metrics)),
                Err(_) => Err(Problem::internal("the compute pool stopped")),
            }
        })
    }

    /// All threads that are idle; none while others wait for one.
    pub(super) fn lend(&self) -> Lent {
        let held = self.permits.take_free();
        Lent {
            threads: held.len(),
            until_dropped: Some(Box::new(held)),
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

/// Lets others have the core now and then, and says when it did: a light call is not to wait for
/// all of a heavy one.
fn give_way() -> bool {
    let is_time = clock::has_worked_for(SLICE);
    if is_time {
        thread::yield_now();
    }
    is_time
}

/// Time that work may take, from when it begins.
#[derive(Debug, Clone)]
struct Limit {
    deadline: Duration,
    until: Arc<OnceLock<Deadline>>,
}

impl Limit {
    fn of(deadline: Duration) -> Self {
        Self {
            deadline,
            until: Arc::default(),
        }
    }

    fn begin(&self) {
        self.until.get_or_init(|| Deadline::after(self.deadline));
    }

    fn has_passed(&self) -> bool {
        self.until.get().is_some_and(|until| until.has_passed())
    }

    fn remaining(&self) -> Duration {
        self.until
            .get()
            .map_or(self.deadline, |until| until.remaining())
    }
}

fn panicked(metrics: &Metrics) -> Problem {
    metrics.count_panic();
    Problem::internal("a panic on the compute pool")
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

/// Tells work to stop, when the future that waits for it is dropped: its caller has gone.
#[derive(Default)]
struct StopWhenDropped(Arc<AtomicBool>);

impl Drop for StopWhenDropped {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}
