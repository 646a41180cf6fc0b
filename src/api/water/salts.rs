//! Salts that are dosed into brewing water, by name and hydrate.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::made::IonName;
use crate::maths::MathsError;
use crate::maths::chemistry::hardness::CACO3_PER_MEQ;
use crate::maths::chemistry::ions::Ion;
use crate::maths::chemistry::salts::{Hydrate, Salt, dissolved};
use crate::maths::quantity::Concentration;

/// Name of a salt, without its water of crystallisation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = Salt)]
pub enum SaltName {
    /// `MgSO4`; with 7 water, Epsom salt.
    MagnesiumSulfate,
    /// `MgCl2`
    MagnesiumChloride,
    /// `CaCl2`; takes up water from the air.
    CalciumChloride,
    /// `CaSO4`; dissolves slowly, about 2 g/L (from memory).
    CalciumSulfate,
    /// `NaHCO3`, baking soda.
    SodiumBicarbonate,
    /// `KHCO3`
    PotassiumBicarbonate,
    /// `NaCl`, table salt without additives.
    SodiumChloride,
    /// `KCl`
    PotassiumChloride,
}

impl From<SaltName> for Salt {
    fn from(name: SaltName) -> Self {
        match name {
            SaltName::MagnesiumSulfate => Self::MagnesiumSulfate,
            SaltName::MagnesiumChloride => Self::MagnesiumChloride,
            SaltName::CalciumChloride => Self::CalciumChloride,
            SaltName::CalciumSulfate => Self::CalciumSulfate,
            SaltName::SodiumBicarbonate => Self::SodiumBicarbonate,
            SaltName::PotassiumBicarbonate => Self::PotassiumBicarbonate,
            SaltName::SodiumChloride => Self::SodiumChloride,
            SaltName::PotassiumChloride => Self::PotassiumChloride,
        }
    }
}

const NAMES: [SaltName; 8] = [
    SaltName::MagnesiumSulfate,
    SaltName::MagnesiumChloride,
    SaltName::CalciumChloride,
    SaltName::CalciumSulfate,
    SaltName::SodiumBicarbonate,
    SaltName::PotassiumBicarbonate,
    SaltName::SodiumChloride,
    SaltName::PotassiumChloride,
];

/// An ion that a salt brings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SaltIon {
    /// The ion.
    pub ion: IonName,
    /// Part of the weighed salt that is this ion.
    pub mass_percent: f64,
}

/// A salt in one of the forms in which it is sold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SaltForm {
    /// Name of the salt.
    pub salt: SaltName,
    /// Molecules of water of crystallisation; 0 is anhydrous.
    pub hydrate: u32,
    /// Molar mass, water of crystallisation included.
    pub molar_mass_g_per_mol: f64,
    /// Its ions; the rest of the mass is water.
    pub ions: Vec<SaltIon>,
    /// Total hardness that 100 mg/L of the salt brings.
    pub hardness_of_100_mg_per_l_caco3: f64,
    /// Alkalinity that 100 mg/L of the salt brings.
    pub alkalinity_of_100_mg_per_l_caco3: f64,
}

/// Every salt in every form.
///
/// # Errors
/// None for the salts of the table.
pub fn forms() -> Result<Vec<SaltForm>, MathsError> {
    let mut forms = Vec::new();
    for name in NAMES {
        for waters in Salt::from(name).hydrates() {
            forms.push(form(name, *waters)?);
        }
    }
    Ok(forms)
}

fn form(name: SaltName, waters: u32) -> Result<SaltForm, MathsError> {
    let hydrate = Hydrate::new(name.into(), waters)?;
    let ions = dissolved(hydrate, Concentration::from_milligrams_per_litre(100.0)?)?;
    let hardness = ions.milliequivalents(Ion::Calcium) + ions.milliequivalents(Ion::Magnesium);
    let parts = hydrate.salt().parts();
    let ion = |(ion, _): &(Ion, f64)| SaltIon {
        ion: IonName::from(*ion),
        mass_percent: 100.0 * hydrate.mass_share(*ion),
    };
    Ok(SaltForm {
        salt: name,
        hydrate: waters,
        molar_mass_g_per_mol: hydrate.molar_mass(),
        ions: parts.iter().map(ion).collect(),
        hardness_of_100_mg_per_l_caco3: hardness * CACO3_PER_MEQ,
        alkalinity_of_100_mg_per_l_caco3: ions.milliequivalents(Ion::Bicarbonate) * CACO3_PER_MEQ,
    })
}
