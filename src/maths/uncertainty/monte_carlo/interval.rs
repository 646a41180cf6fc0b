//! Coverage intervals of the values that the trials gave.

use super::tails::Tails;
use crate::maths::error::MathsError;
use crate::maths::uncertainty::PROBABILITY;

/// An interval that covers a share of the values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coverage {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// The two coverage intervals in use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoverageIntervals {
    /// With as many values below it as above.
    pub symmetric: Coverage,
    /// The shortest one.
    pub shortest: Coverage,
}

/// Probabilistically symmetric and shortest coverage interval of a set of values.
///
/// # Equation
/// `[y_(r), y_(r+q)]` of the sorted values, `q = p M` and `r = (M - q) / 2`, each rounded half
/// up when it is no integer; for the shortest the `r` of 1 to `M - q` that makes it so
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `y_(r)` | value at place r, counted from one | any |
/// | M | number of values | 1 |
/// | p | coverage probability | 1 |
///
/// # Source
/// `[jcgm2008s1]` 7.7.
///
/// # Valid for
/// Finite values, so many that `M - q` is at least one.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a probability outside
/// [`PROBABILITY`], [`MathsError::NoSolution`] for too few values.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::monte_carlo::interval::coverage_intervals;
/// let values: Vec<f64> = (1..=100).map(|k| f64::from(k * k)).collect();
/// let found = coverage_intervals(&values, 0.90)?;
/// assert_eq!((found.symmetric.low, found.symmetric.high), (25.0, 9025.0));
/// assert_eq!((found.shortest.low, found.shortest.high), (1.0, 8281.0));
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn coverage_intervals(
    values: &[f64],
    probability: f64,
) -> Result<CoverageIntervals, MathsError> {
    let mut all = Tails::whole(probability);
    all.push(values);
    all.intervals()?.ok_or(MathsError::NoSolution {
        equation: "coverage interval",
        reason: "values were left out",
    })
}

/// Where the ends of intervals are among sorted values.
#[derive(Debug, Clone, Copy)]
pub(super) struct Places {
    /// Values outside: `M - q`.
    pub(super) outside: usize,
    /// Place of the lower end of the symmetric interval, counted from zero: `r - 1`.
    pub(super) symmetric: usize,
}

impl Places {
    /// Among so many values.
    pub(super) fn of(count: usize, probability: f64) -> Result<Self, MathsError> {
        PROBABILITY.check(probability)?;
        let whole = u32::try_from(count).map_or(f64::MAX, f64::from);
        let rounded = libm::floor(probability * whole + 0.5);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "whole, not negative and at most the count"
        )]
        let inside = rounded as usize;
        if inside == 0 || inside >= count {
            return Err(MathsError::NoSolution {
                equation: "coverage interval",
                reason: "there are too few trials for this probability",
            });
        }
        let outside = count - inside;
        Ok(Self {
            outside,
            symmetric: outside.div_ceil(2) - 1,
        })
    }
}
