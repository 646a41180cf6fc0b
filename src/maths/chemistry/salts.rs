//! Salts that are dosed into brewing water, each with its water of crystallisation.

use super::ions::{Ion, Ions};
use crate::maths::constants::MOLAR_MASS_WATER;
use crate::maths::error::MathsError;
use crate::maths::quantity::Concentration;
use crate::maths::range::Range;

/// A salt without its water of crystallisation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Salt {
    /// `MgSO4`
    MagnesiumSulfate,
    /// `MgCl2`
    MagnesiumChloride,
    /// `CaCl2`
    CalciumChloride,
    /// `CaSO4`
    CalciumSulfate,
    /// `NaHCO3`
    SodiumBicarbonate,
    /// `KHCO3`
    PotassiumBicarbonate,
    /// `NaCl`
    SodiumChloride,
    /// `KCl`
    PotassiumChloride,
}

impl Salt {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::MagnesiumSulfate,
        Self::MagnesiumChloride,
        Self::CalciumChloride,
        Self::CalciumSulfate,
        Self::SodiumBicarbonate,
        Self::PotassiumBicarbonate,
        Self::SodiumChloride,
        Self::PotassiumChloride,
    ];

    /// Cation and anion, each with its count in a formula unit.
    #[must_use]
    pub const fn parts(self) -> [(Ion, f64); 2] {
        match self {
            Self::MagnesiumSulfate => [(Ion::Magnesium, 1.0), (Ion::Sulfate, 1.0)],
            Self::MagnesiumChloride => [(Ion::Magnesium, 1.0), (Ion::Chloride, 2.0)],
            Self::CalciumChloride => [(Ion::Calcium, 1.0), (Ion::Chloride, 2.0)],
            Self::CalciumSulfate => [(Ion::Calcium, 1.0), (Ion::Sulfate, 1.0)],
            Self::SodiumBicarbonate => [(Ion::Sodium, 1.0), (Ion::Bicarbonate, 1.0)],
            Self::PotassiumBicarbonate => [(Ion::Potassium, 1.0), (Ion::Bicarbonate, 1.0)],
            Self::SodiumChloride => [(Ion::Sodium, 1.0), (Ion::Chloride, 1.0)],
            Self::PotassiumChloride => [(Ion::Potassium, 1.0), (Ion::Chloride, 1.0)],
        }
    }

    /// Molecules of water of crystallisation in the forms that are sold; 0 is anhydrous.
    #[must_use]
    pub const fn hydrates(self) -> &'static [u32] {
        match self {
            Self::MagnesiumSulfate => &[0, 1, 7],
            Self::MagnesiumChloride => &[0, 6],
            Self::CalciumChloride => &[0, 2, 6],
            Self::CalciumSulfate => &[0, 2],
            Self::SodiumBicarbonate
            | Self::PotassiumBicarbonate
            | Self::SodiumChloride
            | Self::PotassiumChloride => &[0],
        }
    }
}

/// A salt in the form in which it is weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hydrate {
    salt: Salt,
    waters: u32,
}

impl Hydrate {
    /// A salt with so many molecules of water.
    ///
    /// # Errors
    /// [`MathsError::NoSolution`] for a form that is not among [`Salt::hydrates`].
    pub fn new(salt: Salt, waters: u32) -> Result<Self, MathsError> {
        if salt.hydrates().contains(&waters) {
            return Ok(Self { salt, waters });
        }
        Err(MathsError::NoSolution {
            equation: "hydrate of the salt",
            reason: "the salt is not sold with so many molecules of water",
        })
    }

    /// The salt.
    #[must_use]
    pub const fn salt(self) -> Salt {
        self.salt
    }

    /// Molecules of water of crystallisation.
    #[must_use]
    pub const fn waters(self) -> u32 {
        self.waters
    }

    /// Molar mass, water of crystallisation included, g/mol.
    #[must_use]
    pub fn molar_mass(self) -> f64 {
        let [(cation, cations), (anion, anions)] = self.salt.parts();
        let dry = cations * cation.molar_mass() + anions * anion.molar_mass();
        dry + f64::from(self.waters) * MOLAR_MASS_WATER
    }

    /// Milligrams of an ion in a milligram of the salt as weighed.
    #[must_use]
    pub fn mass_share(self, ion: Ion) -> f64 {
        let parts = self.salt.parts();
        let part = parts.iter().find(|(part, _)| *part == ion);
        part.map_or(0.0, |(ion, count)| {
            count * ion.molar_mass() / self.molar_mass()
        })
    }
}

/// Ions that a dose of salt brings into a water.
///
/// # Equation
/// `c = s n M / M_salt`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | c | concentration of each ion (returned) | mg/L |
/// | s | salt as weighed, water of crystallisation included | mg/L |
/// | n, M | count and molar mass of the ion | 1, g/mol |
/// | `M_salt` | molar mass of the hydrate | g/mol |
///
/// # Source
/// Stoichiometry with the atomic weights of `[ciaaw2021]`.
///
/// # Valid for
/// Salt that dissolves wholly and has the water of crystallisation that its label says.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a concentration outside [`Concentration::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::{ions::Ion, salts::{Hydrate, Salt, dissolved}};
/// # use extraction_maths::maths::quantity::Concentration;
/// let epsom = Hydrate::new(Salt::MagnesiumSulfate, 7)?;
/// let ions = dissolved(epsom, Concentration::from_milligrams_per_litre(100.0)?)?;
/// let magnesium = ions.get(Ion::Magnesium).map_or(0.0, Concentration::milligrams_per_litre);
/// assert!((magnesium - 9.861401).abs() < 1e-6);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn dissolved(salt: Hydrate, dose: Concentration) -> Result<Ions, MathsError> {
    let mut ions = Ions::default();
    for (ion, _) in salt.salt.parts() {
        let brought = dose.milligrams_per_litre() * salt.mass_share(ion);
        ions = ions.with(ion, Concentration::from_milligrams_per_litre(brought)?);
    }
    Ok(ions)
}

/// Volumes of concentrates and their doses.
pub const CONCENTRATE: Range = Range::new("concentrate", 0.01, 100_000.0, "mL");

/// Salt per millilitre of a concentrate of which one dose treats a batch of water.
///
/// # Equation
/// `g = s V / (1000 d)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | g | salt per volume of concentrate (returned) | g/mL |
/// | s | salt wanted in the water | mg/L |
/// | V | water of the batch | L |
/// | d | concentrate put into the batch | mL |
///
/// # Source
/// Mass balance; the volume of the dose is left out.
///
/// # Valid for
/// Doses that are small against the batch, and below the solubility of the salt, which the
/// caller checks.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a dose outside [`CONCENTRATE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::salts::concentrate_g_per_ml, quantity::Concentration};
/// let wanted = Concentration::from_milligrams_per_litre(100.0)?;
/// assert!((concentrate_g_per_ml(wanted, 1.0, 10.0)? - 0.01).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn concentrate_g_per_ml(
    wanted: Concentration,
    batch_l: f64,
    dose_ml: f64,
) -> Result<f64, MathsError> {
    let dose = CONCENTRATE.check(dose_ml)?;
    Ok(wanted.milligrams_per_litre() * batch_l / (1000.0 * dose))
}
