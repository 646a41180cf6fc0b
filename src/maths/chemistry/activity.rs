//! Activity of ions in water that is not pure.

use super::equilibrium::OFFERED;
use crate::maths::error::MathsError;
use crate::maths::quantity::{IonicStrength, Temperature};

/// Negative decimal logarithm of the activity coefficient of an ion with one charge.
///
/// # Equation
/// `p = A (√I / (1 + √I) − 0.3 I)`, `A = 1.82e6 (ε T)^−1.5`, `ε = 60954 / (T + 116) − 68.937`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | negative logarithm of the activity coefficient (returned) | 1 |
/// | I | ionic strength | mol/L |
/// | ε | dielectric constant of water | 1 |
/// | T | temperature | K |
///
/// # Source
/// `[apha2017]`, 2330 B, from memory.
///
/// # Valid for
/// Ionic strength to 0.5 mol/L; an ion of charge z has z² times as much.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside [`OFFERED`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::activity::monovalent_activity;
/// # use extraction_maths::maths::quantity::{IonicStrength, Temperature};
/// let p = monovalent_activity(Temperature::from_celsius(25.0)?, IonicStrength::from_moles_per_litre(0.01)?)?;
/// assert!(0.04 < p && p < 0.05);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn monovalent_activity(
    temperature: Temperature,
    strength: IonicStrength,
) -> Result<f64, MathsError> {
    OFFERED.check(temperature.celsius())?;
    let t = temperature.kelvin();
    let i = strength.moles_per_litre();
    let root = libm::sqrt(i);
    let dielectric = 60_954.0 / (t + 116.0) - 68.937;
    let a = 1.82e6 * libm::pow(dielectric * t, -1.5);
    Ok(a * (root / (1.0 + root) - 0.3 * i))
}
