//! Fisher's F distribution: the ratio of two independent estimates of one variance.

use super::DegreesOfFreedom;
use crate::maths::error::MathsError;
use crate::maths::numeric::special::{UnitPoint, regularised_incomplete_beta};
use crate::maths::range::Range;

/// Ratios of variances accepted.
pub const RATIO: Range = Range::new("ratio of variances", 0.0, 1e150, "1");

/// Probability that an F-distributed ratio is at least this large.
///
/// # Equation
/// `Q = I_x(n2 / 2, n1 / 2)` with `x = n2 / (n2 + n1 F)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Q | probability (returned) | 1 |
/// | F | ratio of the variances | 1 |
/// | n1, n2 | degrees of freedom of numerator and denominator | 1 |
///
/// # Source
/// Definition; `[dlmf2010]` 8.17 for the incomplete beta function.
///
/// # Valid for
/// Ratios inside [`RATIO`], finite degrees of freedom.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a ratio outside,
/// [`MathsError::NoSolution`] for infinite degrees of freedom.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom, fisher::upper_tail};
/// // with two and two degrees of freedom: 1 / (1 + F)
/// let two = DegreesOfFreedom::finite(2.0)?;
/// assert!((upper_tail(3.0, two, two)? - 0.25).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn upper_tail(
    ratio: f64,
    numerator: DegreesOfFreedom,
    denominator: DegreesOfFreedom,
) -> Result<f64, MathsError> {
    let ratio = RATIO.check(ratio)?;
    let (Some(n1), Some(n2)) = (numerator.value(), denominator.value()) else {
        return Err(MathsError::NoSolution {
            equation: "F distribution",
            reason: "its degrees of freedom are finite",
        });
    };
    let at = UnitPoint::from_parts(n2, n1 * ratio)?;
    regularised_incomplete_beta(0.5 * n2, 0.5 * n1, at)
}
