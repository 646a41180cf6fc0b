//! What a measured value with its uncertainty says about limits.

use super::{DegreesOfFreedom, SPREAD, normal, student};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Values and limits accepted.
pub const VALUE: Range = Range::new(
    "measured value or limit",
    -1e100,
    1e100,
    "unit of the quantity",
);

/// A measured value with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Best estimate.
    pub value: f64,
    /// Standard uncertainty, in the same unit.
    pub standard_uncertainty: f64,
    /// Infinite: normally distributed; finite: scaled and shifted Student's t.
    pub degrees_of_freedom: DegreesOfFreedom,
}

/// Probabilities that the true value lies below, within and above an interval; they add up to
/// one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RegionProbabilities {
    /// Below the lower limit.
    pub below: f64,
    /// Within the limits: the conformance probability.
    pub within: f64,
    /// Above the upper limit.
    pub above: f64,
}

/// Probability that a measured quantity lies below, within and above a tolerance interval.
///
/// # Equation
/// `p = Phi((T_U - y) / u) - Phi((T_L - y) / u)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | conformance probability (returned as `within`) | 1 |
/// | y, u | estimate and standard uncertainty | any |
/// | `T_L`, `T_U` | lower and upper limit | the same |
/// | Phi | normal distribution, or Student's t for finite degrees of freedom | 1 |
///
/// # Source
/// `[jcgm2012]` clause 7; the t distribution as in `[jcgm2008s1]` 6.4.9.
///
/// # Valid for
/// Little knowledge before the measurement. Without uncertainty the value is on one side for
/// certain; the limits belong to the interval.
///
/// # Errors
/// [`MathsError::Inconsistent`] when the limits are crossed; [`MathsError::OutOfRange`] or
/// [`MathsError::NonFinite`] for a number outside [`VALUE`] or [`SPREAD`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom,
/// #     conformity::{Estimate, region_probabilities}};
/// let yield_percent = Estimate {
///     value: 20.0,
///     standard_uncertainty: 1.0,
///     degrees_of_freedom: DegreesOfFreedom::INFINITE,
/// };
/// // two standard uncertainties to either side
/// assert!((region_probabilities(yield_percent, 18.0, 22.0)?.within - 0.9545).abs() < 5e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn region_probabilities(
    estimate: Estimate,
    low: f64,
    high: f64,
) -> Result<RegionProbabilities, MathsError> {
    let value = VALUE.check(estimate.value)?;
    let uncertainty = SPREAD.check(estimate.standard_uncertainty)?;
    let (low, high) = (VALUE.check(low)?, VALUE.check(high)?);
    if low > high {
        return Err(MathsError::Inconsistent {
            rule: "the lower limit is not above the upper one",
            left: low,
            right: high,
            unit: VALUE.unit,
        });
    }
    if uncertainty == 0.0 {
        return Ok(certain(value, low, high));
    }
    let below = lower_tail((low - value) / uncertainty, estimate.degrees_of_freedom)?;
    let above = lower_tail((value - high) / uncertainty, estimate.degrees_of_freedom)?;
    // outside the limits the difference of two tails keeps the digits of a small probability
    let within = if value < low {
        lower_tail((value - low) / uncertainty, estimate.degrees_of_freedom)? - above
    } else if high < value {
        lower_tail((high - value) / uncertainty, estimate.degrees_of_freedom)? - below
    } else {
        1.0 - below - above
    };
    Ok(RegionProbabilities {
        below,
        within: within.max(0.0),
        above,
    })
}

const fn certain(value: f64, low: f64, high: f64) -> RegionProbabilities {
    let (below, above) = (value < low, value > high);
    RegionProbabilities {
        below: if below { 1.0 } else { 0.0 },
        within: if below || above { 0.0 } else { 1.0 },
        above: if above { 1.0 } else { 0.0 },
    }
}

fn lower_tail(z: f64, degrees_of_freedom: DegreesOfFreedom) -> Result<f64, MathsError> {
    // so far out that the distribution has nothing left: below 1e-150 even with one degree
    let z = z.clamp(student::ARGUMENT.min, student::ARGUMENT.max);
    if degrees_of_freedom.value().is_none() {
        return Ok(normal::cumulative(z));
    }
    student::cumulative(z, degrees_of_freedom)
}
