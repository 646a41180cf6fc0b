//! Evaluation of an input from repeated readings.

use super::{DegreesOfFreedom, SPREAD};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// How many readings a spread can be found from.
pub const READINGS: Range = Range::new("number of readings", 2.0, 1e6, "1");

/// What repeated readings of one quantity say about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TypeA {
    /// Arithmetic mean, the best estimate.
    pub mean: f64,
    /// Experimental standard deviation of one reading.
    pub standard_deviation: f64,
    /// Standard uncertainty of the mean.
    pub standard_uncertainty: f64,
    /// Degrees of freedom of both.
    pub degrees_of_freedom: DegreesOfFreedom,
}

/// A standard deviation with its degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeatability {
    /// Standard deviation of one reading.
    pub standard_deviation: f64,
    /// How well it is known.
    pub degrees_of_freedom: DegreesOfFreedom,
}

/// Mean of repeated readings, their spread and the standard uncertainty of the mean.
///
/// # Equation
/// `q = sum(q_k) / n`, `s^2 = sum((q_k - q)^2) / (n - 1)`, `u = s / sqrt(n)`, `v = n - 1`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `q_k`, q | readings, their mean (returned) | any |
/// | s, u | standard deviation, uncertainty of the mean (returned) | the same |
/// | v | degrees of freedom (returned) | 1 |
///
/// # Source
/// `[jcgm2008]` 4.2, equations 3 to 5. Two passes: the mean, then the squares of what is left
/// less the square of its sum, which a rounded mean leaves behind.
///
/// # Valid for
/// Independent readings, as many as [`READINGS`] allows.
///
/// # Errors
/// [`MathsError::OutOfRange`] for too few or too many readings, [`MathsError::NonFinite`] for
/// one that is not a number or a spread that overflows.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::type_a::type_a;
/// let voltage = type_a(&[5.007, 4.994, 5.005, 4.990, 4.999])?;
/// assert!((voltage.mean - 4.9990).abs() < 1e-12);
/// assert!((voltage.standard_uncertainty - 0.0032).abs() < 5e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn type_a(readings: &[f64]) -> Result<TypeA, MathsError> {
    let count = count_of(readings)?;
    let mean = mean_of(readings, count)?;
    let squares = centred_product(readings, mean, readings, mean, count);
    let standard_deviation = SPREAD.check((squares / (count - 1.0)).sqrt())?;
    Ok(TypeA {
        mean,
        standard_deviation,
        standard_uncertainty: standard_deviation / count.sqrt(),
        degrees_of_freedom: DegreesOfFreedom::finite(count - 1.0)?,
    })
}

/// Correlation coefficient of two quantities read together.
///
/// # Equation
/// `r = sum((x_k - x)(y_k - y)) / sqrt(sum((x_k - x)^2) sum((y_k - y)^2))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | r | correlation coefficient of the readings and of their means (returned) | 1 |
/// | `x_k`, `y_k` | simultaneous readings | any |
///
/// # Source
/// `[jcgm2008]` 5.2.2 and 5.2.3, equations 14 and 17.
///
/// # Valid for
/// Equally many readings of both, neither constant.
///
/// # Errors
/// [`MathsError::Inconsistent`] when the counts differ, [`MathsError::NoSolution`] when a
/// quantity does not vary; as [`type_a`] otherwise.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::type_a::correlation;
/// assert!((correlation(&[1.0, 2.0, 3.0], &[2.0, 4.0, 6.0])? - 1.0).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn correlation(first: &[f64], second: &[f64]) -> Result<f64, MathsError> {
    let (count, other_count) = (count_of(first)?, count_of(second)?);
    if first.len() != second.len() {
        return Err(MathsError::Inconsistent {
            rule: "quantities read together have equally many readings",
            left: count,
            right: other_count,
            unit: "readings",
        });
    }
    let (x, y) = (type_a(first)?, type_a(second)?);
    if x.standard_deviation == 0.0 || y.standard_deviation == 0.0 {
        return Err(MathsError::NoSolution {
            equation: "correlation coefficient",
            reason: "one of the quantities does not vary",
        });
    }
    let covariance = centred_product(first, x.mean, second, y.mean, count) / (count - 1.0);
    let r = covariance / x.standard_deviation / y.standard_deviation;
    Ok(r.clamp(-1.0, 1.0))
}

/// One repeatability out of several found on different days.
///
/// # Equation
/// `s^2 = sum(v_i s_i^2) / sum(v_i)`, `v = sum(v_i)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | s, `s_i` | pooled standard deviation (returned), those of the days | any |
/// | v, `v_i` | degrees of freedom | 1 |
///
/// # Source
/// `[jcgm2008]` 4.2.4 and H.3.6 note; exact.
///
/// # Valid for
/// Days with the same spread. A day with infinite degrees of freedom outweighs the others:
/// the answer is then its spread, or the mean square of several such.
///
/// # Errors
/// [`MathsError::NoSolution`] without a day, [`MathsError::OutOfRange`] or
/// [`MathsError::NonFinite`] for a spread outside [`SPREAD`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom, type_a::{Repeatability, pooled}};
/// let day = |standard_deviation, v| Ok::<_, extraction_maths::maths::MathsError>(Repeatability {
///     standard_deviation,
///     degrees_of_freedom: DegreesOfFreedom::finite(v)?,
/// });
/// let both = pooled(&[day(3.0, 1.0)?, day(4.0, 1.0)?])?;
/// assert!((both.standard_deviation - 12.5_f64.sqrt()).abs() < 1e-14);
/// assert_eq!(both.degrees_of_freedom.value(), Some(2.0));
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn pooled(days: &[Repeatability]) -> Result<Repeatability, MathsError> {
    let known = days
        .iter()
        .any(|day| day.degrees_of_freedom.value().is_none());
    let (mut squares, mut weights) = (0.0, 0.0);
    for day in days {
        let spread = SPREAD.check(day.standard_deviation)?;
        let weight = match (day.degrees_of_freedom.value(), known) {
            (Some(value), false) => value,
            (None, _) => 1.0,
            (Some(_), true) => 0.0,
        };
        squares += weight * spread * spread;
        weights += weight;
    }
    if weights == 0.0 {
        return Err(MathsError::NoSolution {
            equation: "pooled standard deviation",
            reason: "there is nothing to pool",
        });
    }
    Ok(Repeatability {
        standard_deviation: (squares / weights).sqrt(),
        degrees_of_freedom: if known {
            DegreesOfFreedom::INFINITE
        } else {
            DegreesOfFreedom::finite(weights)?
        },
    })
}

/// Mean of one or more readings whose repeatability is known from elsewhere.
///
/// # Equation
/// `u = s / sqrt(n)` with the degrees of freedom of s
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u | standard uncertainty of the mean (returned) | any |
/// | s | repeatability of one reading | the same |
/// | n | number of readings averaged | 1 |
///
/// # Source
/// `[jcgm2008]` 4.2.4 and H.3.6 note.
///
/// # Valid for
/// One to a million independent readings.
///
/// # Errors
/// [`MathsError::OutOfRange`] without a reading or for a spread outside [`SPREAD`],
/// [`MathsError::NonFinite`] for a reading that is not a number.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom,
/// #     type_a::{Repeatability, with_known_repeatability}};
/// let known = Repeatability {
///     standard_deviation: 0.04,
///     degrees_of_freedom: DegreesOfFreedom::finite(30.0)?,
/// };
/// let strength = with_known_repeatability(&[8.6, 8.7, 8.6, 8.7], known)?;
/// assert!((strength.standard_uncertainty - 0.02).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn with_known_repeatability(
    readings: &[f64],
    known: Repeatability,
) -> Result<TypeA, MathsError> {
    const SOME: Range = Range::new(READINGS.quantity, 1.0, READINGS.max, READINGS.unit);
    let count = SOME.check(as_number(readings.len()))?;
    let standard_deviation = SPREAD.check(known.standard_deviation)?;
    Ok(TypeA {
        mean: mean_of(readings, count)?,
        standard_deviation,
        standard_uncertainty: standard_deviation / count.sqrt(),
        degrees_of_freedom: known.degrees_of_freedom,
    })
}

fn count_of(readings: &[f64]) -> Result<f64, MathsError> {
    READINGS.check(as_number(readings.len()))
}

/// The count as a number; what is too long for 32 bits is out of every range here.
fn as_number(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}

fn mean_of(readings: &[f64], count: f64) -> Result<f64, MathsError> {
    const READING: Range = Range::new("reading", -1e100, 1e100, "unit of the quantity");
    let mut sum = 0.0;
    for reading in readings {
        sum += READING.check(*reading)?;
    }
    let rough = sum / count;
    let left: f64 = readings.iter().map(|reading| reading - rough).sum();
    Ok(rough + left / count)
}

fn centred_product(x: &[f64], x_mean: f64, y: &[f64], y_mean: f64, count: f64) -> f64 {
    let (mut product, mut x_left, mut y_left) = (0.0, 0.0, 0.0);
    for (x, y) in x.iter().zip(y) {
        let (dx, dy) = (x - x_mean, y - y_mean);
        product += dx * dy;
        x_left += dx;
        y_left += dy;
    }
    product - x_left * y_left / count
}
