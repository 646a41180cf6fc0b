//! A straight line through measured points, and what it predicts.

use super::DegreesOfFreedom;
use super::type_a::type_a;
use crate::maths::error::MathsError;

/// A line fitted by least squares, about a reference point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightLine {
    /// Where the intercept is taken.
    pub reference: f64,
    /// Value of the line there.
    pub intercept: f64,
    /// Slope.
    pub slope: f64,
    /// Standard uncertainty of the intercept.
    pub intercept_uncertainty: f64,
    /// Standard uncertainty of the slope.
    pub slope_uncertainty: f64,
    /// Correlation coefficient of the two.
    pub correlation: f64,
    /// Standard deviation of the points about the line.
    pub residual_deviation: f64,
    /// Degrees of freedom of all of these: points less two.
    pub degrees_of_freedom: DegreesOfFreedom,
}

impl StraightLine {
    /// Value of the line at a place, and its standard uncertainty (not that of a new point).
    #[must_use]
    pub fn at(&self, x: f64) -> (f64, f64) {
        let from = x - self.reference;
        let (u, v) = (self.intercept_uncertainty, from * self.slope_uncertainty);
        // full anticorrelation may leave less than nothing, by rounding
        let variance = (u * u + v * v + 2.0 * self.correlation * u * v).max(0.0);
        (self.intercept + self.slope * from, variance.sqrt())
    }
}

/// Line of least squares through points whose ordinates are equally uncertain.
///
/// # Equation
/// `y = y1 + y2 (x - x0)`, `y2 = S_xy / S_xx`, `s^2 = sum (residual)^2 / (n - 2)`,
/// `u^2(y2) = s^2 / S_xx`, `u^2(y1) = s^2 (1 / n + (m - x0)^2 / S_xx)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | y1, y2 | intercept at x0 and slope (returned) | of y, y per x |
/// | s | standard deviation about the line (returned) | of y |
/// | `S_xx`, `S_xy` | sums of squares and products about the means | |
/// | n, m | points, mean of the x | 1, of x |
///
/// # Source
/// `[jcgm2008]` H.3, equations H.12 and H.13, written about the mean, where they do not lose
/// digits.
///
/// # Valid for
/// Exact abscissae, independent ordinates with one spread.
///
/// # Errors
/// [`MathsError::Inconsistent`] for lists of different lengths, [`MathsError::NoSolution`]
/// for fewer than three points or abscissae that are all the same.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::straight_line::straight_line;
/// let line = straight_line(&[1.0, 2.0, 3.0], &[3.0, 5.0, 7.0], 0.0)?;
/// assert!((line.intercept - 1.0).abs() < 1e-14 && (line.slope - 2.0).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn straight_line(x: &[f64], y: &[f64], reference: f64) -> Result<StraightLine, MathsError> {
    let n = count(x.len());
    if x.len() != y.len() {
        return Err(MathsError::Inconsistent {
            rule: "every point has both coordinates",
            left: n,
            right: count(y.len()),
            unit: "values",
        });
    }
    let none = |reason| MathsError::NoSolution {
        equation: "straight line by least squares",
        reason,
    };
    if n < 3.0 {
        return Err(none("it needs three points to say how well it fits"));
    }
    let (mean_x, mean_y) = (type_a(x)?.mean, type_a(y)?.mean);
    let points = || x.iter().zip(y).map(|(x, y)| (x - mean_x, y - mean_y));
    let sum_xx: f64 = points().map(|(x, _)| x * x).sum();
    if sum_xx == 0.0 {
        return Err(none("all abscissae are the same"));
    }
    let slope = points().map(|(x, y)| x * y).sum::<f64>() / sum_xx;
    let residuals = points().map(|(x, y)| y - slope * x);
    let variance = residuals.map(|left| left * left).sum::<f64>() / (n - 2.0);
    let from = mean_x - reference;
    let (of_slope, of_intercept) = (1.0 / sum_xx, 1.0 / n + from * from / sum_xx);
    Ok(StraightLine {
        reference,
        intercept: mean_y - slope * from,
        slope,
        intercept_uncertainty: (variance * of_intercept).sqrt(),
        slope_uncertainty: (variance * of_slope).sqrt(),
        correlation: (reference - mean_x) / sum_xx / (of_intercept * of_slope).sqrt(),
        residual_deviation: variance.sqrt(),
        degrees_of_freedom: DegreesOfFreedom::finite(n - 2.0)?,
    })
}

fn count(length: usize) -> f64 {
    u32::try_from(length).map_or(f64::MAX, f64::from)
}
