//! The interval of a standard deviation.

use crate::maths::error::MathsError;
use crate::maths::uncertainty::{DegreesOfFreedom, PROBABILITY, SPREAD, chi_squared};

/// An interval that holds the true standard deviation with a given probability.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpreadInterval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Confidence interval of a standard deviation found from a sample.
///
/// # Equation
/// `s sqrt(v / x(1 - a/2)) <= sigma <= s sqrt(v / x(a/2))`, `a = 1 - p`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | sigma | standard deviation, its interval (returned) | any |
/// | s | standard deviation of the sample | the same |
/// | v | degrees of freedom | 1 |
/// | p | coverage probability, as much left out on either side | 1 |
/// | x | [`chi_squared::quantile`] with v degrees of freedom | 1 |
///
/// # Source
/// `[nist-handbook]` section 7.2.3.1, from memory: the square of s over that of sigma, times v, is
/// chi-squared.
///
/// # Valid for
/// Independent, normally distributed values; the interval is far too narrow for values with
/// outliers.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a spread or a probability outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::DegreesOfFreedom;
/// # use extraction_maths::maths::process::spread::spread_interval;
/// // two degrees of freedom: x(p) = -2 ln(1 - p)
/// let interval = spread_interval(1.0, DegreesOfFreedom::finite(2.0)?, 0.95)?;
/// assert!((interval.low - (1.0 / 40.0_f64.ln()).sqrt()).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn spread_interval(
    standard_deviation: f64,
    degrees_of_freedom: DegreesOfFreedom,
    probability: f64,
) -> Result<SpreadInterval, MathsError> {
    SPREAD.check(standard_deviation)?;
    PROBABILITY.check(probability)?;
    let v = degrees_of_freedom.value().unwrap_or(f64::INFINITY);
    let outside = 0.5 * (1.0 - probability);
    let end = |below: f64| {
        let x = chi_squared::quantile(below, degrees_of_freedom)?;
        Ok::<_, MathsError>(standard_deviation * libm::sqrt(v / x))
    };
    Ok(SpreadInterval {
        low: end(1.0 - outside)?,
        high: end(outside)?,
    })
}
