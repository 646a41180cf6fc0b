//! Hardness: the units of the world, from ions and by titration.

use super::ions::Ion;
use crate::maths::constants::{
    GRAIN_MG, IMPERIAL_GALLON_L, MOLAR_MASS_CACO3, MOLAR_MASS_CAO, US_GALLON_L,
};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Concentration, Hardness};
use crate::maths::range::Range;

/// A unit of hardness and of alkalinity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HardnessUnit {
    /// Milligrams per litre as calcium carbonate.
    MgPerLCaco3,
    /// German degree: 10 mg/L as calcium oxide.
    Dh,
    /// French degree: 10 mg/L as calcium carbonate.
    Fh,
    /// Clark or English degree: a grain of calcium carbonate per imperial gallon.
    Clark,
    /// Grain of calcium carbonate per US gallon.
    GpgUs,
    /// Millimoles per litre of calcium and magnesium together.
    MmolPerL,
    /// Milliequivalents per litre.
    MeqPerL,
}

impl HardnessUnit {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::MgPerLCaco3,
        Self::Dh,
        Self::Fh,
        Self::Clark,
        Self::GpgUs,
        Self::MmolPerL,
        Self::MeqPerL,
    ];

    /// Milligrams per litre as calcium carbonate of one unit, by its definition.
    #[must_use]
    pub const fn milligrams(self) -> f64 {
        match self {
            Self::MgPerLCaco3 => 1.0,
            Self::Dh => 10.0 * MOLAR_MASS_CACO3 / MOLAR_MASS_CAO,
            Self::Fh => 10.0,
            Self::Clark => GRAIN_MG / IMPERIAL_GALLON_L,
            Self::GpgUs => GRAIN_MG / US_GALLON_L,
            Self::MmolPerL => MOLAR_MASS_CACO3,
            Self::MeqPerL => CACO3_PER_MEQ,
        }
    }
}

/// Mass of one milliequivalent of calcium carbonate, mg.
pub const CACO3_PER_MEQ: f64 = MOLAR_MASS_CACO3 / 2.0;

impl Hardness {
    /// A test kit's reading of hardness or alkalinity, in any unit.
    pub const READING: Range = Range::new("test-kit reading", 0.0, 2_000.0, "1");

    /// The hardness from its value in a unit.
    ///
    /// # Errors
    /// As [`Hardness::from_milligrams_per_litre`].
    pub fn from_unit(value: f64, unit: HardnessUnit) -> Result<Self, MathsError> {
        Self::from_milligrams_per_litre(value * unit.milligrams())
    }

    /// The value in a unit.
    #[must_use]
    pub const fn in_unit(self, unit: HardnessUnit) -> f64 {
        self.milligrams_per_litre() / unit.milligrams()
    }
}

/// Hardness that an ion brings.
///
/// # Equation
/// `h = c M(CaCO3) / M`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | h | hardness (returned) | mg/L as `CaCO3` |
/// | c | calcium or magnesium | mg/L |
/// | M | molar masses | g/mol |
///
/// # Source
/// `[apha2017]`, 2340 B, which rounds the factors to 2.497 and 4.118.
///
/// # Valid for
/// Calcium and magnesium; every other ion brings none.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside [`Hardness::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::{hardness::ion_hardness, ions::Ion}, quantity::Concentration};
/// let calcium = Concentration::from_milligrams_per_litre(40.078)?;
/// assert!((ion_hardness(Ion::Calcium, calcium)?.milligrams_per_litre() - 100.086).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn ion_hardness(ion: Ion, concentration: Concentration) -> Result<Hardness, MathsError> {
    let per_mg = match ion {
        Ion::Calcium | Ion::Magnesium => CACO3_PER_MEQ / ion.equivalent_mass(),
        Ion::Sodium | Ion::Potassium | Ion::Bicarbonate | Ion::Chloride | Ion::Sulfate => 0.0,
    };
    Hardness::from_milligrams_per_litre(concentration.milligrams_per_litre() * per_mg)
}

/// A titration: what was used on which sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Titration {
    /// Sample, mL.
    pub sample_ml: f64,
    /// Titrant used to the end point, mL.
    pub titrant_ml: f64,
    /// Amount of substance of the titrant, mol/L.
    pub titrant_mol_per_l: f64,
}

impl Titration {
    /// Samples that are titrated.
    pub const SAMPLE: Range = Range::new("sample", 1.0, 1_000.0, "mL");
    /// Titrants used to the end point.
    pub const TITRANT: Range = Range::new("titrant", 0.0, 1_000.0, "mL");
    /// Concentrations of titrants.
    pub const STRENGTH: Range = Range::new("titrant concentration", 1e-5, 2.0, "mol/L");

    /// Titrated amount per litre of the sample, mmol/L.
    fn millimoles_per_litre(&self) -> Result<f64, MathsError> {
        let sample = Self::SAMPLE.check(self.sample_ml)?;
        let titrant = Self::TITRANT.check(self.titrant_ml)?;
        Ok(1000.0 * titrant * Self::STRENGTH.check(self.titrant_mol_per_l)? / sample)
    }
}

/// Total hardness by titration with EDTA, of which one mole binds one of calcium or magnesium.
///
/// # Equation
/// `h = M(CaCO3) 1000 v m / s`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | h | total hardness (returned) | mg/L as `CaCO3` |
/// | v, s | titrant used and sample | mL |
/// | m | titrant | mol/L |
///
/// # Source
/// `[apha2017]`, 2340 C; the one-to-one binding makes the arithmetic exact.
///
/// # Valid for
/// Titration near pH 10, to the end point of the indicator.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a volume or concentration outside the ranges of [`Titration`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::hardness::{Titration, hardness_by_titration};
/// let titration = Titration { sample_ml: 50.0, titrant_ml: 10.0, titrant_mol_per_l: 0.01 };
/// assert!((hardness_by_titration(&titration)?.milligrams_per_litre() - 200.172).abs() < 1e-10);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn hardness_by_titration(edta: &Titration) -> Result<Hardness, MathsError> {
    Hardness::from_milligrams_per_litre(edta.millimoles_per_litre()? * MOLAR_MASS_CACO3)
}

/// Total alkalinity by titration with a strong acid.
///
/// # Equation
/// `a = ½ M(CaCO3) 1000 v m / s`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | a | alkalinity (returned) | mg/L as `CaCO3` |
/// | v, s | acid used and sample | mL |
/// | m | hydrogen ion that the acid gives | mol/L |
///
/// # Source
/// `[apha2017]`, 2320 B; its factor of 50 000 mg/eq is 50 043 with today's atomic weights.
///
/// # Valid for
/// Titration to the end point near pH 4.5. Sulfuric acid gives two hydrogen ions a molecule.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a volume or concentration outside the ranges of [`Titration`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::hardness::{Titration, alkalinity_by_titration};
/// let titration = Titration { sample_ml: 100.0, titrant_ml: 4.0, titrant_mol_per_l: 0.02 };
/// assert!((alkalinity_by_titration(&titration)?.milligrams_per_litre() - 40.0344).abs() < 1e-10);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn alkalinity_by_titration(acid: &Titration) -> Result<Hardness, MathsError> {
    Hardness::from_milligrams_per_litre(acid.millimoles_per_litre()? * CACO3_PER_MEQ)
}
