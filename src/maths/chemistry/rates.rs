//! How the rate of a reaction goes with temperature.

use crate::maths::constants::MOLAR_GAS_CONSTANT;
use crate::maths::error::MathsError;
use crate::maths::quantity::Temperature;
use crate::maths::range::Range;

/// Activation energies of reactions in foods.
pub const ACTIVATION_ENERGY: Range = Range::new("activation energy", 0.0, 300.0, "kJ/mol");
/// Factors by which reactions in foods go faster at 10 °C more.
pub const Q10: Range = Range::new("rate factor for 10 °C", 0.5, 10.0, "1");
/// Temperatures at which foods are kept, frozen ones too.
pub const KEPT: Range = Range::new("temperature", -60.0, 100.0, "°C");

/// Step of the factor for 10 °C, K.
const TEN_KELVIN: f64 = 10.0;

/// Rate of a reaction at one temperature over its rate at another.
///
/// # Equation
/// `k / k0 = exp((E / R) (1 / T0 - 1 / T))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | k / k0 | rate over the rate at the reference (returned) | 1 |
/// | E | activation energy | kJ/mol |
/// | R | [`MOLAR_GAS_CONSTANT`] | J/(mol K) |
/// | T, T0 | temperature and reference | K |
///
/// # Source
/// `[arrhenius]`.
///
/// # Valid for
/// One mechanism all the way between the two temperatures: inside [`KEPT`] and
/// [`ACTIVATION_ENERGY`] the number is defined, and whether it is true is for the caller to say.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::rates::arrhenius_factor, quantity::Temperature};
/// let celsius = Temperature::from_celsius;
/// let factor = arrhenius_factor(13.0, celsius(30.0)?, celsius(20.0)?)?;
/// assert!((factor - 1.192).abs() < 0.001);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn arrhenius_factor(
    activation_energy_kj_per_mol: f64,
    temperature: Temperature,
    reference: Temperature,
) -> Result<f64, MathsError> {
    let energy = 1e3 * ACTIVATION_ENERGY.check(activation_energy_kj_per_mol)?;
    KEPT.check(temperature.celsius())?;
    KEPT.check(reference.celsius())?;
    let exponent =
        energy / MOLAR_GAS_CONSTANT * (1.0 / reference.kelvin() - 1.0 / temperature.kelvin());
    Ok(libm::exp(exponent))
}

/// Factor by which a reaction goes faster at 10 °C more than a temperature.
///
/// # Equation
/// `Q10 = exp((E / R) (1 / T - 1 / (T + 10 K)))`; symbols of [`arrhenius_factor`]
///
/// # Source
/// `[arrhenius]`.
///
/// # Valid for
/// As [`arrhenius_factor`]. It falls slowly as the temperature rises.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::rates::q10_of, quantity::Temperature};
/// let q10 = q10_of(13.0, Temperature::from_celsius(20.0)?)?;
/// assert!((q10 - 1.192).abs() < 0.001);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn q10_of(
    activation_energy_kj_per_mol: f64,
    temperature: Temperature,
) -> Result<f64, MathsError> {
    let warmer = Temperature::from_celsius(temperature.celsius() + TEN_KELVIN)?;
    arrhenius_factor(activation_energy_kj_per_mol, warmer, temperature)
}

/// Rate of a reaction at one temperature over its rate at another, by a measured factor for
/// 10 °C.
///
/// # Equation
/// `k / k0 = Q10^((t - t0) / 10)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | k / k0 | rate over the rate at the reference (returned) | 1 |
/// | Q10 | measured factor | 1 |
/// | t, t0 | temperature and reference | °C |
///
/// # Source
/// Definition of the factor, `[arrhenius]`.
///
/// # Valid for
/// The temperatures between which the factor was measured; inside [`KEPT`] and [`Q10`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::rates::q10_factor, quantity::Temperature};
/// let celsius = Temperature::from_celsius;
/// let factor = q10_factor(1.2, celsius(40.0)?, celsius(20.0)?)?;
/// assert!((factor - 1.44).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn q10_factor(
    q10: f64,
    temperature: Temperature,
    reference: Temperature,
) -> Result<f64, MathsError> {
    let base = Q10.check(q10)?;
    let (t, t0) = (
        KEPT.check(temperature.celsius())?,
        KEPT.check(reference.celsius())?,
    );
    Ok(libm::pow(base, (t - t0) / TEN_KELVIN))
}
