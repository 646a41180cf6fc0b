//! Waters, ions and hardness as answers write them.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::given::Known;
use crate::maths::MathsError;
use crate::maths::chemistry::hardness::HardnessUnit;
use crate::maths::chemistry::ions::Ion;
use crate::maths::quantity::{Concentration, Hardness};

/// Unit of a hardness or alkalinity reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = HardnessUnit)]
pub enum HardnessUnitName {
    /// Milligrams per litre as calcium carbonate, also called ppm.
    MgPerLCaco3,
    /// German degree, 10 mg/L as calcium oxide.
    Dh,
    /// French degree, 10 mg/L as calcium carbonate.
    Fh,
    /// Clark or English degree, a grain per imperial gallon.
    Clark,
    /// Grain per US gallon.
    GpgUs,
    /// Millimoles per litre, of calcium carbonate for alkalinity.
    MmolPerL,
    /// Milliequivalents per litre.
    MeqPerL,
}

impl From<HardnessUnitName> for HardnessUnit {
    fn from(name: HardnessUnitName) -> Self {
        match name {
            HardnessUnitName::MgPerLCaco3 => Self::MgPerLCaco3,
            HardnessUnitName::Dh => Self::Dh,
            HardnessUnitName::Fh => Self::Fh,
            HardnessUnitName::Clark => Self::Clark,
            HardnessUnitName::GpgUs => Self::GpgUs,
            HardnessUnitName::MmolPerL => Self::MmolPerL,
            HardnessUnitName::MeqPerL => Self::MeqPerL,
        }
    }
}

/// A hardness or alkalinity in every unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct HardnessInUnits {
    /// As calcium carbonate.
    pub mg_per_l_caco3: f64,
    /// In German degrees.
    pub dh: f64,
    /// In French degrees.
    pub fh: f64,
    /// In Clark or English degrees.
    pub clark: f64,
    /// In grains per US gallon.
    pub gpg_us: f64,
    /// In millimoles per litre, of calcium carbonate for alkalinity.
    pub mmol_per_l: f64,
    /// In milliequivalents per litre.
    pub meq_per_l: f64,
}

impl HardnessInUnits {
    /// The hardness in every unit; a reading stays bit for bit in the unit it was given in.
    pub(crate) fn new(hardness: Hardness, reading: Option<(f64, HardnessUnit)>) -> Self {
        let value = |unit| match reading {
            Some((value, given)) if given == unit => value,
            Some(_) | None => hardness.in_unit(unit),
        };
        Self {
            mg_per_l_caco3: value(HardnessUnit::MgPerLCaco3),
            dh: value(HardnessUnit::Dh),
            fh: value(HardnessUnit::Fh),
            clark: value(HardnessUnit::Clark),
            gpg_us: value(HardnessUnit::GpgUs),
            mmol_per_l: value(HardnessUnit::MmolPerL),
            meq_per_l: value(HardnessUnit::MeqPerL),
        }
    }
}

/// An ion of drinking water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = Ion)]
pub enum IonName {
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

impl From<Ion> for IonName {
    fn from(ion: Ion) -> Self {
        match ion {
            Ion::Calcium => Self::Calcium,
            Ion::Magnesium => Self::Magnesium,
            Ion::Sodium => Self::Sodium,
            Ion::Potassium => Self::Potassium,
            Ion::Bicarbonate => Self::Bicarbonate,
            Ion::Chloride => Self::Chloride,
            Ion::Sulfate => Self::Sulfate,
        }
    }
}

/// A water: what is known of it.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, ToSchema)]
pub struct WaterMade {
    /// Total hardness; left out when not known.
    pub total_hardness_mg_per_l_caco3: Option<f64>,
    /// Alkalinity; left out when not known.
    pub alkalinity_mg_per_l_caco3: Option<f64>,
    /// Calcium; left out when not known.
    pub calcium_mg_per_l: Option<f64>,
    /// Magnesium; left out when not known.
    pub magnesium_mg_per_l: Option<f64>,
    /// Sodium; left out when not known.
    pub sodium_mg_per_l: Option<f64>,
    /// Potassium; left out when not known.
    pub potassium_mg_per_l: Option<f64>,
    /// Bicarbonate; left out when not known.
    pub bicarbonate_mg_per_l: Option<f64>,
    /// Chloride; left out when not known.
    pub chloride_mg_per_l: Option<f64>,
    /// Sulfate; left out when not known.
    pub sulfate_mg_per_l: Option<f64>,
}

impl WaterMade {
    /// The water as an answer writes it.
    pub(crate) fn of(known: &Known) -> Result<Self, MathsError> {
        let ion = |ion| known.ions.get(ion).map(Concentration::milligrams_per_litre);
        let hardness = known.total_hardness()?;
        Ok(Self {
            total_hardness_mg_per_l_caco3: hardness.map(Hardness::milligrams_per_litre),
            alkalinity_mg_per_l_caco3: known.alkalinity()?.map(Hardness::milligrams_per_litre),
            calcium_mg_per_l: ion(Ion::Calcium),
            magnesium_mg_per_l: ion(Ion::Magnesium),
            sodium_mg_per_l: ion(Ion::Sodium),
            potassium_mg_per_l: ion(Ion::Potassium),
            bicarbonate_mg_per_l: ion(Ion::Bicarbonate),
            chloride_mg_per_l: ion(Ion::Chloride),
            sulfate_mg_per_l: ion(Ion::Sulfate),
        })
    }
}
