//! Whether two measured values differ.

use super::coverage::coverage_factor;
use super::welch_satterthwaite::effective_degrees_of_freedom;
use super::{DegreesOfFreedom, SPREAD, student};
use crate::maths::error::MathsError;

/// A value, its standard uncertainty, and how well that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Best estimate.
    pub value: f64,
    /// Standard uncertainty.
    pub standard_uncertainty: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: DegreesOfFreedom,
}

/// What two values say about their difference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Second value less the first.
    pub difference: f64,
    /// Its standard uncertainty.
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom.
    pub degrees_of_freedom: DegreesOfFreedom,
    /// Coverage factor for the probability asked for.
    pub coverage_factor: f64,
    /// Difference over its standard uncertainty; none when that is zero.
    pub t: Option<f64>,
    /// Probability of a difference this large, either way, when there is none.
    pub p_value: Option<f64>,
    /// Difference over the root of the sum of the squared expanded uncertainties; none when
    /// these are zero.
    pub normalised_error: Option<f64>,
}

/// Difference of two independent measured values.
///
/// # Equation
/// `d = y2 - y1`, `u^2(d) = u1^2 + u2^2`, `t = d / u(d)`, `E_n = d / sqrt(U1^2 + U2^2)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | d, u(d) | difference and its standard uncertainty (returned) | of the values |
/// | y1, y2, u1, u2 | values and their standard uncertainties | the same |
/// | U1, U2 | expanded uncertainties, each with its own coverage factor | the same |
/// | t, `E_n` | test statistics (returned) | 1 |
///
/// # Source
/// `[jcgm2008]` 5.1.2 and G.4 (Welch and Satterthwaite) for the difference; `E_n` as in
/// `[iso13528]` (from memory).
///
/// # Valid for
/// Independent values: a shared instrument's calibration must not be counted in both.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for an uncertainty outside
/// [`SPREAD`] or a probability outside [`PROBABILITY`](super::PROBABILITY).
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom, difference::*};
/// let value = |value| Measured {
///     value,
///     standard_uncertainty: 3.0,
///     degrees_of_freedom: DegreesOfFreedom::INFINITE,
/// };
/// let found = difference(value(10.0), Measured { standard_uncertainty: 4.0, ..value(20.0) }, 0.95)?;
/// assert!((found.t.unwrap_or(0.0) - 2.0).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn difference(
    first: Measured,
    second: Measured,
    probability: f64,
) -> Result<Difference, MathsError> {
    let both = [first, second];
    let parts = both.map(|one| (one.standard_uncertainty, one.degrees_of_freedom));
    let degrees_of_freedom = effective_degrees_of_freedom(&parts)?;
    let root = |a: f64, b: f64| SPREAD.check(libm::hypot(a, b));
    let standard_uncertainty = root(parts[0].0, parts[1].0)?;
    let expanded = |(u, degrees): (f64, DegreesOfFreedom)| {
        Ok::<f64, MathsError>(u * coverage_factor(probability, degrees)?)
    };
    let expanded = root(expanded(parts[0])?, expanded(parts[1])?)?;
    let difference = second.value - first.value;
    let t = (standard_uncertainty > 0.0).then(|| difference / standard_uncertainty);
    let tails = t.map(|t| Ok(2.0 * student::cumulative(-t.abs(), degrees_of_freedom)?));
    Ok(Difference {
        difference,
        standard_uncertainty,
        degrees_of_freedom,
        coverage_factor: coverage_factor(probability, degrees_of_freedom)?,
        t,
        p_value: tails.transpose()?,
        normalised_error: (expanded > 0.0).then(|| difference / expanded),
    })
}
