//! Whether the first-order result may be used in place of the distribution.

use super::interval::Coverage;
use super::tolerance::numerical_tolerance;
use crate::maths::error::MathsError;

/// Digits of the standard uncertainty in which the two must agree. The trials are good to one
/// digit more, so their own scatter does not decide.
pub const DIGITS: u8 = 1;

/// How far the first-order interval is from the one that the trials gave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Validation {
    /// Lower ends apart.
    pub low_difference: f64,
    /// Upper ends apart.
    pub high_difference: f64,
    /// What both may be at most.
    pub tolerance: f64,
}

impl Validation {
    /// Whether first order is good enough here.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.low_difference <= self.tolerance && self.high_difference <= self.tolerance
    }
}

/// Validation of a first-order result against the trials.
///
/// # Equation
/// `d_low = |y - U - y_low|`, `d_high = |y + U - y_high|`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `d_low`, `d_high` | differences of the ends (returned) | any |
/// | y, U | best estimate and expanded uncertainty to first order | the same |
/// | `y_low`, `y_high` | ends of the symmetric interval of the trials | the same |
///
/// # Source
/// `[jcgm2008s1]` 8.1; both differences must be within the numerical tolerance of the standard
/// uncertainty, 7.9.2, for [`DIGITS`] digits.
///
/// # Valid for
/// Intervals of one coverage probability.
///
/// # Errors
/// Those of [`numerical_tolerance`] for the standard uncertainty.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::monte_carlo::{interval::Coverage,
/// #     validation::validation};
/// // the sum of four rectangular inputs: 3.92 against 3.88
/// let found = validation(0.0, (2.0, 3.92), Coverage { low: -3.88, high: 3.88 })?;
/// assert!((found.low_difference - 0.04).abs() < 1e-12 && found.holds());
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn validation(
    estimate: f64,
    (standard_uncertainty, expanded): (f64, f64),
    trials: Coverage,
) -> Result<Validation, MathsError> {
    Ok(Validation {
        low_difference: (estimate - expanded - trials.low).abs(),
        high_difference: (estimate + expanded - trials.high).abs(),
        tolerance: numerical_tolerance(standard_uncertainty, DIGITS)?,
    })
}
