//! The control chart of individual values.

use super::{VALUE, count};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Mean range of two normally distributed values over their standard deviation, as tabulated;
/// exactly 2 / sqrt(pi). `[nist-handbook]` section 6.3.2.2
pub const RANGE_OF_TWO: f64 = 1.128;
/// Standard deviations from the centre to either limit. `[nist-handbook]` section 6.3.2.2
pub const LIMIT_WIDTH: f64 = 3.0;
/// How many values a chart is drawn from at least: two moving ranges.
pub const VALUES: Range = Range::new("number of values", 3.0, 1e6, "1");

/// The limits inside which nearly all values of a steady process lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IndividualsLimits {
    /// Mean of the values.
    pub centre: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
    /// Mean of the absolute differences of neighbours.
    pub mean_moving_range: f64,
}

/// Statistical limits of individual values, from the ranges of neighbours.
///
/// # Equation
/// `mean(x) +- 3 R / d2`, `R = sum |x_(i+1) - x_i| / (n - 1)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x | values in the order in which they were made | any |
/// | R | mean moving range | the same |
/// | d2 | [`RANGE_OF_TWO`] | 1 |
/// | n | number of values | 1 |
///
/// # Source
/// `[nist-handbook]` section 6.3.2.2.
///
/// # Valid for
/// Values in order, as many as [`VALUES`] allows. The spread is taken from neighbours, so that
/// a drift does not widen the limits. Limits from few values are rough.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for too few values or one outside
/// [`VALUE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::process::individuals::individuals_limits;
/// // ranges 1 and 2: R = 1.5
/// let limits = individuals_limits(&[18.0, 19.0, 17.0])?;
/// assert!((limits.upper - (18.0 + 3.0 * 1.5 / 1.128)).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn individuals_limits(values: &[f64]) -> Result<IndividualsLimits, MathsError> {
    let n = VALUES.check(count(values.len()))?;
    let (mut sum, mut ranges) = (0.0, 0.0);
    for value in values {
        sum += VALUE.check(*value)?;
    }
    for pair in values.windows(2) {
        ranges += (pair[1] - pair[0]).abs();
    }
    let (centre, mean_moving_range) = (sum / n, ranges / (n - 1.0));
    let width = LIMIT_WIDTH * mean_moving_range / RANGE_OF_TWO;
    Ok(IndividualsLimits {
        centre,
        lower: centre - width,
        upper: centre + width,
        mean_moving_range,
    })
}
