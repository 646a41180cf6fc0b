//! The carbon dioxide that ground coffee loses.

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Effective diffusivity of carbon dioxide in fresh, roasted and ground coffee, m²/s: the span
/// that is published. `[anderson2003]`
pub const CO2_DIFFUSIVITY: Range = Range::new("CO2 diffusivity", 0.5e-13, 10e-13, "m²/s");
/// Radius of a grain or a bean, m.
pub const RADIUS: Range = Range::new("radius", 1e-6, 1e-2, "m");
/// Time since grinding, s: up to a year.
pub const SINCE_GRINDING: Range = Range::new("time since grinding", 0.0, 31_536_000.0, "s");

/// Below this ratio of times the expansion for short times is exact to a double:
/// exp(-1 / 0.02) is 2e-22.
const SHORT: f64 = 0.02;
/// Terms of the series above it: exp(-(16 π)² 0.02) is 1e-22.
const TERMS: u32 = 16;

/// Share of the gas that a grain still holds.
///
/// # Equation
/// `x = (6 / π²) Σ exp(-n² π² τ) / n²`, `τ = D t / r²`; for small τ the same as
/// `1 - 6 sqrt(τ / π) + 3 τ`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x | share of the gas left (returned) | 1 |
/// | D | effective diffusivity | m²/s |
/// | t | time since grinding | s |
/// | r | radius of the grain | m |
///
/// # Source
/// `[crank1975]`, chapter 6, for a sphere with nothing at its surface; `[anderson2003]` for
/// Fick's law in ground coffee.
///
/// # Valid for
/// Grains of one size in moving air. Diffusivity of the order of [`CO2_DIFFUSIVITY`]; inside
/// [`RADIUS`] and [`SINCE_GRINDING`]. The diffusivity was measured on ground coffee: for whole
/// beans it is an extrapolation.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::supply::degassing::gas_left;
/// // 0.5 mm across, one hour
/// assert!((gas_left(3e-13, 3600.0, 0.25e-3)? - 0.61).abs() < 0.005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn gas_left(diffusivity_m2_per_s: f64, time_s: f64, radius_m: f64) -> Result<f64, MathsError> {
    const POSITIVE: Range = Range::new("diffusivity", 0.0, 1e-8, "m²/s");
    let diffusivity = POSITIVE.check(diffusivity_m2_per_s)?;
    let time = SINCE_GRINDING.check(time_s)?;
    let radius = RADIUS.check(radius_m)?;
    let tau = diffusivity * time / (radius * radius);
    if tau < SHORT {
        return Ok(1.0 - 6.0 * libm::sqrt(tau / std::f64::consts::PI) + 3.0 * tau);
    }
    let squared_pi = std::f64::consts::PI * std::f64::consts::PI;
    let sum: f64 = (1..=TERMS)
        .map(|n| f64::from(n * n))
        .map(|squared| libm::exp(-squared * squared_pi * tau) / squared)
        .sum();
    Ok(6.0 / squared_pi * sum)
}
