//! Density of brewed coffee by its strength and temperature.

use crate::maths::constants::STANDARD_SEA_LEVEL_PASCALS;
use crate::maths::error::MathsError;
use crate::maths::quantity::{Density, MassFraction, Pressure, Temperature};
use crate::maths::range::Range;
use crate::maths::water::liquid::liquid_density;

/// How much denser than water a beverage is, per mass fraction of solids; good to
/// [`DENSITY_PER_SOLIDS_UNCERTAINTY`]. `[beverage-density]`
pub const DENSITY_PER_SOLIDS: f64 = 0.41;
/// Standard uncertainty of [`DENSITY_PER_SOLIDS`]. `[beverage-density]`
pub const DENSITY_PER_SOLIDS_UNCERTAINTY: f64 = 0.02;
/// Beverages in an open cup, at the pressure of standard air.
pub const CUP_TEMPERATURE: Range = Range::new("beverage temperature", 0.0, 99.0, "°C");

/// Density of brewed coffee, foam and suspended solids left out.
///
/// # Equation
/// `rho = rho_w(T) (1 + k t)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | rho | density of the beverage (returned) | kg/m³ |
/// | `rho_w` | density of water, [`liquid_density`] | kg/m³ |
/// | T | temperature | °C |
/// | t | strength | 1 |
/// | k | [`DENSITY_PER_SOLIDS`] | 1 |
///
/// # Source
/// `[beverage-density]` for k, at 20 °C; that the beverage expands as water does is our
/// assumption, `[iapws2012]`.
///
/// # Valid for
/// [`CUP_TEMPERATURE`] and [`MassFraction::STRENGTH_PERCENT`]. The uncertainty of k moves the
/// density by 0.03 % at 1.3 % strength and by 0.2 % at 10 %.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::beverage_density::beverage_density,
/// #     quantity::{MassFraction, Temperature}};
/// let strength = MassFraction::from_percent(10.0)?;
/// let density = beverage_density(strength, Temperature::from_celsius(20.0)?)?;
/// // 998.2 kg/m³ of water, 4.1 % denser
/// assert!((density.kilograms_per_cubic_metre() - 998.2 * 1.041).abs() < 0.05);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn beverage_density(
    strength: MassFraction,
    temperature: Temperature,
) -> Result<Density, MathsError> {
    MassFraction::STRENGTH_PERCENT.check(strength.percent())?;
    CUP_TEMPERATURE.check(temperature.celsius())?;
    let air = Pressure::from_pascals(STANDARD_SEA_LEVEL_PASCALS)?;
    let water = liquid_density(temperature, air)?.kilograms_per_cubic_metre();
    Density::from_kilograms_per_cubic_metre(
        water * (1.0 + DENSITY_PER_SOLIDS * strength.fraction()),
    )
}
