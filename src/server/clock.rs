//! The only place that reads a clock. No answer depends on it: durations and log stamps do.

use std::cell::{Cell, RefCell};
use std::time::{Duration, Instant};

use super::digits;

/// A moment, for measuring how long something took.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stopwatch(Instant);

impl Stopwatch {
    /// Starts measuring.
    pub(super) fn start() -> Self {
        Self(Instant::now())
    }

    /// Time since the start.
    pub(super) fn elapsed(self) -> Duration {
        self.0.elapsed()
    }
}

/// A moment that work must not go beyond.
#[derive(Debug, Clone, Copy)]
pub(super) struct Deadline(Instant);

impl Deadline {
    /// The moment that is `time` away.
    pub(super) fn after(time: Duration) -> Self {
        Self(Instant::now() + time)
    }

    /// Whether it is in the past.
    pub(super) fn has_passed(self) -> bool {
        Instant::now() >= self.0
    }

    /// Time until it; none when it is in the past.
    pub(super) fn remaining(self) -> Duration {
        self.0.saturating_duration_since(Instant::now())
    }
}

thread_local! {
    /// When this thread last let others go first.
    static LAST_PAUSE: Cell<Option<Instant>> = const { Cell::new(None) };
}

/// Whether this thread has worked for `slice` since this last said so.
pub(super) fn has_worked_for(slice: Duration) -> bool {
    let now = Instant::now();
    LAST_PAUSE.with(|last| {
        let is_over = last.get().is_none_or(|last| now - last >= slice);
        if is_over {
            last.set(Some(now));
        }
        is_over
    })
}

thread_local! {
    /// The last second that was written, and its text.
    static SECOND: RefCell<(i64, String)> = const { RefCell::new((i64::MIN, String::new())) };
}

/// Appends the present, as RFC 3339 in UTC with microseconds.
///
/// The text of a second is kept, since a busy service writes thousands of lines in it.
pub(super) fn push_stamp(out: &mut String) {
    let now = jiff::Timestamp::now();
    SECOND.with_borrow_mut(|(second, text)| {
        if *second != now.as_second() {
            *second = now.as_second();
            *text = jiff::Timestamp::from_second(now.as_second())
                .unwrap_or(now)
                .to_string();
        }
        out.push_str(text.trim_end_matches('Z'));
    });
    out.push('.');
    digits::push_padded::<6>(out, now.subsec_microsecond().unsigned_abs());
    out.push('Z');
}
