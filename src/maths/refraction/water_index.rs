//! Refractive index of water.

use crate::maths::constants::{
    AIR_REFRACTIVE_INDEX, SODIUM_LIGHT_UM, STANDARD_SEA_LEVEL_PASCALS, ZERO_CELSIUS_KELVIN,
};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Pressure, RefractiveIndex, Temperature};
use crate::maths::range::Range;
use crate::maths::water::liquid::liquid_density;

/// Coefficients a0 to a7. `[iapws1997]`, table 1
const A: [f64; 8] = [
    0.244_257_733,
    9.746_344_76e-3,
    -3.732_349_96e-3,
    2.686_784_72e-4,
    1.589_205_70e-3,
    2.459_342_59e-3,
    0.900_704_920,
    -1.666_262_19e-2,
];
/// Resonances in the ultraviolet and the infrared, in reference wavelengths. `[iapws1997]`
const ULTRAVIOLET: f64 = 0.229_202_0;
const INFRARED: f64 = 5.432_937;
/// Reference density, kg/m³, and wavelength, µm. `[iapws1997]`
const REFERENCE_DENSITY: f64 = 1_000.0;
const REFERENCE_WAVELENGTH_UM: f64 = 0.589;

/// Where the formulation holds. `[iapws1997]`
const KELVIN: Range = Range::new("water temperature", 261.15, 773.15, "K");
const DENSITY: Range = Range::new("water density", 0.0, 1_060.0, "kg/m3");
/// Wavelengths of light for which the formulation holds.
pub const WAVELENGTH: Range = Range::new("wavelength", 0.2, 1.1, "µm");

/// Refractive index of water relative to vacuum.
///
/// # Equation
/// `(n^2 - 1) / (n^2 + 2) = d f`,
/// `f = a0 + a1 d + a2 T + a3 L^2 T + a4 / L^2 + a5 / (L^2 - U^2) + a6 / (L^2 - I^2) + a7 d^2`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | n | refractive index (returned) | 1 |
/// | d | density over 1000 kg/m³ | 1 |
/// | T | temperature over 273.15 K | 1 |
/// | L | wavelength over 0.589 µm | 1 |
/// | U, I | resonances in the ultraviolet and the infrared | 1 |
///
/// # Source
/// `[iapws1997]`, equation 1.
///
/// # Valid for
/// -12 to 500 °C, 0 to 1060 kg/m³ and [`WAVELENGTH`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::refraction::water_index::index_in_vacuum;
/// let index = index_in_vacuum(997.047_435, 298.15, 0.2265)?;
/// assert!((index.ratio() - 1.392_778_24).abs() < 5e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn index_in_vacuum(
    density_kg_per_m3: f64,
    kelvin: f64,
    wavelength_um: f64,
) -> Result<RefractiveIndex, MathsError> {
    let d = DENSITY.check(density_kg_per_m3)? / REFERENCE_DENSITY;
    let light = WAVELENGTH.check(wavelength_um)? / REFERENCE_WAVELENGTH_UM;
    let (warmth, square) = (KELVIN.check(kelvin)? / ZERO_CELSIUS_KELVIN, light * light);
    let refraction = d
        * (A[0]
            + A[1] * d
            + A[2] * warmth
            + A[3] * square * warmth
            + A[4] / square
            + A[5] / (square - ULTRAVIOLET * ULTRAVIOLET)
            + A[6] / (square - INFRARED * INFRARED)
            + A[7] * d * d);
    RefractiveIndex::from_ratio(libm::sqrt((1.0 + 2.0 * refraction) / (1.0 - refraction)))
}

/// Refractive index of water relative to air, as a refractometer shows it.
///
/// # Equation
/// `n = n_v(rho(T), T, 589.3 nm) / n_air`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | n | refractive index relative to air (returned) | 1 |
/// | `n_v` | relative to vacuum, [`index_in_vacuum`] | 1 |
/// | rho | density at standard pressure, [`liquid_density`] | kg/m³ |
/// | `n_air` | [`AIR_REFRACTIVE_INDEX`] | 1 |
///
/// # Source
/// `[iapws1997]` with `[iapws2012]`; the index of air of `[sucrose-scale]`. Without air the
/// value would be 3.6e-4 too high, a quarter of a percent of sugar.
///
/// # Valid for
/// Liquid water at standard pressure, 0 to 99.9 °C; good to 2e-5.
///
/// # Errors
/// As [`liquid_density`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{refraction::water_index::index_in_air, quantity::Temperature};
/// let index = index_in_air(Temperature::from_celsius(20.0)?)?;
/// assert!((index.ratio() - 1.332_99).abs() < 1e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn index_in_air(temperature: Temperature) -> Result<RefractiveIndex, MathsError> {
    let air = Pressure::from_pascals(STANDARD_SEA_LEVEL_PASCALS)?;
    let density = liquid_density(temperature, air)?.kilograms_per_cubic_metre();
    let vacuum = index_in_vacuum(density, temperature.kelvin(), SODIUM_LIGHT_UM)?;
    RefractiveIndex::from_ratio(vacuum.ratio() / AIR_REFRACTIVE_INDEX)
}
