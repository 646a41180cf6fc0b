//! Salts that bring a water nearest to a target.

use super::ions::{Ion, Ions};
use super::salts::{Hydrate, dissolved};
use crate::maths::error::MathsError;
use crate::maths::numeric::least_squares::non_negative;
use crate::maths::quantity::Concentration;

/// A quantity of a water that salts can raise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// Calcium and magnesium together.
    TotalHardness,
    /// One ion; alkalinity is bicarbonate.
    Ion(Ion),
}

impl Aim {
    /// Milliequivalents per litre of the quantity in a water.
    #[must_use]
    pub fn milliequivalents(self, ions: &Ions) -> f64 {
        match self {
            Self::TotalHardness => {
                ions.milliequivalents(Ion::Calcium) + ions.milliequivalents(Ion::Magnesium)
            }
            Self::Ion(ion) => ions.milliequivalents(ion),
        }
    }
}

/// Doses of salts that bring a water nearest to a target.
///
/// # Equation
/// `min Σ (t − w − Σ A x)²` over `x >= 0`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x | dose of each salt (returned, as mg/L of the hydrate) | meq/L |
/// | t − w | what the water lacks of each quantity aimed at | meq/L |
/// | A | equivalents of each quantity that an equivalent of each salt brings | 1 |
///
/// # Source
/// Non-negative least squares, `[lawson1974]`, on the stoichiometry of each salt.
///
/// # Valid for
/// Salts that dissolve wholly; every quantity counts alike in meq/L. A salt can raise a
/// quantity, never lower it. Where several sets of doses are equally near, one with few
/// salts is answered.
///
/// # Errors
/// As [`non_negative`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::{dosing::{Aim, nearest_doses}, ions::Ion, salts::{Hydrate, Salt}};
/// let soda = Hydrate::new(Salt::SodiumBicarbonate, 0)?;
/// let doses = nearest_doses(&[soda], &[(Aim::Ion(Ion::Bicarbonate), 40.0 / 50.043)])?;
/// assert!((doses[0].milligrams_per_litre() - 67.14687).abs() < 1e-4);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn nearest_doses(
    salts: &[Hydrate],
    lacking_meq_per_l: &[(Aim, f64)],
) -> Result<Vec<Concentration>, MathsError> {
    let mut columns = Vec::with_capacity(salts.len());
    for salt in salts {
        let ions = dissolved(*salt, equivalent_dose(*salt)?)?;
        let of = lacking_meq_per_l.iter();
        columns.push(of.map(|(aim, _)| aim.milliequivalents(&ions)).collect());
    }
    let lacking: Vec<f64> = lacking_meq_per_l.iter().map(|(_, meq)| *meq).collect();
    let doses = non_negative(&columns, &lacking)?;
    let of = salts.iter().zip(doses);
    of.map(|(salt, x)| {
        let milligrams = x * equivalent_dose(*salt)?.milligrams_per_litre();
        Concentration::from_milligrams_per_litre(milligrams)
    })
    .collect()
}

/// Mass of the hydrate that brings one milliequivalent of its cation.
fn equivalent_dose(salt: Hydrate) -> Result<Concentration, MathsError> {
    let [(cation, count), _] = salt.salt().parts();
    Concentration::from_milligrams_per_litre(salt.molar_mass() / (count * cation.charge()))
}
