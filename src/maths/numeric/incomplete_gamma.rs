//! The regularised incomplete gamma functions, a probability and its complement.

use super::special::{ln_gamma, stirling_remainder};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Parameters accepted.
pub const GAMMA_PARAMETER: Range = Range::new("gamma parameter", 1e-3, 1e9, "1");
/// Arguments accepted.
pub const GAMMA_ARGUMENT: Range = Range::new("gamma argument", 0.0, 1e12, "1");
/// From here Stirling's series is used for the factor before the sums.
const STIRLING_FROM: f64 = 10.0;
/// Most terms of the series or the fraction: some times the square root of the largest parameter.
const MOST_TERMS: u32 = 500_000;
/// Stands in for a zero denominator in the continued fraction.
const TINY: f64 = 1e-300;

/// The two incomplete gamma functions over the whole one; they add up to one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GammaRatios {
    /// `P(a, x)`, the lower one.
    pub lower: f64,
    /// `Q(a, x)`, the upper one.
    pub upper: f64,
}

/// `P(a, x)` and `Q(a, x)`.
///
/// The power series of the lower one below `x = a + 1` (`[dlmf2010]` 8.11.4), the continued
/// fraction of the upper one above (8.9.2), summed by the modified Lentz method. Stops when a
/// term changes the sum by less than one unit in the last place; some times `sqrt(a)` terms. The
/// smaller of the two keeps its relative precision (about 1e-13).
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside [`GAMMA_PARAMETER`] and
/// [`GAMMA_ARGUMENT`], [`MathsError::NotConverged`] when the sum has not settled.
///
/// # Example
/// ```
/// # use extraction_maths::maths::numeric::incomplete_gamma::gamma_ratios;
/// // a = 1: the exponential distribution
/// assert!((gamma_ratios(1.0, 2.0)?.upper - (-2.0_f64).exp()).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn gamma_ratios(a: f64, x: f64) -> Result<GammaRatios, MathsError> {
    GAMMA_PARAMETER.check(a)?;
    GAMMA_ARGUMENT.check(x)?;
    if x == 0.0 {
        return Ok(GammaRatios {
            lower: 0.0,
            upper: 1.0,
        });
    }
    if x < a + 1.0 {
        let lower = factor(a, x) * series(a, x)?;
        Ok(GammaRatios {
            lower,
            upper: 1.0 - lower,
        })
    } else {
        let upper = factor(a, x) * fraction(a, x)?;
        Ok(GammaRatios {
            lower: 1.0 - upper,
            upper,
        })
    }
}

/// `x^a exp(-x) / gamma(a)`; for a large parameter the leading terms are cancelled by hand.
pub(in crate::maths) fn factor(a: f64, x: f64) -> f64 {
    if a < STIRLING_FROM {
        return libm::exp(a * libm::log(x) - x - ln_gamma(a));
    }
    let away = (x - a) / a;
    let power = a * (libm::log1p(away) - away) - stirling_remainder(a);
    libm::exp(power) * libm::sqrt(a / (2.0 * std::f64::consts::PI))
}

fn series(a: f64, x: f64) -> Result<f64, MathsError> {
    let (mut term, mut sum) = (1.0 / a, 1.0 / a);
    for n in 1..=MOST_TERMS {
        term *= x / (a + f64::from(n));
        sum += term;
        if term <= f64::EPSILON * 0.5 * sum {
            return Ok(sum);
        }
    }
    Err(unsettled(term / sum))
}

fn fraction(a: f64, x: f64) -> Result<f64, MathsError> {
    let mut b = x + 1.0 - a;
    let mut d = 1.0 / away_from_zero(b);
    let (mut c, mut sum, mut change) = (1.0 / TINY, d, 1.0);
    for n in 1..=MOST_TERMS {
        let n = f64::from(n);
        let numerator = n * (a - n);
        b += 2.0;
        d = 1.0 / away_from_zero(b + numerator * d);
        c = away_from_zero(b + numerator / c);
        change = c * d;
        sum *= change;
        if (change - 1.0).abs() <= f64::EPSILON {
            return Ok(sum);
        }
    }
    Err(unsettled(change - 1.0))
}

const fn unsettled(residual: f64) -> MathsError {
    MathsError::NotConverged {
        method: "incomplete gamma function",
        iterations: MOST_TERMS,
        residual,
    }
}

const fn away_from_zero(value: f64) -> f64 {
    if value.abs() < TINY { TINY } else { value }
}
