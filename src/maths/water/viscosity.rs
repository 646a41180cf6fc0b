//! Viscosity of water, for the flow through a bed.

use super::liquid::liquid_density;
use crate::maths::constants::{WATER_CRITICAL_DENSITY, WATER_CRITICAL_KELVIN, ZERO_CELSIUS_KELVIN};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Pressure, Temperature, Viscosity};
use crate::maths::range::Range;

/// Temperatures of the formulation.
pub const TEMPERATURE: Range = Range::new("water temperature", ZERO_CELSIUS_KELVIN, 1173.15, "K");
/// Densities of the formulation, from dilute gas to compressed liquid; the densest official
/// value is at the upper end.
pub const DENSITY: Range = Range::new("water density", 0.0, 1_200.0, "kg/m3");

/// Coefficients of the dilute-gas part. `[iapws2008]`, table 1, no unit
const DILUTE_GAS: [f64; 4] = [1.677_52, 2.204_62, 0.636_656_4, -0.241_605];

/// Coefficients of the finite-density part, a row for each power of the temperature term, a
/// column for each power of the density term. `[iapws2008]`, table 2, no unit
#[rustfmt::skip]
const FINITE_DENSITY: [[f64; 7]; 6] = [
    [0.520_094, 0.222_531, -0.281_378, 0.161_913, -0.032_537_2, 0.0, 0.0],
    [0.085_089_5, 0.999_115, -0.906_851, 0.257_399, 0.0, 0.0, 0.0],
    [-1.083_74, 1.887_97, -0.772_479, 0.0, 0.0, 0.0, 0.0],
    [-0.289_555, 1.266_13, -0.489_837, 0.0, 0.069_845_2, 0.0, -0.004_356_73],
    [0.0, 0.0, -0.257_040, 0.0, 0.0, 0.008_721_02, 0.0],
    [0.0, 0.120_573, 0.0, 0.0, 0.0, 0.0, -0.000_593_264],
];

/// Dynamic viscosity of liquid water.
///
/// # Equation
/// `mu = mu(T, rho(T, p))`, [`viscosity_pa_s`] at [`liquid_density`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | mu | dynamic viscosity (returned) | Pa s |
/// | T | temperature | K |
/// | p | absolute pressure | hPa |
/// | rho | density | kg/m³ |
///
/// # Source
/// `[iapws2008]`, equations 10 to 12, without the critical enhancement; density of
/// `[iapws2012]`.
///
/// # Valid for
/// [`Temperature::LIQUID_WATER`] and any [`Pressure`] under which the water does not boil. Pure
/// water: a beverage is more viscous.
///
/// # Errors
/// As [`liquid_density`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::viscosity::liquid_viscosity, quantity::{Pressure, Temperature}};
/// let brew = Temperature::from_celsius(93.0)?;
/// let air = Pressure::from_hectopascals(1013.25)?;
/// assert!((liquid_viscosity(brew, air)?.pascal_seconds() - 0.303_72e-3).abs() < 1e-8);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn liquid_viscosity(
    temperature: Temperature,
    pressure: Pressure,
) -> Result<Viscosity, MathsError> {
    let density = liquid_density(temperature, pressure)?.kilograms_per_cubic_metre();
    Viscosity::from_pascal_seconds(viscosity_pa_s(temperature.kelvin(), density)?)
}

/// Dynamic viscosity of water at a temperature and a density.
///
/// # Equation
/// `mu = 1e-6 mu0 mu1`, `mu0 = 100 sqrt(T_r) / sum(H_i / T_r^i)`,
/// `mu1 = exp[ rho_r sum_i (1/T_r - 1)^i sum_j H_ij (rho_r - 1)^j ]`, `T_r = T / 647.096 K`,
/// `rho_r = rho / (322 kg/m³)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | mu | dynamic viscosity (returned) | Pa s |
/// | T | temperature | K |
/// | rho | density | kg/m³ |
/// | `H_i`, `H_ij` | coefficients | 1 |
///
/// # Source
/// `[iapws2008]`, equations 10 to 12 with tables 1 and 2; official values in table 4. The
/// critical enhancement is left out (mu2 = 1), as the release advises away from the critical
/// point.
///
/// # Valid for
/// [`TEMPERATURE`] and [`DENSITY`].
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside those ranges.
///
/// # Example
/// ```
/// # use extraction_maths::maths::water::viscosity::viscosity_pa_s;
/// assert!((viscosity_pa_s(298.15, 998.0)? - 889.735_1e-6).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn viscosity_pa_s(temperature_k: f64, density_kg_per_m3: f64) -> Result<f64, MathsError> {
    let reduced_temperature = TEMPERATURE.check(temperature_k)? / WATER_CRITICAL_KELVIN;
    let reduced_density = DENSITY.check(density_kg_per_m3)? / WATER_CRITICAL_DENSITY;
    let inverse = 1.0 / reduced_temperature;
    let dilute_gas = 100.0 * libm::sqrt(reduced_temperature) / horner(&DILUTE_GAS, inverse);
    let rows = FINITE_DENSITY.map(|row| horner(&row, reduced_density - 1.0));
    let finite_density = libm::exp(reduced_density * horner(&rows, inverse - 1.0));
    Ok(1e-6 * dilute_gas * finite_density)
}

/// The polynomial with these coefficients, lowest power first.
fn horner(coefficients: &[f64], x: f64) -> f64 {
    coefficients
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * x + coefficient)
}
