//! When to stop a shot: a scale that lags is followed reading by reading, and what still comes
//! after the stop is learned from earlier shots.
//!
//! Nothing here knows a clock or keeps a shot: a [`Tracker`] is a value that can be taken apart
//! into numbers and put together again bit for bit.
//!
//! Reading order: the filter, what comes after the stop, the empty cup, the flowing shot, the
//! tracker that joins them, what it foretells, its numbers.

pub mod estimate;

pub mod drain;

mod clock;
mod flowing;
mod waiting;

pub mod tracker;

pub mod outlook;

mod snapshot;

pub use drain::{Drain, Drained};
pub use estimate::Estimate;
pub use outlook::{Outlook, Phase};
pub use tracker::{Fault, Settings, Taken, Tracker};
