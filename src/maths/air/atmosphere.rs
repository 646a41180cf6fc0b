//! The standard atmosphere below 11 km, both ways, and geometric against geopotential altitude.

use crate::maths::constants::{
    DRY_AIR_GAS_CONSTANT, NOMINAL_EARTH_RADIUS, STANDARD_GRAVITY, STANDARD_LAPSE_RATE,
    STANDARD_SEA_LEVEL_KELVIN, STANDARD_SEA_LEVEL_PASCALS,
};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Altitude, GeopotentialAltitude, Pressure};

/// Exponent of the barometric formula, g0/(R L); 5.2558797...
pub(super) const EXPONENT: f64 = STANDARD_GRAVITY / (DRY_AIR_GAS_CONSTANT * STANDARD_LAPSE_RATE);

/// Air pressure of the standard atmosphere at a geopotential altitude.
///
/// # Equation
/// `p = p0 (1 - L H / T0)^(g0 / (R L))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | air pressure (returned) | Pa |
/// | H | geopotential altitude | m |
/// | p0, T0, L, g0, R | constants of the standard atmosphere | SI |
///
/// # Source
/// `[iso2533]`, layer below 11 000 m.
///
/// # Valid for
/// [`GeopotentialAltitude::RANGE`], inside the source's -5000 to 11 000 m. A convention: the
/// weather moves the real pressure by some 10 hPa.
///
/// # Errors
/// None inside the range of [`GeopotentialAltitude`], where the pressure is 307 to 1075 hPa.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::atmosphere::air_pressure, quantity::GeopotentialAltitude};
/// let sea = GeopotentialAltitude::from_metres(0.0)?;
/// assert!((air_pressure(sea)?.hectopascals() - 1013.25).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn air_pressure(altitude: GeopotentialAltitude) -> Result<Pressure, MathsError> {
    let base = 1.0 - STANDARD_LAPSE_RATE * altitude.metres() / STANDARD_SEA_LEVEL_KELVIN;
    Pressure::from_pascals(STANDARD_SEA_LEVEL_PASCALS * libm::pow(base, EXPONENT))
}

/// Geopotential altitude at which the standard atmosphere has an air pressure.
///
/// # Equation
/// `H = (T0 / L) (1 - (p / p0)^(R L / g0))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | H | geopotential altitude (returned) | m |
/// | p | air pressure | Pa |
/// | p0, T0, L, g0, R | constants of the standard atmosphere | SI |
///
/// # Source
/// `[iso2533]`, layer below 11 000 m, solved for the altitude.
///
/// # Valid for
/// Pressures whose altitude lies in [`GeopotentialAltitude::RANGE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] for a pressure that the standard atmosphere has elsewhere.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::atmosphere::pressure_altitude, quantity::Pressure};
/// let air = Pressure::from_hectopascals(1013.25)?;
/// assert!(pressure_altitude(air)?.metres().abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn pressure_altitude(pressure: Pressure) -> Result<GeopotentialAltitude, MathsError> {
    let ratio = pressure.pascals() / STANDARD_SEA_LEVEL_PASCALS;
    let scale = STANDARD_SEA_LEVEL_KELVIN / STANDARD_LAPSE_RATE;
    GeopotentialAltitude::from_metres(scale * (1.0 - libm::pow(ratio, 1.0 / EXPONENT)))
}

/// Geopotential altitude of a geometric one.
///
/// # Equation
/// `H = r Z / (r + Z)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | H | geopotential altitude (returned) | m |
/// | Z | geometric altitude | m |
/// | r | nominal radius of the Earth | m |
///
/// # Source
/// `[iso2533]`. Printed tables of altitude and pressure are often geometric: at 2500 m the
/// difference is 1 m, or 3 mK of boiling point.
///
/// # Valid for
/// All of [`Altitude::RANGE`].
///
/// # Errors
/// None inside the range of [`Altitude`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::atmosphere::geopotential, quantity::Altitude};
/// let place = Altitude::from_metres(2500.0)?;
/// assert!((geopotential(place)?.metres() - 2499.0).abs() < 0.1);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn geopotential(altitude: Altitude) -> Result<GeopotentialAltitude, MathsError> {
    let z = altitude.metres();
    GeopotentialAltitude::from_metres(NOMINAL_EARTH_RADIUS * z / (NOMINAL_EARTH_RADIUS + z))
}

/// Geometric altitude of a geopotential one.
///
/// # Equation
/// `Z = r H / (r - H)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Z | geometric altitude (returned) | m |
/// | H | geopotential altitude | m |
/// | r | nominal radius of the Earth | m |
///
/// # Source
/// `[iso2533]`, solved for the geometric altitude.
///
/// # Valid for
/// Geopotential altitudes whose geometric one lies in [`Altitude::RANGE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] for the few metres at either end whose geometric altitude is
/// outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{air::atmosphere::geometric, quantity::GeopotentialAltitude};
/// let place = GeopotentialAltitude::from_metres(2499.0)?;
/// assert!((geometric(place)?.metres() - 2500.0).abs() < 0.1);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn geometric(altitude: GeopotentialAltitude) -> Result<Altitude, MathsError> {
    let h = altitude.metres();
    Altitude::from_metres(NOMINAL_EARTH_RADIUS * h / (NOMINAL_EARTH_RADIUS - h))
}
