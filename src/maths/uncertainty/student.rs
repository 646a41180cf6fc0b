//! Student's t distribution for real degrees of freedom from one.

use super::normal;
use crate::maths::error::MathsError;
use crate::maths::numeric::special::{UnitPoint, ln_beta, regularised_incomplete_beta};
use crate::maths::range::Range;
use crate::maths::uncertainty::DegreesOfFreedom;

/// Arguments accepted; beyond, the square overflows.
pub const ARGUMENT: Range = Range::new("argument of Student's t", -1e150, 1e150, "1");
/// Newton steps and bisections allowed for the quantile; about six are used.
const MOST_STEPS: u32 = 200;

/// Probability that a t-distributed number is at most t.
///
/// # Equation
/// `F(t) = 1 - I_x(n/2, 1/2) / 2` for `t >= 0` with `x = n / (n + t^2)`; `F(-t) = 1 - F(t)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | F | probability (returned) | 1 |
/// | t | argument | 1 |
/// | n | degrees of freedom; infinite: the normal distribution | 1 |
///
/// # Source
/// `[dlmf2010]` 8.17; about one part in 10^13, in the lower tail too.
///
/// # Valid for
/// Arguments inside [`ARGUMENT`], degrees of freedom from one.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for an argument outside,
/// [`MathsError::NotConverged`] should the continued fraction fail.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom, student::cumulative};
/// // one degree of freedom: 1/2 + arctan(t) / pi
/// assert!((cumulative(1.0, DegreesOfFreedom::finite(1.0)?)? - 0.75).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn cumulative(t: f64, degrees_of_freedom: DegreesOfFreedom) -> Result<f64, MathsError> {
    ARGUMENT.check(t)?;
    let half_tails = 0.5 * Shape::of(degrees_of_freedom).two_tails(t)?;
    Ok(if t < 0.0 {
        half_tails
    } else {
        1.0 - half_tails
    })
}

/// Half-width of the symmetric interval around zero that holds a given probability: the
/// factor of table G.2.
///
/// # Equation
/// `t` with `F(t) - F(-t) = p`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | t | half-width (returned) | 1 |
/// | p | probability inside | 1 |
/// | F | [`cumulative`] with n degrees of freedom | 1 |
///
/// # Source
/// `[jcgm2008]` table G.2. Newton's method on the logarithm of the probability against the
/// logarithm of t, held inside a shrinking bracket, until the step is below 4e-16.
///
/// # Valid for
/// Probabilities inside [`PROBABILITY`](super::PROBABILITY), degrees of freedom from one.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a probability outside,
/// [`MathsError::NotConverged`] should the iteration fail.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom, student::two_sided_quantile};
/// let t99 = two_sided_quantile(0.99, DegreesOfFreedom::finite(16.0)?)?;
/// assert!((t99 - 2.92).abs() < 0.005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn two_sided_quantile(
    probability: f64,
    degrees_of_freedom: DegreesOfFreedom,
) -> Result<f64, MathsError> {
    let start = normal::two_sided_quantile(probability)?;
    let shape = Shape::of(degrees_of_freedom);
    if matches!(shape, Shape::Normal) {
        return Ok(start);
    }
    let aim = Aim::at(probability);
    let bracket = aim.bracket(&shape, start)?;
    aim.solve(&shape, bracket)
}

enum Shape {
    Normal,
    Student(f64),
}

impl Shape {
    fn of(degrees_of_freedom: DegreesOfFreedom) -> Self {
        degrees_of_freedom
            .value()
            .map_or(Self::Normal, Self::Student)
    }

    /// Probability outside of -t to t.
    fn two_tails(&self, t: f64) -> Result<f64, MathsError> {
        match self {
            Self::Normal => Ok(2.0 * normal::cumulative(-t.abs())),
            Self::Student(n) => {
                regularised_incomplete_beta(0.5 * n, 0.5, UnitPoint::from_parts(*n, t * t)?)
            }
        }
    }

    /// Probability inside of -t to t.
    fn centre(&self, t: f64) -> Result<f64, MathsError> {
        match self {
            Self::Normal => Ok(libm::erf(t.abs() * std::f64::consts::FRAC_1_SQRT_2)),
            Self::Student(n) => {
                regularised_incomplete_beta(0.5, 0.5 * n, UnitPoint::from_parts(t * t, *n)?)
            }
        }
    }

    fn density(&self, t: f64) -> f64 {
        match self {
            Self::Normal => normal::density(t),
            Self::Student(n) => {
                let power = -0.5 * (n + 1.0) * libm::log1p(t * t / n);
                libm::exp(power - ln_beta(0.5, 0.5 * n)) / n.sqrt()
            }
        }
    }
}

/// The smaller of the two probabilities is aimed at: it holds the digits.
enum Aim {
    Tails(f64),
    Centre(f64),
}

impl Aim {
    fn at(probability: f64) -> Self {
        if probability < 0.5 {
            Self::Centre(probability)
        } else {
            Self::Tails(1.0 - probability)
        }
    }

    /// How far, in the logarithm of the probability, t is above its aim, and the rise of that
    /// with the logarithm of t.
    fn excess(&self, shape: &Shape, t: f64) -> Result<(f64, f64), MathsError> {
        let rise = 2.0 * t * shape.density(t);
        match self {
            Self::Centre(wanted) => {
                let found = shape.centre(t)?;
                Ok((libm::log(found / wanted), rise / found))
            }
            Self::Tails(wanted) => {
                let found = shape.two_tails(t)?;
                Ok((libm::log(wanted / found), rise / found))
            }
        }
    }

    /// From the normal quantile, which is never above, doubling until past the aim.
    fn bracket(&self, shape: &Shape, start: f64) -> Result<(f64, f64), MathsError> {
        let mut low = 0.5 * start;
        let mut high = start;
        while self.excess(shape, high)?.0 < 0.0 {
            low = high;
            high *= 2.0;
            ARGUMENT.check(high)?;
        }
        Ok((low, high))
    }

    fn solve(&self, shape: &Shape, bracket: (f64, f64)) -> Result<f64, MathsError> {
        let (mut low, mut high) = bracket;
        let mut t = high;
        let mut residual = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            let (excess, rise) = self.excess(shape, t)?;
            residual = excess;
            if excess < 0.0 {
                low = t;
            } else {
                high = t;
            }
            let newton = t * libm::exp(-excess / rise);
            let inside = low < newton && newton < high;
            // a Newton step of a few last places is the end, wherever it leads
            if (newton - t).abs() <= 4e-16 * t || high - low <= 2.0 * f64::EPSILON * high {
                return Ok(newton.clamp(low, high));
            }
            t = if inside { newton } else { 0.5 * (low + high) };
        }
        Err(MathsError::NotConverged {
            method: "quantile of Student's t",
            iterations: MOST_STEPS,
            residual,
        })
    }
}
