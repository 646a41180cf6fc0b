//! Coverage intervals of the values that the trials gave.

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
/// Finite values, so many that `M - q` is at least one. Only the two tails are sorted, in the
/// place of the values.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a probability outside
/// [`PROBABILITY`], [`MathsError::NoSolution`] for too few values.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::monte_carlo::interval::coverage_intervals;
/// let mut values: Vec<f64> = (1..=100).map(|k| f64::from(k * k)).collect();
/// let found = coverage_intervals(&mut values, 0.90)?;
/// assert_eq!((found.symmetric.low, found.symmetric.high), (25.0, 9025.0));
/// assert_eq!((found.shortest.low, found.shortest.high), (1.0, 8281.0));
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn coverage_intervals(
    values: &mut [f64],
    probability: f64,
) -> Result<CoverageIntervals, MathsError> {
    let outside = outside(values.len(), probability)?;
    sort_tails(values, outside);
    let inside = values.len() - outside;
    // r counts from one
    let start = outside.div_ceil(2) - 1;
    let at = |start: usize| Coverage {
        low: values[start],
        high: values[start + inside],
    };
    let width = |start: &usize| values[start + inside] - values[*start];
    let shortest = (0..outside).min_by(|a, b| width(a).total_cmp(&width(b)));
    Ok(CoverageIntervals {
        symmetric: at(start),
        shortest: at(shortest.unwrap_or(start)),
    })
}

/// The symmetric interval alone: two selections and no sorting.
pub(super) fn symmetric(values: &mut [f64], probability: f64) -> Result<Coverage, MathsError> {
    let outside = outside(values.len(), probability)?;
    let (inside, start) = (values.len() - outside, outside.div_ceil(2) - 1);
    let (_, low, above) = values.select_nth_unstable_by(start, f64::total_cmp);
    let (_, high, _) = above.select_nth_unstable_by(inside - 1, f64::total_cmp);
    Ok(Coverage {
        low: *low,
        high: *high,
    })
}

/// How many values lie outside: `M - q`.
fn outside(count: usize, probability: f64) -> Result<usize, MathsError> {
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
    Ok(count - inside)
}

/// Sorts as many values at both ends.
fn sort_tails(values: &mut [f64], tail: usize) {
    if 2 * tail >= values.len() {
        values.sort_unstable_by(f64::total_cmp);
        return;
    }
    let (low, _, above) = values.select_nth_unstable_by(tail, f64::total_cmp);
    low.sort_unstable_by(f64::total_cmp);
    let middle = above.len() - tail;
    if middle > 0 {
        let (_, _, high) = above.select_nth_unstable_by(middle - 1, f64::total_cmp);
        high.sort_unstable_by(f64::total_cmp);
    } else {
        above.sort_unstable_by(f64::total_cmp);
    }
}
