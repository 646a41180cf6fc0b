//! The main ions of drinking water, their charges, their balance and their ionic strength.

use crate::maths::constants::{
    ATOMIC_WEIGHT_C, ATOMIC_WEIGHT_CA, ATOMIC_WEIGHT_CL, ATOMIC_WEIGHT_H, ATOMIC_WEIGHT_K,
    ATOMIC_WEIGHT_MG, ATOMIC_WEIGHT_NA, ATOMIC_WEIGHT_O, ATOMIC_WEIGHT_S,
};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Concentration, IonicStrength};

/// An ion that drinking water holds in milligrams per litre.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ion {
    /// Ca2+
    Calcium,
    /// Mg2+
    Magnesium,
    /// Na+
    Sodium,
    /// K+
    Potassium,
    /// HCO3-
    Bicarbonate,
    /// Cl-
    Chloride,
    /// SO4 2-
    Sulfate,
}

impl Ion {
    /// All of them, cations first.
    pub const ALL: [Self; 7] = [
        Self::Calcium,
        Self::Magnesium,
        Self::Sodium,
        Self::Potassium,
        Self::Bicarbonate,
        Self::Chloride,
        Self::Sulfate,
    ];

    /// Molar mass, g/mol, from the atomic weights. `[ciaaw2021]`
    #[must_use]
    pub const fn molar_mass(self) -> f64 {
        match self {
            Self::Calcium => ATOMIC_WEIGHT_CA,
            Self::Magnesium => ATOMIC_WEIGHT_MG,
            Self::Sodium => ATOMIC_WEIGHT_NA,
            Self::Potassium => ATOMIC_WEIGHT_K,
            Self::Bicarbonate => ATOMIC_WEIGHT_H + ATOMIC_WEIGHT_C + 3.0 * ATOMIC_WEIGHT_O,
            Self::Chloride => ATOMIC_WEIGHT_CL,
            Self::Sulfate => ATOMIC_WEIGHT_S + 4.0 * ATOMIC_WEIGHT_O,
        }
    }

    /// Charge in elementary charges; below zero for an anion.
    #[must_use]
    pub const fn charge(self) -> f64 {
        match self {
            Self::Calcium | Self::Magnesium => 2.0,
            Self::Sodium | Self::Potassium => 1.0,
            Self::Bicarbonate | Self::Chloride => -1.0,
            Self::Sulfate => -2.0,
        }
    }

    /// Whether its charge is above zero.
    #[must_use]
    pub const fn is_cation(self) -> bool {
        self.charge() > 0.0
    }

    /// Mass of one equivalent, mg/meq: the molar mass over the number of charges.
    #[must_use]
    pub const fn equivalent_mass(self) -> f64 {
        self.molar_mass() / self.charge().abs()
    }
}

/// What is known of the ions of a water.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ions([Option<Concentration>; 7]);

impl Ions {
    /// The same with one ion known.
    #[must_use]
    pub const fn with(mut self, ion: Ion, concentration: Concentration) -> Self {
        self.0[ion as usize] = Some(concentration);
        self
    }

    /// The concentration of an ion; nothing where it is not known.
    #[must_use]
    pub const fn get(&self, ion: Ion) -> Option<Concentration> {
        self.0[ion as usize]
    }

    /// Milliequivalents per litre of an ion; 0 where it is not known.
    #[must_use]
    pub fn milliequivalents(&self, ion: Ion) -> f64 {
        let known = self.get(ion).map(Concentration::milligrams_per_litre);
        known.unwrap_or(0.0) / ion.equivalent_mass()
    }

    /// Sum of all known ions, mg/L.
    #[must_use]
    pub fn sum_mg_per_l(&self) -> f64 {
        let known = self.0.iter().flatten();
        known.fold(0.0, |sum, ion| sum + ion.milligrams_per_litre())
    }

    /// The same water with every ion concentrated so many times.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] for a result outside [`Concentration::RANGE`].
    pub fn concentrated(&self, times: f64) -> Result<Self, MathsError> {
        let mut all = self.0;
        for ion in all.iter_mut().flatten() {
            *ion = Concentration::from_milligrams_per_litre(ion.milligrams_per_litre() * times)?;
        }
        Ok(Self(all))
    }
}

/// Charges of a water, and how far they are from neutral.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IonBalance {
    /// Cations, meq/L.
    pub cations_meq_per_l: f64,
    /// Anions, meq/L.
    pub anions_meq_per_l: f64,
    /// Difference over sum, in percent; above zero where anions are missing.
    pub percent: f64,
}

/// Balance of the charges of a water's ions.
///
/// # Equation
/// `b = 100 (C − A) / (C + A)`, `C` and `A` the sums of `c / (M / |z|)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | b | ion balance (returned) | % |
/// | C, A | cations and anions | meq/L |
/// | c | concentration | mg/L |
/// | M, z | molar mass and charge | g/mol, 1 |
///
/// # Source
/// Electroneutrality of a solution; the form is that of `[apha2017]`, 1030 E, from memory.
///
/// # Valid for
/// Waters near neutral; an ion that is not known counts as absent.
///
/// # Errors
/// [`MathsError::NoSolution`] when there is no ion at all.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::ions::{Ion, Ions, ion_balance}, quantity::Concentration};
/// let mg = Concentration::from_milligrams_per_litre;
/// let salt = Ions::default().with(Ion::Sodium, mg(22.98976928)?).with(Ion::Chloride, mg(35.45)?);
/// assert!(ion_balance(&salt)?.percent.abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn ion_balance(ions: &Ions) -> Result<IonBalance, MathsError> {
    let sum = |is_cation: bool| {
        let counted = Ion::ALL.iter().filter(|ion| ion.is_cation() == is_cation);
        counted.fold(0.0, |sum, ion| sum + ions.milliequivalents(*ion))
    };
    let (cations, anions) = (sum(true), sum(false));
    let total = cations + anions;
    if total <= 0.0 {
        return Err(MathsError::NoSolution {
            equation: "ion balance",
            reason: "the water holds no ion",
        });
    }
    Ok(IonBalance {
        cations_meq_per_l: cations,
        anions_meq_per_l: anions,
        percent: 100.0 * (cations - anions) / total,
    })
}

/// Ionic strength of a water from its ions, none of them paired.
///
/// # Equation
/// `I = ½ Σ c z² / (1000 M)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | I | ionic strength (returned) | mol/L |
/// | c | concentration of an ion | mg/L |
/// | M, z | molar mass and charge | g/mol, 1 |
///
/// # Source
/// Definition; `[apha2017]`, 2330 B, from memory.
///
/// # Valid for
/// Waters to 0.5 mol/L. Ion pairs are left out, which over-reads by some percent at most in
/// drinking water.
///
/// # Errors
/// [`MathsError::OutOfRange`] above 0.5 mol/L.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::ions::{Ion, Ions, ionic_strength}, quantity::Concentration};
/// let mg = Concentration::from_milligrams_per_litre;
/// let gypsum = Ions::default().with(Ion::Calcium, mg(40.078)?).with(Ion::Sulfate, mg(96.056)?);
/// assert!((ionic_strength(&gypsum)?.moles_per_litre() - 0.004).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn ionic_strength(ions: &Ions) -> Result<IonicStrength, MathsError> {
    // c z² / M is the charge times the milliequivalents
    let term = |ion: &Ion| ions.milliequivalents(*ion) * libm::fabs(ion.charge());
    let sum = Ion::ALL.iter().fold(0.0, |sum, ion| sum + term(ion));
    IonicStrength::from_moles_per_litre(0.5 * sum / 1000.0)
}
