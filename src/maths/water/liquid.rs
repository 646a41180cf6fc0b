//! Density, enthalpy and heat capacity of liquid water at a temperature and a pressure.

use super::{region1, region4};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Density, HeatCapacity, Pressure, SpecificEnthalpy, Temperature};

/// How far below its saturation pressure water still counts as boiling, relative. A pressure
/// that came from the saturation line and back is off by rounding, about 1e-14.
const PHASE_TOLERANCE: f64 = 1e-9;

/// Density of liquid water.
///
/// # Equation
/// `rho = 1 / v`, v of [`region1::properties`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | rho | density (returned) | kg/m³ |
/// | v | specific volume | m³/kg |
///
/// # Source
/// `[iapws2012]`, equation 7. Within 0.0015 % of the scientific formulation, 10 to 99 °C.
///
/// # Valid for
/// [`Temperature::LIQUID_WATER`] and any [`Pressure`] under which the water does not boil.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range, [`MathsError::Inconsistent`] for a pressure
/// below saturation.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::liquid::liquid_density, quantity::{Pressure, Temperature}};
/// let brew = Temperature::from_celsius(93.0)?;
/// let air = Pressure::from_hectopascals(1013.25)?;
/// assert!((liquid_density(brew, air)?.kilograms_per_cubic_metre() - 963.279).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn liquid_density(temperature: Temperature, pressure: Pressure) -> Result<Density, MathsError> {
    let liquid = state(temperature, pressure)?;
    Density::from_kilograms_per_cubic_metre(1.0 / liquid.volume_m3_per_kg)
}

/// Specific enthalpy of liquid water.
///
/// # Equation
/// `h = h1(T, p)`, of [`region1::properties`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | h | specific enthalpy (returned) | kJ/kg |
/// | T | temperature | K |
/// | p | absolute pressure | `MPa` |
///
/// # Source
/// `[iapws2012]`, equation 7.
///
/// # Valid for
/// [`Temperature::LIQUID_WATER`] and any [`Pressure`] under which the water does not boil.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range, [`MathsError::Inconsistent`] for a pressure
/// below saturation.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::liquid::liquid_enthalpy, quantity::{Pressure, Temperature}};
/// let tap = Temperature::from_celsius(20.0)?;
/// let air = Pressure::from_hectopascals(1013.25)?;
/// assert!((liquid_enthalpy(tap, air)?.kilojoules_per_kilogram() - 84.013).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn liquid_enthalpy(
    temperature: Temperature,
    pressure: Pressure,
) -> Result<SpecificEnthalpy, MathsError> {
    let liquid = state(temperature, pressure)?;
    SpecificEnthalpy::from_kilojoules_per_kilogram(liquid.enthalpy_kj_per_kg)
}

/// Specific heat capacity of liquid water at constant pressure.
///
/// # Equation
/// `cp = cp1(T, p)`, of [`region1::properties`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | cp | specific heat capacity (returned) | kJ/(kg K) |
/// | T | temperature | K |
/// | p | absolute pressure | `MPa` |
///
/// # Source
/// `[iapws2012]`, equation 7. Within 0.06 % of the scientific formulation, 10 to 99 °C.
///
/// # Valid for
/// [`Temperature::LIQUID_WATER`] and any [`Pressure`] under which the water does not boil.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range, [`MathsError::Inconsistent`] for a pressure
/// below saturation.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::liquid::liquid_heat_capacity, quantity::{Pressure, Temperature}};
/// let brew = Temperature::from_celsius(93.0)?;
/// let air = Pressure::from_hectopascals(1013.25)?;
/// let capacity = liquid_heat_capacity(brew, air)?;
/// assert!((capacity.kilojoules_per_kilogram_kelvin() - 4.2083).abs() < 1e-4);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn liquid_heat_capacity(
    temperature: Temperature,
    pressure: Pressure,
) -> Result<HeatCapacity, MathsError> {
    let liquid = state(temperature, pressure)?;
    HeatCapacity::from_kilojoules_per_kilogram_kelvin(liquid.heat_capacity_kj_per_kg_k)
}

/// Region 1, after checking that the water is liquid.
fn state(temperature: Temperature, pressure: Pressure) -> Result<region1::Liquid, MathsError> {
    Temperature::LIQUID_WATER.check(temperature.celsius())?;
    let kelvin = temperature.kelvin();
    let pressure_mpa = pressure.megapascals();
    let saturation_mpa = region4::saturation_pressure_mpa(kelvin)?;
    if pressure_mpa < saturation_mpa * (1.0 - PHASE_TOLERANCE) {
        return Err(MathsError::Inconsistent {
            rule: "water stays liquid only above its saturation pressure",
            left: pressure_mpa,
            right: saturation_mpa,
            unit: "MPa",
        });
    }
    region1::properties(kelvin, pressure_mpa)
}
