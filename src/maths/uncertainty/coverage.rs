//! From a standard to an expanded uncertainty.

use super::{DegreesOfFreedom, student};
use crate::maths::error::MathsError;

/// Coverage factor: what a standard uncertainty is multiplied by to cover a probability.
///
/// # Equation
/// `k = t_p(floor(v_eff))`; the normal quantile when `v_eff` is infinite
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | k | coverage factor (returned) | 1 |
/// | `t_p` | [`student::two_sided_quantile`] for the probability p | 1 |
/// | `v_eff` | effective degrees of freedom, unrounded | 1 |
///
/// # Source
/// `[jcgm2008]` G.3.2, G.4.1 (truncated to the next lower integer) and G.6.4.
///
/// # Valid for
/// Probabilities inside [`PROBABILITY`](super::PROBABILITY); a result that is close to
/// normally distributed.
///
/// # Errors
/// As [`student::two_sided_quantile`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom, coverage::coverage_factor};
/// let k = coverage_factor(0.99, DegreesOfFreedom::finite(16.76)?)?;
/// assert!((k - 2.92).abs() < 0.005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn coverage_factor(probability: f64, effective: DegreesOfFreedom) -> Result<f64, MathsError> {
    student::two_sided_quantile(probability, effective.floor())
}
