//! Boiling point, saturation pressure, and enthalpies and volumes on the saturation line.

use super::{region1, region2, region4};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Pressure, SpecificEnthalpy, SpecificVolume, Temperature};

const HECTOPASCALS_PER_MEGAPASCAL: f64 = 10_000.0;

/// Temperature at which water boils under an absolute pressure.
///
/// # Equation
/// [`region4::saturation_temperature_k`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | T | boiling temperature (returned) | K |
/// | p | absolute pressure | `MPa` |
///
/// # Source
/// `[iapws2012]`, equation 31. Pure water: 150 mg/L of dissolved solids raise it by 3 mK.
///
/// # Valid for
/// [`Pressure::SATURATION`]. Within 0.23 mK of the scientific formulation from 500 to 1100 hPa,
/// 8 mK up to 16 bar. At 1013.25 hPa it is 99.9743 °C, not 100.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::saturation::boiling_temperature, quantity::Pressure};
/// let air = Pressure::from_hectopascals(1013.25)?;
/// assert!((boiling_temperature(air)?.celsius() - 99.9743).abs() < 1e-4);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn boiling_temperature(pressure: Pressure) -> Result<Temperature, MathsError> {
    Pressure::SATURATION.check(pressure.hectopascals())?;
    Temperature::from_kelvin(region4::saturation_temperature_k(pressure.megapascals())?)
}

/// Absolute pressure under which water of a temperature boils.
///
/// # Equation
/// [`region4::saturation_pressure_mpa`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | saturation pressure (returned) | `MPa` |
/// | T | temperature | K |
///
/// # Source
/// `[iapws2012]`, equation 30.
///
/// # Valid for
/// [`Temperature::SATURATION`]. Within 0.018 % of the scientific formulation.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::saturation::saturation_pressure, quantity::Temperature};
/// let boiler = Temperature::from_celsius(130.0)?;
/// assert!((saturation_pressure(boiler)?.hectopascals() - 2702.60).abs() < 0.01);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn saturation_pressure(temperature: Temperature) -> Result<Pressure, MathsError> {
    let mpa = saturation_pressure_mpa(temperature)?;
    Pressure::from_hectopascals(mpa * HECTOPASCALS_PER_MEGAPASCAL)
}

/// Rise of the boiling temperature with pressure, in kelvin per hectopascal.
///
/// Times the standard uncertainty of an air pressure, it is that of the boiling point.
///
/// # Equation
/// [`region4::saturation_slope_k_per_mpa`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | dT/dp | slope of the boiling point (returned) | K/hPa |
/// | p | absolute pressure | `MPa` |
///
/// # Source
/// `[iapws2012]`, equation 29, differentiated.
///
/// # Valid for
/// [`Pressure::SATURATION`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::saturation::boiling_slope_k_per_hpa, quantity::Pressure};
/// let air = Pressure::from_hectopascals(800.0)?;
/// assert!((boiling_slope_k_per_hpa(air)? - 0.0336).abs() < 5e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn boiling_slope_k_per_hpa(pressure: Pressure) -> Result<f64, MathsError> {
    Pressure::SATURATION.check(pressure.hectopascals())?;
    let slope = region4::saturation_slope_k_per_mpa(pressure.megapascals())?;
    Ok(slope / HECTOPASCALS_PER_MEGAPASCAL)
}

/// Specific enthalpy of boiling water.
///
/// # Equation
/// `h_f = h1(T, p_s(T))`, of [`region1::properties`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `h_f` | enthalpy of saturated liquid (returned) | kJ/kg |
/// | T | temperature | K |
///
/// # Source
/// `[iapws2012]`, equations 7 and 30.
///
/// # Valid for
/// [`Temperature::SATURATION`]. Within 0.08 kJ/kg of the scientific formulation at 90 to 150 °C.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::saturation::liquid_enthalpy, quantity::Temperature};
/// let boiler = Temperature::from_celsius(130.0)?;
/// assert!((liquid_enthalpy(boiler)?.kilojoules_per_kilogram() - 546.388).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn liquid_enthalpy(temperature: Temperature) -> Result<SpecificEnthalpy, MathsError> {
    let liquid = region1::properties(temperature.kelvin(), saturation_pressure_mpa(temperature)?)?;
    SpecificEnthalpy::from_kilojoules_per_kilogram(liquid.enthalpy_kj_per_kg)
}

/// Specific enthalpy of dry saturated steam.
///
/// # Equation
/// `h_g = h2(T, p_s(T))`, of [`region2::properties`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `h_g` | enthalpy of saturated vapour (returned) | kJ/kg |
/// | T | temperature | K |
///
/// # Source
/// `[iapws2012]`, equations 15 and 30.
///
/// # Valid for
/// [`Temperature::SATURATION`]. Within 0.009 kJ/kg of the scientific formulation at 90 to
/// 150 °C.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::saturation::vapour_enthalpy, quantity::Temperature};
/// let boiler = Temperature::from_celsius(130.0)?;
/// assert!((vapour_enthalpy(boiler)?.kilojoules_per_kilogram() - 2720.088).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn vapour_enthalpy(temperature: Temperature) -> Result<SpecificEnthalpy, MathsError> {
    let steam = region2::properties(temperature.kelvin(), saturation_pressure_mpa(temperature)?)?;
    SpecificEnthalpy::from_kilojoules_per_kilogram(steam.enthalpy_kj_per_kg)
}

/// Latent heat of boiling at a temperature.
///
/// # Equation
/// `h_fg = h_g - h_f`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `h_fg` | latent heat (returned) | kJ/kg |
/// | `h_g`, `h_f` | enthalpies of saturated vapour and liquid | kJ/kg |
///
/// # Source
/// `[iapws2012]`, equations 7, 15 and 30.
///
/// # Valid for
/// [`Temperature::SATURATION`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::saturation::latent_heat, quantity::Temperature};
/// let boiler = Temperature::from_celsius(130.0)?;
/// assert!((latent_heat(boiler)?.kilojoules_per_kilogram() - 2173.700).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn latent_heat(temperature: Temperature) -> Result<SpecificEnthalpy, MathsError> {
    let vapour = vapour_enthalpy(temperature)?.kilojoules_per_kilogram();
    let liquid = liquid_enthalpy(temperature)?.kilojoules_per_kilogram();
    SpecificEnthalpy::from_kilojoules_per_kilogram(vapour - liquid)
}

/// Specific volume of dry saturated steam.
///
/// # Equation
/// `v_g = v2(T, p_s(T))`, of [`region2::properties`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `v_g` | volume of saturated vapour (returned) | m³/kg |
/// | T | temperature | K |
///
/// # Source
/// `[iapws2012]`, equations 15 and 30.
///
/// # Valid for
/// [`Temperature::SATURATION`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::saturation::vapour_volume, quantity::Temperature};
/// let boiler = Temperature::from_celsius(130.0)?;
/// assert!((vapour_volume(boiler)?.cubic_metres_per_kilogram() - 0.668_08).abs() < 1e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn vapour_volume(temperature: Temperature) -> Result<SpecificVolume, MathsError> {
    let steam = region2::properties(temperature.kelvin(), saturation_pressure_mpa(temperature)?)?;
    SpecificVolume::from_cubic_metres_per_kilogram(steam.volume_m3_per_kg)
}

fn saturation_pressure_mpa(temperature: Temperature) -> Result<f64, MathsError> {
    Temperature::SATURATION.check(temperature.celsius())?;
    region4::saturation_pressure_mpa(temperature.kelvin())
}
