//! Evaluation of an input from what is stated about it: a tolerance, a resolution, a certificate.

use super::SPREAD;
use crate::maths::error::MathsError;

/// Standard uncertainty of a quantity that lies anywhere within a half-width, all values alike.
///
/// # Equation
/// `u = a / sqrt(3)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u | standard uncertainty (returned) | any |
/// | a | half-width | the same |
///
/// # Source
/// `[jcgm2008]` 4.3.7, equation 7.
///
/// # Valid for
/// Half-widths inside [`SPREAD`]; the degrees of freedom are infinite.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::type_b::rectangular;
/// assert!((rectangular(0.05)? - 0.028_867_513_459_481_29).abs() < 1e-16);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn rectangular(half_width: f64) -> Result<f64, MathsError> {
    Ok(SPREAD.check(half_width)? / 3.0_f64.sqrt())
}

/// Standard uncertainty of a quantity within a half-width, values near the middle likelier.
///
/// # Equation
/// `u = a / sqrt(6)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | u | standard uncertainty (returned) | any |
/// | a | half-width of the triangle's base | the same |
///
/// # Source
/// `[jcgm2008]` 4.3.9, equation 9b.
///
/// # Valid for
/// Half-widths inside [`SPREAD`]; the degrees of freedom are infinite.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::type_b::triangular;
/// assert!((triangular(0.1)? - 0.040_824_829_046_386_3).abs() < 1e-16);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn triangular(half_width: f64) -> Result<f64, MathsError> {
    Ok(SPREAD.check(half_width)? / 6.0_f64.sqrt())
}
