//! Water hotter than its boiling point in the open air: the share that flashes to steam.

use super::saturation::{boiling_temperature, latent_heat, liquid_enthalpy};
use crate::maths::error::MathsError;
use crate::maths::quantity::{MassFraction, Pressure, Temperature};

/// Share of hot water that turns to steam when it meets the air.
///
/// # Equation
/// `x = (h_f(T) - h_f(T_b)) / h_fg(T_b)`, and 0 where T is not above `T_b`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x | mass fraction of steam (returned) | 1 |
/// | T | temperature of the water under pressure | °C |
/// | `T_b` | boiling temperature in the air | °C |
/// | `h_f`, `h_fg` | enthalpy of boiling water, latent heat | kJ/kg |
///
/// # Source
/// Energy balance of throttling without loss, on the enthalpies of `[iapws2012]`.
///
/// # Valid for
/// [`Temperature::LIQUID_WATER`] and an air pressure inside [`Pressure::SATURATION`]. Takes the
/// water as just boiling at T; at 15 bar more, its enthalpy is higher by at most 1.5 kJ/kg, that
/// is 0.0007 of the share.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside those ranges.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{water::flash::flash_fraction, quantity::{Pressure, Temperature}};
/// let air = Pressure::from_hectopascals(1013.25)?;
/// assert_eq!(flash_fraction(Temperature::from_celsius(93.0)?, air)?.fraction(), 0.0);
/// let hot = flash_fraction(Temperature::from_celsius(130.0)?, air)?;
/// assert!((hot.percent() - 5.646).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn flash_fraction(temperature: Temperature, air: Pressure) -> Result<MassFraction, MathsError> {
    Temperature::LIQUID_WATER.check(temperature.celsius())?;
    let boiling = boiling_temperature(air)?;
    if temperature <= boiling {
        return MassFraction::from_fraction(0.0);
    }
    let hot = liquid_enthalpy(temperature)?.kilojoules_per_kilogram();
    let settled = liquid_enthalpy(boiling)?.kilojoules_per_kilogram();
    let share = (hot - settled) / latent_heat(boiling)?.kilojoules_per_kilogram();
    // Rounding may put a temperature one bit above boiling a hair below zero.
    MassFraction::from_fraction(share.max(0.0))
}
