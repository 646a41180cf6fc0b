//! Where in the standard atmosphere water boils at a temperature.

use super::saturation::saturation_pressure;
use crate::maths::air::atmosphere::{geometric, pressure_altitude};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Altitude, GeopotentialAltitude, Temperature};

/// Geopotential altitude at which water boils at a temperature, in the standard atmosphere.
///
/// # Equation
/// `H = (T0 / L) (1 - (p_s(T) / p0)^(R L / g0))`, in closed form
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | H | geopotential altitude (returned) | m |
/// | T | boiling temperature | K |
/// | `p_s` | saturation pressure | Pa |
/// | p0, T0, L, g0, R | constants of the standard atmosphere | SI |
///
/// # Source
/// `[iapws2012]`, equation 30, put into `[iso2533]`.
///
/// # Valid for
/// Temperatures whose altitude lies in [`GeopotentialAltitude::RANGE`]: 69.66 to 101.63 °C.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a temperature that boils at no altitude inside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::altitude::boiling_geopotential_altitude, quantity::Temperature};
/// let brew = Temperature::from_celsius(93.0)?;
/// assert!((boiling_geopotential_altitude(brew)?.metres() - 2094.38).abs() < 0.01);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn boiling_geopotential_altitude(
    temperature: Temperature,
) -> Result<GeopotentialAltitude, MathsError> {
    pressure_altitude(saturation_pressure(temperature)?)
}

/// Geometric altitude at which water boils at a temperature, in the standard atmosphere.
///
/// # Equation
/// `Z = r H / (r - H)`, H of [`boiling_geopotential_altitude`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Z | geometric altitude (returned) | m |
/// | H | geopotential altitude | m |
/// | r | nominal radius of the Earth | m |
///
/// # Source
/// `[iapws2012]`, equation 30, put into `[iso2533]`.
///
/// # Valid for
/// Temperatures whose altitude lies in [`Altitude::RANGE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] for a temperature that boils at no altitude inside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::altitude::boiling_altitude, quantity::Temperature};
/// let brew = Temperature::from_celsius(93.0)?;
/// assert!((boiling_altitude(brew)?.metres() - 2095.07).abs() < 0.01);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn boiling_altitude(temperature: Temperature) -> Result<Altitude, MathsError> {
    geometric(boiling_geopotential_altitude(temperature)?)
}
