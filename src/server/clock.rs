//! The only place that reads a clock. No answer depends on it: durations and log stamps do.

use std::fmt;
use std::time::{Duration, Instant};

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

/// The present, as RFC 3339 in UTC with microseconds.

pub(super) fn stamp() -> impl fmt::Display {
    Stamp(jiff::Timestamp::now())
}

struct Stamp(jiff::Timestamp);

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.6}", self.0)
    }
}
