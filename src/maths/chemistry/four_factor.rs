//! The four-factor index of saturation: an indicator, for its wide use.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Concentration, Hardness, Temperature};
use crate::maths::range::Range;

/// Temperatures at which the indicator is offered; above, it reads ever higher. `[parkhurst2013]`
pub const OFFERED: Range = Range::new("temperature", 0.0, 85.0, "°C");
/// Solids, hardness or alkalinity of which a logarithm can be taken.
const PRESENT: Range = Range::new("solids, hardness or alkalinity", 1e-6, 1_000_000.0, "mg/L");

/// pH of saturation by the four factors of solids, temperature, calcium and alkalinity.
///
/// # Equation
/// `pH_s = (9.3 + A + B) − (C + D)`, `A = (log10 s − 1) / 10`, `B = −13.12 log10(t + 273) + 34.55`,
/// `C = log10 c − 0.4`, `D = log10 a`; the index is `pH − pH_s`, the stability index `2 pH_s − pH`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pH_s` | pH of saturation (returned) | 1 |
/// | s | dissolved solids | mg/L |
/// | t | temperature | °C |
/// | c, a | calcium hardness and alkalinity | mg/L as `CaCO3` |
///
/// # Source
/// `[four-factor]`; its published example is reproduced.
///
/// # Valid for
/// [`OFFERED`], as an indicator: it reads 0.11 to 0.21 low at 25 °C and is 0.18 high in the mean at
/// 90 °C against a full speciation of 24 waters.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a temperature outside, or where one of the others is zero.
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::four_factor::four_factor_saturation_ph;
/// # use extraction_maths::maths::quantity::{Concentration, Hardness, Temperature};
/// let hardness = Hardness::from_milligrams_per_litre;
/// let saturated = four_factor_saturation_ph(
///     Temperature::from_celsius(25.0)?,
///     Concentration::from_milligrams_per_litre(320.0)?,
///     hardness(150.0)?,
///     hardness(34.0)?,
/// )?;
/// assert!((saturated - 8.2).abs() < 0.05);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn four_factor_saturation_ph(
    temperature: Temperature,
    solids: Concentration,
    calcium: Hardness,
    alkalinity: Hardness,
) -> Result<f64, MathsError> {
    let t = OFFERED.check(temperature.celsius())?;
    let log = |value: f64| PRESENT.check(value).map(libm::log10);
    let a = (log(solids.milligrams_per_litre())? - 1.0) / 10.0;
    let b = -13.12 * libm::log10(t + 273.0) + 34.55;
    let c = log(calcium.milligrams_per_litre())? - 0.4;
    let d = log(alkalinity.milligrams_per_litre())?;
    Ok((9.3 + a + b) - (c + d))
}
