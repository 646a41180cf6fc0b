//! Boiling under the pressure that a machine's gauge shows.
//!
//! A gauge shows the pressure above the air around it: the same reading is a lower temperature
//! higher up.

use super::saturation::{boiling_temperature, saturation_pressure};
use crate::maths::error::MathsError;
use crate::maths::quantity::{GaugePressure, Pressure, Temperature};

/// Temperature at which water boils under a gauge pressure.
///
/// # Equation
/// `T = T_s(p_air + p_gauge)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | T | boiling temperature (returned) | °C |
/// | `p_air` | air pressure at the place | hPa |
/// | `p_gauge` | pressure above it | bar |
///
/// # Source
/// `[iapws2012]`, equation 31, on the sum of the pressures.
///
/// # Valid for
/// Sums inside [`Pressure::SATURATION`]: every [`GaugePressure`] on every air pressure of
/// [`Pressure::AIR`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::gauge::boiling_temperature_under, quantity::{GaugePressure, Pressure}};
/// let boiler = GaugePressure::from_bar(1.2)?;
/// let air = Pressure::from_hectopascals(1013.25)?;
/// assert!((boiling_temperature_under(boiler, air)?.celsius() - 123.44).abs() < 0.01);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn boiling_temperature_under(
    gauge: GaugePressure,
    air: Pressure,
) -> Result<Temperature, MathsError> {
    boiling_temperature(gauge.above(air)?)
}

/// Gauge pressure of a boiler that holds water and steam at a temperature.
///
/// # Equation
/// `p_gauge = p_s(T) - p_air`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `p_gauge` | pressure above the air around (returned) | bar |
/// | T | temperature | °C |
/// | `p_air` | air pressure at the place | hPa |
///
/// # Source
/// `[iapws2012]`, equation 30, less the air pressure. A boiler with trapped air shows more.
///
/// # Valid for
/// [`Temperature::SATURATION`], from the boiling point at the place up.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range, and for water that does not boil there: its
/// gauge pressure would be negative.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::gauge::saturation_gauge, quantity::{Pressure, Temperature}};
/// let boiler = Temperature::from_celsius(130.0)?;
/// let air = Pressure::from_hectopascals(1013.25)?;
/// assert!((saturation_gauge(boiler, air)?.bar() - 1.689_35).abs() < 1e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn saturation_gauge(
    temperature: Temperature,
    air: Pressure,
) -> Result<GaugePressure, MathsError> {
    saturation_pressure(temperature)?.gauge_above(air)
}
