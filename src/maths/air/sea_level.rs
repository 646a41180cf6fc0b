//! Pressure reduced to sea level with the weather (QFF) against the pressure at the place.

use crate::maths::constants::{DRY_AIR_GAS_CONSTANT, STANDARD_GRAVITY, STANDARD_LAPSE_RATE};
use crate::maths::error::MathsError;
use crate::maths::quantity::{GeopotentialAltitude, Pressure, RelativeHumidity, Temperature};

/// Rise of the mean virtual temperature with the vapour pressure, K/hPa. `[wmo8]`
const HUMIDITY_COEFFICIENT: f64 = 0.12;
/// Saturation vapour pressure over water at 0 °C, hPa. `[wmo8]`, from memory
const MAGNUS_PRESSURE: f64 = 6.112;
/// Factor of the exponent of the Magnus formula. `[wmo8]`, from memory
const MAGNUS_FACTOR: f64 = 17.62;
/// Offset of the exponent of the Magnus formula, °C. `[wmo8]`, from memory
const MAGNUS_OFFSET: f64 = 243.12;

/// The air at the place, as the reduction to sea level needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather {
    /// Air temperature at the place.
    pub temperature: Temperature,
    /// Relative humidity at the place.
    pub humidity: RelativeHumidity,
}

/// Air pressure at the place from a weather service's sea-level pressure.
///
/// # Equation
/// `p = QFF exp[ -(g0 / R) H / (T + L H / 2 + 0.12 e) ]`,
/// e of [`vapour_pressure_hpa`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | air pressure at the place (returned) | hPa |
/// | QFF | pressure reduced to sea level | hPa |
/// | H | geopotential altitude of the place | m |
/// | T | air temperature at the place | K |
/// | e | vapour pressure | hPa |
/// | L, g0, R | constants of the standard atmosphere | SI |
///
/// # Source
/// `[wmo8]`, reduction read on a secondary page, vapour pressure from memory.
///
/// # Valid for
/// Sea-level pressures inside [`Pressure::AIR`], [`Temperature::AIR`] and all of
/// [`GeopotentialAltitude::RANGE`]. Weather services use the form up to about 750 m; higher up
/// their methods differ, so that the result is uncertain by some hPa.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a sea-level pressure or an air temperature outside its range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::sea_level::{station_pressure, Weather}, quantity::{GeopotentialAltitude, Pressure, RelativeHumidity, Temperature}};
/// let sea = Pressure::from_hectopascals(1011.96)?;
/// let place = GeopotentialAltitude::from_metres(494.0)?;
/// let weather = Weather {
///     temperature: Temperature::from_celsius(15.4)?,
///     humidity: RelativeHumidity::from_percent(76.5)?,
/// };
/// assert!((station_pressure(sea, place, weather)?.hectopascals() - 955.084).abs() < 0.001);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn station_pressure(
    sea_level: Pressure,
    altitude: GeopotentialAltitude,
    weather: Weather,
) -> Result<Pressure, MathsError> {
    Pressure::AIR.check(sea_level.hectopascals())?;
    let exponent = reduction_exponent(altitude, weather)?;
    Pressure::from_hectopascals(sea_level.hectopascals() * libm::exp(-exponent))
}

/// Sea-level pressure that a weather service gives for a pressure measured at a place.
///
/// # Equation
/// `QFF = p exp[ (g0 / R) H / (T + L H / 2 + 0.12 e) ]`, e as in [`station_pressure`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | QFF | pressure reduced to sea level (returned) | hPa |
/// | p | air pressure at the place | hPa |
/// | H, T, e, L, g0, R | as in [`station_pressure`] | |
///
/// # Source
/// `[wmo8]`, reduction read on a secondary page, vapour pressure from memory.
///
/// # Valid for
/// As [`station_pressure`].
///
/// # Errors
/// [`MathsError::OutOfRange`] for an air temperature outside [`Temperature::AIR`] or a result
/// that is not a [`Pressure`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::sea_level::{sea_level_pressure, Weather}, quantity::{GeopotentialAltitude, Pressure, RelativeHumidity, Temperature}};
/// let weather = Weather {
///     temperature: Temperature::from_celsius(15.4)?,
///     humidity: RelativeHumidity::from_percent(76.5)?,
/// };
/// let place = GeopotentialAltitude::from_metres(494.0)?;
/// let air = Pressure::from_hectopascals(955.084)?;
/// assert!((sea_level_pressure(air, place, weather)?.hectopascals() - 1011.96).abs() < 0.001);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn sea_level_pressure(
    station: Pressure,
    altitude: GeopotentialAltitude,
    weather: Weather,
) -> Result<Pressure, MathsError> {
    let exponent = reduction_exponent(altitude, weather)?;
    Pressure::from_hectopascals(station.hectopascals() * libm::exp(exponent))
}

/// Pressure of the water vapour in the air.
///
/// # Equation
/// `e = (RH / 100) 6.112 exp[ 17.62 t / (243.12 + t) ]`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | e | vapour pressure (returned) | hPa |
/// | RH | relative humidity | % |
/// | t | air temperature | °C |
///
/// # Source
/// `[wmo8]`, from memory.
///
/// # Valid for
/// [`Temperature::AIR`] and all of [`RelativeHumidity::RANGE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] for an air temperature outside its range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::sea_level::{vapour_pressure_hpa, Weather}, quantity::{RelativeHumidity, Temperature}};
/// let weather = Weather {
///     temperature: Temperature::from_celsius(20.0)?,
///     humidity: RelativeHumidity::from_percent(100.0)?,
/// };
/// // steam tables: 23.39 hPa
/// assert!((vapour_pressure_hpa(weather)? - 23.39).abs() < 0.1);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn vapour_pressure_hpa(weather: Weather) -> Result<f64, MathsError> {
    let celsius = Temperature::AIR.check(weather.temperature.celsius())?;
    let saturated_hpa =
        MAGNUS_PRESSURE * libm::exp(MAGNUS_FACTOR * celsius / (MAGNUS_OFFSET + celsius));
    Ok(weather.humidity.percent() / 100.0 * saturated_hpa)
}

/// Natural logarithm of sea-level pressure over pressure at the place.
fn reduction_exponent(altitude: GeopotentialAltitude, weather: Weather) -> Result<f64, MathsError> {
    let mean_kelvin = weather.temperature.kelvin()
        + STANDARD_LAPSE_RATE * altitude.metres() / 2.0
        + HUMIDITY_COEFFICIENT * vapour_pressure_hpa(weather)?;
    Ok(STANDARD_GRAVITY / DRY_AIR_GAS_CONSTANT * altitude.metres() / mean_kelvin)
}
