//! The straight line through a series, and how much of its spread it explains.

use super::{centred, count};
use crate::maths::error::MathsError;
use crate::maths::numeric::special::{UnitPoint, regularised_incomplete_beta};
use crate::maths::range::Range;

/// How many points a line with a test needs.
pub const POINTS: Range = Range::new("number of points", 3.0, 1e6, "1");

/// A straight line and what it explains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Change of y with x.
    pub slope: f64,
    /// Standard uncertainty of the slope.
    pub slope_uncertainty: f64,
    /// Degrees of freedom of that.
    pub degrees_of_freedom: f64,
    /// Share of the spread of y that the line explains, R squared.
    pub share: f64,
    /// The same adjusted for the freedom that the line had; not below zero.
    pub adjusted_share: f64,
    /// Probability of at least as steep a slope where y does not depend on x.
    pub p_value: f64,
}

/// Line of least squares with the test of its slope.
///
/// # Equation
/// `b = S_xy / S_xx`, `R2 = S_xy^2 / (S_xx S_yy)`, `u(b)^2 = S_e / ((n - 2) S_xx)`,
/// `R2_adj = 1 - (1 - R2)(n - 1)/(n - 2)`, `p = I_(1 - R2)((n - 2)/2, 1/2)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | b | slope (returned) | y per x |
/// | S | sums of squares and products about the means, `S_e` of the residuals | |
/// | p | two-sided probability of Student's t of b / u(b) (returned) | 1 |
/// | n | number of points | 1 |
///
/// # Source
/// Ordinary least squares, derived; held against `[nist-strd]`. The adjusted share is Ezekiel's,
/// from memory.
///
/// # Valid for
/// Points as many as [`POINTS`] allows; the test takes the residuals as independent and normally
/// distributed.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for too few points or a value outside;
/// [`MathsError::NoSolution`] when all x or all y are one value.
///
/// # Example
/// ```
/// # use extraction_maths::maths::process::line::least_squares_line;
/// let line = least_squares_line(&[1.0, 2.0, 3.0, 4.0], &[2.0, 1.0, 4.0, 3.0])?;
/// assert!((line.slope - 0.6).abs() < 1e-14 && (line.share - 0.36).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn least_squares_line(x: &[f64], y: &[f64]) -> Result<Line, MathsError> {
    let n = POINTS.check(count(x.len().min(y.len())))?;
    let ((x_mean, x_squares), (y_mean, y_squares)) = (centred(x)?, centred(y)?);
    if x_squares <= 0.0 || y_squares <= 0.0 {
        return Err(MathsError::NoSolution {
            equation: "share explained by a line",
            reason: "all values are alike",
        });
    }
    let pairs = || x.iter().zip(y).map(|(x, y)| (x - x_mean, y - y_mean));
    let slope = pairs().map(|(x, y)| x * y).sum::<f64>() / x_squares;
    let explained = slope * slope * x_squares;
    let left = pairs().map(|(x, y)| y - slope * x);
    let residual = left.map(|e| e * e).sum::<f64>();
    let share = explained / (explained + residual);
    let degrees_of_freedom = n - 2.0;
    let adjusted = 1.0 - residual / (explained + residual) * (n - 1.0) / degrees_of_freedom;
    let at = UnitPoint::from_parts(residual, explained)?;
    Ok(Line {
        slope,
        slope_uncertainty: libm::sqrt(residual / degrees_of_freedom / x_squares),
        degrees_of_freedom,
        share,
        adjusted_share: adjusted.max(0.0),
        p_value: regularised_incomplete_beta(0.5 * degrees_of_freedom, 0.5, at)?,
    })
}
