//! The chi-squared distribution: what the square of a spread follows.

use super::{DegreesOfFreedom, PROBABILITY, normal};
use crate::maths::error::MathsError;
use crate::maths::numeric::incomplete_gamma::{GammaRatios, factor, gamma_ratios};
use crate::maths::range::Range;

/// Degrees of freedom accepted.
pub const DEGREES: Range = Range::new("degrees of freedom", 1.0, 1e8, "1");
/// Newton steps and bisections allowed for the quantile; about six are used.
const MOST_STEPS: u32 = 400;

/// Probability that a chi-squared number is at most x.
///
/// # Equation
/// `F(x) = P(n/2, x/2)`, the regularised lower incomplete gamma function
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | F | probability (returned) | 1 |
/// | x | argument, not negative | 1 |
/// | n | degrees of freedom | 1 |
///
/// # Source
/// `[dlmf2010]` 8.2 and 8.11; definition of the distribution.
///
/// # Valid for
/// Degrees of freedom inside [`DEGREES`].
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside, also for infinite degrees of
/// freedom; [`MathsError::NotConverged`] should the sum fail.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom, chi_squared::cumulative};
/// // two degrees of freedom: 1 - exp(-x / 2)
/// let below = cumulative(2.0, DegreesOfFreedom::finite(2.0)?)?;
/// assert!((below - (1.0 - (-1.0_f64).exp())).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn cumulative(x: f64, degrees_of_freedom: DegreesOfFreedom) -> Result<f64, MathsError> {
    Ok(gamma_ratios(half(degrees_of_freedom)?, 0.5 * x)?.lower)
}

/// Number below which a chi-squared one falls with a given probability.
///
/// # Equation
/// `x` with `F(x) = p`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x | quantile (returned) | 1 |
/// | p | probability below | 1 |
/// | F | [`cumulative`] with n degrees of freedom | 1 |
///
/// # Source
/// Newton's method on the logarithm of the smaller tail against the logarithm of x, held inside
/// a shrinking bracket, until the step is below 4e-16; the start is Wilson's and Hilferty's
/// approximation, from memory, which only sets how many steps are made.
///
/// # Valid for
/// Probabilities inside [`PROBABILITY`], degrees of freedom inside [`DEGREES`].
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside,
/// [`MathsError::NotConverged`] should the iteration fail.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom, chi_squared::quantile};
/// // two degrees of freedom: -2 ln(1 - p)
/// let median = quantile(0.5, DegreesOfFreedom::finite(2.0)?)?;
/// assert!((median - 2.0 * 2.0_f64.ln()).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn quantile(probability: f64, degrees_of_freedom: DegreesOfFreedom) -> Result<f64, MathsError> {
    PROBABILITY.check(probability)?;
    let a = half(degrees_of_freedom)?;
    let start = 0.5 * approximate(probability, 2.0 * a)?;
    let aim = Aim { a, probability };
    let bracket = aim.bracket(start)?;
    Ok(2.0 * aim.solve(start, bracket)?)
}

fn half(degrees_of_freedom: DegreesOfFreedom) -> Result<f64, MathsError> {
    let n = degrees_of_freedom.value().unwrap_or(f64::INFINITY);
    Ok(0.5 * DEGREES.check(n)?)
}

/// A first guess, above zero.
fn approximate(probability: f64, n: f64) -> Result<f64, MathsError> {
    let share = 2.0 / (9.0 * n);
    let root = 1.0 - share + normal::quantile(probability)? * libm::sqrt(share);
    let guess = n * root * root * root;
    Ok(if guess > 1e-300 { guess } else { 1e-3 * n })
}

/// The quantile of the gamma distribution with this parameter and this probability below.
struct Aim {
    a: f64,
    probability: f64,
}

impl Aim {
    /// How far, in the logarithm of the smaller tail, x is above the aim, and the rise of that
    /// with the logarithm of x.
    fn excess(&self, x: f64) -> Result<(f64, f64), MathsError> {
        let GammaRatios { lower, upper } = gamma_ratios(self.a, x)?;
        let rise = factor(self.a, x);
        if self.probability < 0.5 {
            let found = lower.max(f64::MIN_POSITIVE);
            Ok((libm::log(found / self.probability), rise / found))
        } else {
            let found = upper.max(f64::MIN_POSITIVE);
            Ok((libm::log((1.0 - self.probability) / found), rise / found))
        }
    }

    fn bracket(&self, start: f64) -> Result<(f64, f64), MathsError> {
        let (mut low, mut high) = (start, start);
        while self.excess(low)?.0 > 0.0 && low > f64::MIN_POSITIVE {
            low *= 0.5;
        }
        while self.excess(high)?.0 < 0.0 {
            high *= 2.0;
        }
        Ok((low, high))
    }

    fn solve(&self, start: f64, bracket: (f64, f64)) -> Result<f64, MathsError> {
        let (mut low, mut high) = bracket;
        let mut x = start;
        let mut residual = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            let (excess, rise) = self.excess(x)?;
            residual = excess;
            if excess < 0.0 {
                low = x;
            } else {
                high = x;
            }
            let newton = x * libm::exp(-excess / rise);
            // a Newton step of a few last places is the end, wherever it leads
            if (newton - x).abs() <= 4e-16 * x || high - low <= 2.0 * f64::EPSILON * high {
                return Ok(newton.clamp(low, high));
            }
            let is_inside = low < newton && newton < high;
            x = if is_inside {
                newton
            } else {
                0.5 * (low + high)
            };
        }
        Err(MathsError::NotConverged {
            method: "quantile of chi-squared",
            iterations: MOST_STEPS,
            residual,
        })
    }
}
