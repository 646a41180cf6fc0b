//! Alkalinity, bicarbonate, and the part of the hardness that boiling can drop.

use super::hardness::CACO3_PER_MEQ;
use super::ions::Ion;
use crate::maths::error::MathsError;
use crate::maths::quantity::{Concentration, Hardness};

/// Alkalinity of a water's bicarbonate.
///
/// # Equation
/// `a = c ½ M(CaCO3) / M(HCO3)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | a | alkalinity (returned) | mg/L as `CaCO3` |
/// | c | bicarbonate | mg/L |
/// | M | molar masses | g/mol |
///
/// # Source
/// One equivalent of bicarbonate takes up one of acid; atomic weights of `[ciaaw2021]`.
///
/// # Valid for
/// Waters below about pH 8.3, whose alkalinity is bicarbonate.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside [`Hardness::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::alkalinity::alkalinity_of, quantity::Concentration};
/// let bicarbonate = Concentration::from_milligrams_per_litre(61.016)?;
/// assert!((alkalinity_of(bicarbonate)?.milligrams_per_litre() - 50.043).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn alkalinity_of(bicarbonate: Concentration) -> Result<Hardness, MathsError> {
    let per_mg = CACO3_PER_MEQ / Ion::Bicarbonate.equivalent_mass();
    Hardness::from_milligrams_per_litre(bicarbonate.milligrams_per_litre() * per_mg)
}

/// Bicarbonate of a water's alkalinity: the inverse of [`alkalinity_of`].
///
/// # Equation
/// `c = a M(HCO3) / (½ M(CaCO3))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | c | bicarbonate (returned) | mg/L |
/// | a | alkalinity | mg/L as `CaCO3` |
///
/// # Source
/// As [`alkalinity_of`].
///
/// # Valid for
/// As [`alkalinity_of`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside [`Concentration::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::alkalinity::bicarbonate_of, quantity::Hardness};
/// let alkalinity = Hardness::from_milligrams_per_litre(40.0)?;
/// assert!((bicarbonate_of(alkalinity)?.milligrams_per_litre() - 48.770857).abs() < 1e-6);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn bicarbonate_of(alkalinity: Hardness) -> Result<Concentration, MathsError> {
    let per_mg = Ion::Bicarbonate.equivalent_mass() / CACO3_PER_MEQ;
    Concentration::from_milligrams_per_litre(alkalinity.milligrams_per_litre() * per_mg)
}

/// The two parts of a total hardness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarbonateSplit {
    /// Hardness matched by alkalinity, which heating can drop as scale.
    pub carbonate: Hardness,
    /// The rest, which stays in solution.
    pub non_carbonate: Hardness,
}

/// Carbonate and non-carbonate part of a total hardness.
///
/// # Equation
/// `c = min(h, a)`, `n = h − c`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | c, n | carbonate and non-carbonate hardness (returned) | mg/L as `CaCO3` |
/// | h, a | total hardness and alkalinity | mg/L as `CaCO3` |
///
/// # Source
/// `[apha2017]`, 2340 A.
///
/// # Valid for
/// Any water.
///
/// # Errors
/// None for values that exist.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::alkalinity::carbonate_split, quantity::Hardness};
/// let mg = Hardness::from_milligrams_per_litre;
/// let split = carbonate_split(mg(250.0)?, mg(200.0)?)?;
/// assert_eq!(split.non_carbonate, mg(50.0)?);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn carbonate_split(
    hardness: Hardness,
    alkalinity: Hardness,
) -> Result<CarbonateSplit, MathsError> {
    let total = hardness.milligrams_per_litre();
    let carbonate = total.min(alkalinity.milligrams_per_litre());
    Ok(CarbonateSplit {
        carbonate: Hardness::from_milligrams_per_litre(carbonate)?,
        non_carbonate: Hardness::from_milligrams_per_litre(total - carbonate)?,
    })
}
