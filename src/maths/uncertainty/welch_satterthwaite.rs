//! Effective degrees of freedom of a combined uncertainty.

use super::{DegreesOfFreedom, SPREAD};
use crate::maths::error::MathsError;

/// Effective degrees of freedom of a combination of independent inputs, unrounded.
///
/// # Equation
/// `v_eff = u_c^4 / sum(u_i^4 / v_i)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `v_eff` | effective degrees of freedom (returned) | 1 |
/// | `u_c` | combined standard uncertainty, `u_c^2 = sum(u_i^2)`, not rounded | any |
/// | `u_i` | contribution of one input: sensitivity times standard uncertainty | the same |
/// | `v_i` | degrees of freedom of that input | 1 |
///
/// # Source
/// `[jcgm2008]` G.4.1, equation G.2b; Welch and Satterthwaite.
///
/// # Valid for
/// Uncorrelated inputs. Infinite when no contribution has finite degrees of freedom.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a contribution whose size is
/// outside [`SPREAD`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom,
/// #     welch_satterthwaite::effective_degrees_of_freedom};
/// let nine = DegreesOfFreedom::finite(9.0)?;
/// let found = effective_degrees_of_freedom(&[(0.57, nine), (0.25, DegreesOfFreedom::INFINITE)])?;
/// assert!((found.value().unwrap_or(0.0) - 12.8).abs() < 0.05);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn effective_degrees_of_freedom(
    contributions: &[(f64, DegreesOfFreedom)],
) -> Result<DegreesOfFreedom, MathsError> {
    let mut largest = 0.0_f64;
    for (contribution, _) in contributions {
        largest = largest.max(SPREAD.check(contribution.abs())?);
    }
    if largest == 0.0 {
        return Ok(DegreesOfFreedom::INFINITE);
    }
    // scaled by the largest, so that fourth powers neither overflow nor vanish
    let (mut variance, mut of_variance) = (0.0, 0.0);
    for (contribution, degrees_of_freedom) in contributions {
        let square = (contribution / largest) * (contribution / largest);
        variance += square;
        of_variance += square * square * degrees_of_freedom.reciprocal();
    }
    let effective = variance * variance / of_variance;
    if effective > DegreesOfFreedom::RANGE.max {
        return Ok(DegreesOfFreedom::INFINITE);
    }
    // never below the smallest of the inputs, which is one at least; rounding may say so
    DegreesOfFreedom::finite(effective.max(1.0))
}
