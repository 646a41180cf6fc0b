//! Uncertainty of measurement after the GUM: distributions, evaluation of the inputs (type A
//! and B), their combination, and what may be said about a limit.
//!
//! Reading order: degrees of freedom, the two distributions, the inputs, the combination, the
//! coverage factor, conformity; then the same by drawing from the distributions, and
//! comparisons: of two values, of groups of readings, of a line with its points.

pub mod degrees_of_freedom;
pub mod normal;
pub mod student;

pub mod chi_squared;

pub mod type_a;
pub mod type_b;

pub mod combine;
pub mod correlations;
pub mod welch_satterthwaite;

pub mod coverage;

pub mod conformity;
pub mod joint_conformity;

pub mod monte_carlo;

pub mod difference;
pub mod fisher;
pub mod straight_line;
pub mod variance_components;

pub use degrees_of_freedom::DegreesOfFreedom;

use crate::maths::range::Range;

/// A probability strictly between impossible and certain.
pub const PROBABILITY: Range = Range::new(
    "probability",
    f64::MIN_POSITIVE,
    1.0 - f64::EPSILON / 2.0,
    "1",
);
/// A standard uncertainty, a standard deviation or a half-width, in the unit of its quantity.
pub const SPREAD: Range = Range::new("uncertainty", 0.0, 1e100, "unit of the quantity");
