//! What can be wrong with numbers. Knows no status code.

use thiserror::Error;

/// A failed step of a calculation.
///
/// `OutOfRange`, `Inconsistent`, `NoSolution` and `WorkLimit` are the caller's to mend;
/// `NotConverged` and `NonFinite` are ours.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MathsError {
    /// A quantity lies outside the interval in which it, or the correlation, holds.
    #[error("{quantity} of {value} {unit} is outside {min} to {max} {unit}")]
    OutOfRange {
        /// Name of the quantity.
        quantity: &'static str,
        /// The value refused.
        value: f64,
        /// Smallest value accepted.
        min: f64,
        /// Largest value accepted.
        max: f64,
        /// Unit of the three numbers.
        unit: &'static str,
    },
    /// Two given quantities cannot both be true.
    #[error("{rule}: {left} against {right} {unit}")]
    Inconsistent {
        /// The rule that was broken, as a sentence without a full stop.
        rule: &'static str,
        /// The value on one side of the rule.
        left: f64,
        /// The value on the other side.
        right: f64,
        /// Unit of both.
        unit: &'static str,
    },
    /// The equation has no solution in the domain.
    #[error("{equation} has no solution: {reason}")]
    NoSolution {
        /// The equation that was to be solved.
        equation: &'static str,
        /// Why there is none.
        reason: &'static str,
    },
    /// An iteration ended before it met its tolerance.
    #[error("{method} did not converge in {iterations} iterations, residual {residual}")]
    NotConverged {
        /// Numerical method.
        method: &'static str,
        /// Iterations made.
        iterations: u32,
        /// Last residual.
        residual: f64,
    },
    /// The work asked for is more than one call may use.
    #[error("{asked} units of work asked, {allowed} allowed")]
    WorkLimit {
        /// Units asked for.
        asked: u64,
        /// Units allowed.
        allowed: u64,
    },
    /// A number that is NaN or infinite where a finite one is needed.
    #[error("{quantity} is not a finite number")]
    NonFinite {
        /// Name of the quantity.
        quantity: &'static str,
    },
}
