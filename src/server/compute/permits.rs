//! Permits to work, and the queue of work before them.
//!
//! A thread that has ended its work goes on with what waits longest, without sleeping in between:
//! under load a core is never idle while there is work for it.

use std::cell::Cell;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use prometheus::IntGauge;
use tokio::runtime::Handle;

/// Work that can begin on any thread; what it returns tells its caller, and is called once the
/// permit is free again.
pub(super) type Job = Box<dyn FnOnce() -> Tell + Send>;
/// Tells a caller.
pub(super) type Tell = Box<dyn FnOnce() + Send>;

/// As many permits as work may go on at once.
#[derive(Debug, Clone)]
pub(super) struct Permits(Arc<Shared>);

#[derive(Debug)]
struct Shared {
    size: usize,
    /// Work that may wait.
    queue: usize,
    state: Mutex<State>,
    in_use: IntGauge,
}

/// While a permit is free nothing waits, but for the moment before it is taken.
struct State {
    free: usize,
    waiting: VecDeque<Waiting>,
    last_ticket: u64,
}

struct Waiting {
    ticket: u64,
    job: Job,
    /// Where its caller is: another runtime may end before it.
    runtime: Handle,
}

/// What became of work.
pub(super) enum Entered {
    /// It has begun, or does so at once.
    Begun,
    /// It waits.
    Waits(Place),
    /// It was refused: enough waits.
    Full,
}

impl Permits {
    /// So many permits, before which so much work may wait; `in_use` counts those that are taken.
    pub(super) fn new(size: usize, queue: usize, in_use: IntGauge) -> Self {
        let state = State {
            free: size,
            waiting: VecDeque::new(),
            last_ticket: 0,
        };
        Self(Arc::new(Shared {
            size,
            queue,
            state: Mutex::new(state),
            in_use,
        }))
    }

    pub(super) fn size(&self) -> usize {
        self.0.size
    }

    /// Work that may wait.
    pub(super) fn queue(&self) -> usize {
        self.0.queue
    }

    /// Begins work on a blocking thread of the present runtime, or lets it wait.
    pub(super) fn enter(&self, job: Job) -> Entered {
        let runtime = Handle::current();
        let mut state = self.0.lock();
        if state.free > 0 {
            let held = self.take(&mut state);
            drop(state);
            held.begin(&runtime, job);
            return Entered::Begun;
        }
        if state.waiting.len() >= self.0.queue {
            return Entered::Full;
        }
        state.last_ticket += 1;
        let ticket = state.last_ticket;
        state.waiting.push_back(Waiting {
            ticket,
            job,
            runtime,
        });
        Entered::Waits(Place {
            permits: self.clone(),
            ticket,
        })
    }

    /// All permits that are free.
    pub(super) fn take_free(&self) -> Vec<Held> {
        let mut state = self.0.lock();
        (0..state.free).map(|_| self.take(&mut state)).collect()
    }

    fn take(&self, state: &mut State) -> Held {
        state.free -= 1;
        self.0.in_use.inc();
        Held(self.clone())
    }

    /// Begins what waits while there are permits.
    ///
    /// Work that a runtime does not take, since it ends, is dropped at once and its permit with
    /// it. That permit is found here again, so that nothing nests however much waits.
    fn begin_waiting(&self) {
        let Some(_only) = Beginning::alone() else {
            return;
        };
        loop {
            let mut state = self.0.lock();
            if state.free == 0 {
                return;
            }
            let Some(next) = state.waiting.pop_front() else {
                return;
            };
            let held = self.take(&mut state);
            drop(state);
            held.begin(&next.runtime, next.job);
        }
    }
}

thread_local! {
    static IS_BEGINNING: Cell<bool> = const { Cell::new(false) };
}

/// This thread begins what waits, once at a time.
struct Beginning;

impl Beginning {
    fn alone() -> Option<Self> {
        (!IS_BEGINNING.replace(true)).then(|| Self)
    }
}

impl Drop for Beginning {
    fn drop(&mut self) {
        IS_BEGINNING.set(false);
    }
}

impl Shared {
    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A permit: given back when dropped.
#[derive(Debug)]
pub(super) struct Held(Permits);

impl Held {
    fn begin(self, runtime: &Handle, job: Job) {
        runtime.spawn_blocking(move || self.work_off(job));
    }

    /// Works `job`, and what waits by then, until nothing does.
    fn work_off(self, job: Job) {
        let mut work = Some((self, job));
        while let Some((held, job)) = work {
            let tell = job();
            work = held.next();
            tell();
        }
    }

    fn next(self) -> Option<(Self, Job)> {
        let next = self.0.0.lock().waiting.pop_front();
        next.map(|next| (self, next.job))
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        self.0.0.lock().free += 1;
        self.0.0.in_use.dec();
        self.0.begin_waiting();
    }
}

/// A place in the queue, given up when dropped.
pub(super) struct Place {
    permits: Permits,
    ticket: u64,
}

impl Place {
    /// Gives the place up; false when the work has begun already.
    pub(super) fn give_up(&self) -> bool {
        let mut state = self.permits.0.lock();
        let is_it = |waiting: &Waiting| waiting.ticket == self.ticket;
        let place = state.waiting.iter().position(is_it);
        let given_up = place.and_then(|place| state.waiting.remove(place));
        // what the job holds is dropped without the lock
        drop(state);
        given_up.is_some()
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.give_up();
    }
}

impl std::fmt::Debug for State {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("State")
            .field("free", &self.free)
            .field("waiting", &self.waiting.len())
            .finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::sync::{Arc, mpsc};
    use std::time::Duration;

    use prometheus::IntGauge;

    use super::{Entered, Job, Permits};

    fn permits(size: usize, queue: usize) -> Permits {
        Permits::new(size, queue, IntGauge::new("in_use", "Permits").unwrap())
    }

    /// Runs `test` where work can begin.
    fn on_a_runtime(test: impl FnOnce()) {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        runtime.block_on(async { test() });
    }

    /// Work that goes on until it is told to end, and says where it ended.
    fn held_up(ended: &mpsc::Sender<std::thread::ThreadId>) -> (Job, mpsc::Sender<()>) {
        let (end, told) = mpsc::channel();
        let ended = ended.clone();
        let job: Job = Box::new(move || {
            told.recv().unwrap_or_default();
            Box::new(move || ended.send(std::thread::current().id()).unwrap_or_default())
        });
        (job, end)
    }

    #[test]
    fn what_waits_goes_on_on_the_thread_that_has_ended() {
        on_a_runtime(|| {
            let permits = permits(1, 1);
            let (ended, at) = mpsc::channel();
            let (first, end_first) = held_up(&ended);
            let (second, end_second) = held_up(&ended);
            let (third, _) = held_up(&ended);
            assert!(matches!(permits.enter(first), Entered::Begun));
            let Entered::Waits(place) = permits.enter(second) else {
                panic!("nothing waited before");
            };
            assert!(matches!(permits.enter(third), Entered::Full));
            end_first.send(()).unwrap();
            let thread = at.recv().unwrap();
            assert!(!place.give_up(), "it has begun");
            assert!(permits.take_free().is_empty());
            end_second.send(()).unwrap();
            assert_eq!(at.recv().unwrap(), thread);
        });
    }

    #[test]
    fn a_place_given_up_is_never_worked_and_makes_room() {
        on_a_runtime(|| {
            let permits = permits(1, 1);
            let (ended, at) = mpsc::channel();
            let (first, end_first) = held_up(&ended);
            permits.enter(first);
            let worked = Arc::new(AtomicUsize::new(0));
            let count = |worked: &Arc<AtomicUsize>| -> Job {
                let worked = Arc::clone(worked);
                Box::new(move || {
                    worked.fetch_add(1, Ordering::Relaxed);
                    Box::new(|| ())
                })
            };
            let Entered::Waits(place) = permits.enter(count(&worked)) else {
                panic!("nothing waited before");
            };
            assert!(place.give_up());
            assert!(!place.give_up(), "it is gone");
            drop(permits.enter(count(&worked)));
            assert_eq!(Arc::strong_count(&worked), 1, "both were dropped");
            let (last, end_last) = held_up(&ended);
            let Entered::Waits(_place) = permits.enter(last) else {
                panic!("there was no room");
            };
            for end in [end_first, end_last] {
                end.send(()).unwrap();
                at.recv().unwrap();
            }
            assert_eq!(worked.load(Ordering::Relaxed), 0);
        });
    }

    #[test]
    fn permits_that_were_lent_go_to_what_waits_when_they_come_back() {
        on_a_runtime(|| {
            let permits = permits(2, 2);
            let lent = permits.take_free();
            assert_eq!(lent.len(), 2);
            let (ended, at) = mpsc::channel();
            let entered = [(); 2].map(|()| {
                let (job, end) = held_up(&ended);
                end.send(()).unwrap();
                permits.enter(job)
            });
            assert!(entered.iter().all(|it| matches!(it, Entered::Waits(_))));
            assert!(at.recv_timeout(Duration::from_millis(20)).is_err());
            drop(lent);
            at.recv().unwrap();
            at.recv().unwrap();
        });
    }

    /// Thousands of jobs of a runtime that has ended are dropped, and those of others are worked.
    #[test]
    fn a_runtime_that_has_ended_takes_nobody_elses_work_with_it() {
        let permits = permits(1, usize::MAX);
        let (ended, at) = mpsc::channel();
        let mut places = Vec::new();
        let lent = permits.take_free();
        let unworked = Arc::new(());
        on_a_runtime(|| {
            for _ in 0..100_000 {
                let unworked = Arc::clone(&unworked);
                places.push(permits.enter(Box::new(move || {
                    drop(unworked);
                    unreachable!("the runtime has ended")
                })));
            }
        });
        on_a_runtime(|| {
            let (job, end) = held_up(&ended);
            end.send(()).unwrap();
            places.push(permits.enter(job));
            drop(lent);
            at.recv().unwrap();
        });
        assert_eq!(Arc::strong_count(&unworked), 1);
        assert_eq!(permits.take_free().len(), 1);
    }

    #[test]
    fn no_more_is_worked_at_once_than_there_are_permits_and_all_come_back() {
        on_a_runtime(|| {
            let permits = permits(3, 500);
            let at_once = Arc::new(AtomicUsize::new(0));
            let (told, answers) = mpsc::channel();
            let entered: Vec<Entered> = (0..500)
                .map(|_| {
                    let (at_once, told) = (Arc::clone(&at_once), told.clone());
                    permits.enter(Box::new(move || {
                        let present = at_once.fetch_add(1, Ordering::SeqCst) + 1;
                        std::thread::yield_now();
                        at_once.fetch_sub(1, Ordering::SeqCst);
                        Box::new(move || told.send(present).unwrap_or_default())
                    }))
                })
                .collect();
            drop(told);
            let most = answers.iter().inspect(|present| assert!(*present <= 3));
            assert_eq!(most.count(), 500);
            drop(entered);
            // the last permit comes back before its work is told
            assert_eq!(permits.take_free().len(), 3);
        });
    }
}
