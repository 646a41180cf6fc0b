//! Special functions behind the distributions: the beta function and its incomplete ratio.

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Coefficients `B(2k) / (2k (2k - 1))` of the Stirling series, k = 1 to 7.
const STIRLING: [f64; 7] = [
    1.0 / 12.0,
    -1.0 / 360.0,
    1.0 / 1_260.0,
    -1.0 / 1_680.0,
    1.0 / 1_188.0,
    -691.0 / 360_360.0,
    1.0 / 156.0,
];
/// From here the Stirling series above is good to the last bit: its next term is below 3e-17.
const STIRLING_FROM: f64 = 10.0;
/// Most terms of the continued fraction; a few dozen are used.
const MOST_TERMS: u32 = 2_000;
/// Stands in for a zero denominator in the continued fraction.
const TINY: f64 = 1e-300;

/// Parameters accepted by [`regularised_incomplete_beta`].
pub const BETA_PARAMETER: Range = Range::new("beta parameter", 1e-3, 1e15, "1");

/// A point of the unit interval with its complement, each to full relative precision.
///
/// Near one the complement holds the digits that `1 - x` has lost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnitPoint {
    x: f64,
    complement: f64,
}

impl UnitPoint {
    /// The point `part / (part + rest)` of two parts that are not negative and not both zero.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] when a part is negative or not
    /// finite, or when both are zero.
    pub const fn from_parts(part: f64, rest: f64) -> Result<Self, MathsError> {
        const PART: Range = Range::new("part of a ratio", 0.0, f64::MAX / 4.0, "1");
        const WHOLE: Range = Range::new("sum of the parts", f64::MIN_POSITIVE, f64::MAX, "1");
        match (PART.check(part), PART.check(rest)) {
            (Ok(part), Ok(rest)) => match WHOLE.check(part + rest) {
                Ok(whole) => Ok(Self {
                    x: part / whole,
                    complement: rest / whole,
                }),
                Err(error) => Err(error),
            },
            (Err(error), _) | (_, Err(error)) => Err(error),
        }
    }

    const fn mirrored(self) -> Self {
        Self {
            x: self.complement,
            complement: self.x,
        }
    }

    fn ln(self) -> f64 {
        if self.x < 0.5 {
            libm::log(self.x)
        } else {
            libm::log1p(-self.complement)
        }
    }
}

/// Natural logarithm of the gamma function of a positive number.
#[must_use]
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}

/// Natural logarithm of the beta function of two positive numbers.
///
/// For large arguments the leading terms of Stirling's series are cancelled by hand, since the
/// difference of three large logarithms would lose the digits. Relative error of the beta
/// function about 1e-14.
#[must_use]
pub fn ln_beta(a: f64, b: f64) -> f64 {
    let (small, large) = if a < b { (a, b) } else { (b, a) };
    if large < STIRLING_FROM {
        return ln_gamma(small) + ln_gamma(large) - ln_gamma(small + large);
    }
    let sum = small + large;
    let correction = stirling_remainder(large) - stirling_remainder(sum);
    let shrink = -(large - 0.5) * libm::log1p(small / large);
    if small < STIRLING_FROM {
        ln_gamma(small) + correction + shrink - small * (libm::log(sum) - 1.0)
    } else {
        let half_ln_two_pi = 0.5 * libm::log(2.0 * std::f64::consts::PI);
        half_ln_two_pi + stirling_remainder(small) + correction + shrink
            - small * libm::log1p(large / small)
            - 0.5 * libm::log(small)
    }
}

/// What Stirling's formula `(x - 1/2) ln x - x + ln(2 pi) / 2` lacks of `ln gamma(x)`.
pub(super) fn stirling_remainder(x: f64) -> f64 {
    let inverse_square = 1.0 / (x * x);
    let series = STIRLING
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * inverse_square + coefficient);
    series / x
}

/// Regularised incomplete beta function `I_x(a, b)`, a probability.
///
/// Continued fraction (`[dlmf2010]` 8.17.22, even part) on whichever of `I_x(a, b)` and `1 - I_(1-x)(b, a)`
/// converges fast, summed by the modified Lentz method. Stops when a term changes the product
/// by less than one unit in the last place; a few dozen terms, each five divisions. The result
/// keeps its relative precision (about 1e-13) wherever it is the smaller of the two.
///
/// # Errors
/// [`MathsError::OutOfRange`] when a parameter is outside [`BETA_PARAMETER`],
/// [`MathsError::NotConverged`] when the fraction has not settled in 2000 terms.
pub fn regularised_incomplete_beta(a: f64, b: f64, at: UnitPoint) -> Result<f64, MathsError> {
    BETA_PARAMETER.check(a)?;
    BETA_PARAMETER.check(b)?;
    if at.x == 0.0 || at.complement == 0.0 {
        return Ok(at.x);
    }
    if at.x < (a + 1.0) / (a + b + 2.0) {
        leading_part(a, b, at)
    } else {
        Ok(1.0 - leading_part(b, a, at.mirrored())?)
    }
}

/// `x^a (1-x)^b / (a B(a, b))` times the continued fraction.
fn leading_part(a: f64, b: f64, at: UnitPoint) -> Result<f64, MathsError> {
    let power = a * at.ln() + b * at.mirrored().ln() - ln_beta(a, b);
    Ok(libm::exp(power) / a * continued_fraction(a, b, at)?)
}

/// The fraction in even steps, its partial denominators written with the complement of x: for a
/// large a and an x near one the plain form subtracts nearly equal numbers.
fn continued_fraction(a: f64, b: f64, at: UnitPoint) -> Result<f64, MathsError> {
    let (x, first) = (at.x, a * at.complement - b * at.x + 1.0);
    let mut fraction = away_from_zero(a * first / (a + 1.0));
    let (mut c, mut d, mut change) = (fraction, 0.0, 1.0);
    for term in 1..=MOST_TERMS {
        let m = f64::from(term);
        let odd = a + 2.0 * m - 1.0;
        let share = m * (b - m) * x / odd;
        let numerator = (a + m - 1.0) * ((a + b + m - 1.0) / odd) * x * share;
        let step = (a + m) / (odd + 2.0);
        let denominator = m + share + step * (first + m * (1.0 + at.complement));
        d = 1.0 / away_from_zero(denominator + numerator * d);
        c = away_from_zero(denominator + numerator / c);
        change = c * d;
        fraction *= change;
        if (change - 1.0).abs() <= f64::EPSILON {
            return Ok(a / fraction);
        }
    }
    Err(MathsError::NotConverged {
        method: "continued fraction of the incomplete beta function",
        iterations: MOST_TERMS,
        residual: change - 1.0,
    })
}

const fn away_from_zero(value: f64) -> f64 {
    if value.abs() < TINY { TINY } else { value }
}
