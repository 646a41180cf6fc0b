//! How close a number must be to be right in its significant digits.

use crate::maths::error::MathsError;
use crate::maths::uncertainty::SPREAD;

/// Numerical tolerance that goes with so many significant digits of a standard uncertainty.
///
/// # Equation
/// `d = 10^l / 2` where `u = c 10^l` and c is an integer of that many digits
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | d | tolerance (returned); zero for an uncertainty of zero | any |
/// | u | standard uncertainty | the same |
///
/// # Source
/// `[jcgm2008s1]` 7.9.2.
///
/// # Valid for
/// Uncertainties inside [`SPREAD`], one or two digits.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::monte_carlo::tolerance::numerical_tolerance;
/// assert!((numerical_tolerance(0.000_35, 2)? - 0.000_005).abs() < 1e-18);
/// assert!((numerical_tolerance(2.0, 1)? - 0.5).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn numerical_tolerance(standard_uncertainty: f64, digits: u8) -> Result<f64, MathsError> {
    let u = SPREAD.check(standard_uncertainty)?;
    if u == 0.0 {
        return Ok(0.0);
    }
    let digits = f64::from(digits);
    let place = libm::floor(libm::log10(u)) - (digits - 1.0);
    let integer = libm::floor(u / libm::exp10(place) + 0.5);
    // 9.96 has the two digits 10 of the next decade
    let place = if integer >= libm::exp10(digits) {
        place + 1.0
    } else {
        place
    };
    Ok(0.5 * libm::exp10(place))
}
