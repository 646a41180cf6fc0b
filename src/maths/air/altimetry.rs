//! Altimeter setting (QNH) against the pressure at the place, by the altimeter equation.

use super::atmosphere::EXPONENT;
use crate::maths::constants::{
    STANDARD_LAPSE_RATE, STANDARD_SEA_LEVEL_KELVIN, STANDARD_SEA_LEVEL_PASCALS,
};
use crate::maths::error::MathsError;
use crate::maths::quantity::{GeopotentialAltitude, Pressure};

/// Air pressure at the place from the altimeter setting in force there.
///
/// # Equation
/// `p = p0 [ (QNH / p0)^(R L / g0) - L H / T0 ]^(g0 / (R L))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | air pressure at the place (returned) | Pa |
/// | QNH | altimeter setting | Pa |
/// | H | geopotential altitude of the place | m |
/// | p0, T0, L, g0, R | constants of the standard atmosphere | SI |
///
/// # Source
/// `[icao7488]`: an altimeter set to QNH shows the elevation on the ground; solved exactly for
/// the pressure, instead of the manual's two steps with rounded constants.
///
/// # Valid for
/// Altimeter settings inside [`Pressure::AIR`] and all of [`GeopotentialAltitude::RANGE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] for an altimeter setting outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::altimetry::station_pressure, quantity::{GeopotentialAltitude, Pressure}};
/// let setting = Pressure::from_hectopascals(1025.0)?;
/// let place = GeopotentialAltitude::from_metres(1609.3)?;
/// assert!((station_pressure(setting, place)?.hectopascals() - 844.321).abs() < 0.001);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn station_pressure(
    altimeter_setting: Pressure,
    altitude: GeopotentialAltitude,
) -> Result<Pressure, MathsError> {
    Pressure::AIR.check(altimeter_setting.hectopascals())?;
    moved(altimeter_setting, -altitude.metres())
}

/// Altimeter setting that makes an altimeter show the elevation of a place.
///
/// # Equation
/// `QNH = p0 [ (p / p0)^(R L / g0) + L H / T0 ]^(g0 / (R L))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | QNH | altimeter setting (returned) | Pa |
/// | p | air pressure at the place | Pa |
/// | H | geopotential altitude of the place | m |
/// | p0, T0, L, g0, R | constants of the standard atmosphere | SI |
///
/// # Source
/// `[icao7488]`, with the unrounded constants of the standard atmosphere.
///
/// # Valid for
/// Any [`Pressure`] whose altimeter setting is one too, and all of
/// [`GeopotentialAltitude::RANGE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] when the result is not a [`Pressure`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::altimetry::altimeter_setting, quantity::{GeopotentialAltitude, Pressure}};
/// let air = Pressure::from_hectopascals(844.321)?;
/// let place = GeopotentialAltitude::from_metres(1609.3)?;
/// assert!((altimeter_setting(air, place)?.hectopascals() - 1025.0).abs() < 0.001);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn altimeter_setting(
    station: Pressure,
    altitude: GeopotentialAltitude,
) -> Result<Pressure, MathsError> {
    moved(station, altitude.metres())
}

/// The pressure of the standard profile through `pressure`, so many metres further down.
fn moved(pressure: Pressure, down_m: f64) -> Result<Pressure, MathsError> {
    let ratio = pressure.pascals() / STANDARD_SEA_LEVEL_PASCALS;
    let base =
        libm::pow(ratio, 1.0 / EXPONENT) + STANDARD_LAPSE_RATE * down_m / STANDARD_SEA_LEVEL_KELVIN;
    // Positive throughout: 1 hPa at the lowest and 300 hPa at the highest altitude stay above 0.05.
    Pressure::from_pascals(STANDARD_SEA_LEVEL_PASCALS * libm::pow(base, EXPONENT))
}
