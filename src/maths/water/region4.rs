//! Water and steam in equilibrium: the saturation equation of the 1997 formulation, both ways.

use crate::maths::constants::{WATER_CRITICAL_KELVIN, ZERO_CELSIUS_KELVIN};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Temperatures of region 4, up to the critical point.
pub const TEMPERATURE: Range = Range::new(
    "saturation temperature",
    ZERO_CELSIUS_KELVIN,
    WATER_CRITICAL_KELVIN,
    "K",
);
/// Pressures of region 4, up to the critical point.
pub const PRESSURE: Range = Range::new("saturation pressure", 0.000_611_212_677, 22.064, "MPa");

/// Coefficients n1 to n10. `[iapws2012]`, table 34, no unit
const N: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

/// Pressure at which water of a temperature boils.
///
/// # Equation
/// `p = [ 2 C / (-B + sqrt(B^2 - 4 A C)) ]^4`, `A = theta^2 + n1 theta + n2`,
/// `B = n3 theta^2 + n4 theta + n5`, `C = n6 theta^2 + n7 theta + n8`,
/// `theta = T + n9 / (T - n10)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | saturation pressure (returned) | `MPa` |
/// | T | temperature | K |
/// | n1 to n10 | coefficients | 1 |
///
/// # Source
/// `[iapws2012]`, equation 30 with table 34; official values in table 35.
///
/// # Valid for
/// [`TEMPERATURE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::water::region4::saturation_pressure_mpa;
/// assert!((saturation_pressure_mpa(500.0)? - 2.638_897_76).abs() < 1e-8);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn saturation_pressure_mpa(temperature_k: f64) -> Result<f64, MathsError> {
    let t = TEMPERATURE.check(temperature_k)?;
    let theta = t + N[8] / (t - N[9]);
    let a = theta * (theta + N[0]) + N[1];
    let b = theta * (N[2] * theta + N[3]) + N[4];
    let c = theta * (N[5] * theta + N[6]) + N[7];
    let beta = 2.0 * c / (-b + libm::sqrt(b * b - 4.0 * a * c));
    Ok(beta * beta * beta * beta)
}

/// Temperature at which water under a pressure boils.
///
/// # Equation
/// `T = [ n10 + D - sqrt((n10 + D)^2 - 4 (n9 + n10 D)) ] / 2`,
/// `D = 2 G / (-F - sqrt(F^2 - 4 E G))`, `E = beta^2 + n3 beta + n6`,
/// `F = n1 beta^2 + n4 beta + n7`, `G = n2 beta^2 + n5 beta + n8`, `beta = (p / 1 MPa)^(1/4)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | T | saturation temperature (returned) | K |
/// | p | absolute pressure | `MPa` |
/// | n1 to n10 | coefficients | 1 |
///
/// # Source
/// `[iapws2012]`, equation 31 with table 34; official values in table 36.
///
/// # Valid for
/// [`PRESSURE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::water::region4::saturation_temperature_k;
/// assert!((saturation_temperature_k(0.1)? - 372.755_919).abs() < 1e-6);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn saturation_temperature_k(pressure_mpa: f64) -> Result<f64, MathsError> {
    let beta = fourth_root(PRESSURE.check(pressure_mpa)?);
    let e = beta * (beta + N[2]) + N[5];
    let f = beta * (N[0] * beta + N[3]) + N[6];
    let g = beta * (N[1] * beta + N[4]) + N[7];
    let theta = 2.0 * g / (-f - libm::sqrt(f * f - 4.0 * e * g));
    let sum = N[9] + theta;
    Ok((sum - libm::sqrt(sum * sum - 4.0 * (N[8] + N[9] * theta))) / 2.0)
}

/// Rise of the boiling temperature with pressure.
///
/// # Equation
/// `dT/dp = -(dF/dbeta) (beta / 4 p) / [ (dF/dtheta) (1 - n9 / (T - n10)^2) ]`, where
/// `F = A beta^2 + B beta + C = 0` is the equation that both directions solve
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | dT/dp | slope of the saturation line (returned) | `K/MPa` |
/// | p | absolute pressure | `MPa` |
/// | beta | as in [`saturation_temperature_k`] | 1 |
/// | A, B, C, theta, n9, n10 | as in [`saturation_pressure_mpa`] | 1 |
///
/// # Source
/// `[iapws2012]`, equation 29 with table 34, differentiated implicitly.
///
/// # Valid for
/// [`PRESSURE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::water::region4::saturation_slope_k_per_mpa;
/// // 0.0277 K/hPa at the sea
/// assert!((saturation_slope_k_per_mpa(0.101_325)? / 1e4 - 0.0277).abs() < 5e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn saturation_slope_k_per_mpa(pressure_mpa: f64) -> Result<f64, MathsError> {
    let t = saturation_temperature_k(pressure_mpa)?;
    let beta = fourth_root(pressure_mpa);
    let theta = t + N[8] / (t - N[9]);
    let a = theta * (theta + N[0]) + N[1];
    let b = theta * (N[2] * theta + N[3]) + N[4];
    let in_beta = 2.0 * beta * a + b;
    let in_theta = beta * beta * (2.0 * theta + N[0])
        + beta * (2.0 * N[2] * theta + N[3])
        + 2.0 * N[5] * theta
        + N[6];
    let theta_in_t = 1.0 - N[8] / ((t - N[9]) * (t - N[9]));
    Ok(-in_beta * beta / (4.0 * pressure_mpa) / (in_theta * theta_in_t))
}

fn fourth_root(value: f64) -> f64 {
    libm::sqrt(libm::sqrt(value))
}
