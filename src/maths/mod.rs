//! The maths: pure functions on typed quantities. No async, no HTTP, no serde, no clock, no
//! randomness, no input or output. Times, seeds and tolerances come in as arguments.
//!
//! Reading order: what can go wrong, ranges, constants, quantities, numerical methods, then
//! the subjects.

pub mod constants;
pub mod error;
pub mod range;

pub mod quantity;

pub mod numeric;

pub mod uncertainty;

pub mod air;
pub mod water;

pub mod chemistry;
pub mod heat;

pub mod ratio;

pub mod refraction;

pub mod extraction;

pub mod basket;

pub mod supply;

pub mod units;

pub mod simulation;

pub mod process;

pub use error::MathsError;
