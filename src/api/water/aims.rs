//! What a water is wanted to be, quantity by quantity, and what of it is missed.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::given::{Known, WaterGiven, faults_at};
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::chemistry::dosing::Aim;
use crate::maths::chemistry::hardness::CACO3_PER_MEQ;
use crate::maths::chemistry::ions::Ion;
use crate::maths::quantity::Hardness;

/// A quantity of a water; its unit stands in its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum WaterQuantity {
    /// Calcium and magnesium together, mg/L as calcium carbonate.
    TotalHardnessMgPerLCaco3,
    /// Alkalinity, mg/L as calcium carbonate.
    AlkalinityMgPerLCaco3,
    /// Calcium, mg/L.
    CalciumMgPerL,
    /// Magnesium, mg/L.
    MagnesiumMgPerL,
    /// Sodium, mg/L.
    SodiumMgPerL,
    /// Potassium, mg/L.
    PotassiumMgPerL,
    /// Bicarbonate, mg/L.
    BicarbonateMgPerL,
    /// Chloride, mg/L.
    ChlorideMgPerL,
    /// Sulfate, mg/L.
    SulfateMgPerL,
}

impl WaterQuantity {
    /// All of them.
    pub(crate) const ALL: [Self; 9] = [
        Self::TotalHardnessMgPerLCaco3,
        Self::AlkalinityMgPerLCaco3,
        Self::CalciumMgPerL,
        Self::MagnesiumMgPerL,
        Self::SodiumMgPerL,
        Self::PotassiumMgPerL,
        Self::BicarbonateMgPerL,
        Self::ChlorideMgPerL,
        Self::SulfateMgPerL,
    ];

    const fn of(ion: Ion) -> Self {
        match ion {
            Ion::Calcium => Self::CalciumMgPerL,
            Ion::Magnesium => Self::MagnesiumMgPerL,
            Ion::Sodium => Self::SodiumMgPerL,
            Ion::Potassium => Self::PotassiumMgPerL,
            Ion::Bicarbonate => Self::BicarbonateMgPerL,
            Ion::Chloride => Self::ChlorideMgPerL,
            Ion::Sulfate => Self::SulfateMgPerL,
        }
    }

    /// The same for the maths.
    pub(crate) const fn aim(self) -> Aim {
        match self {
            Self::TotalHardnessMgPerLCaco3 => Aim::TotalHardness,
            Self::CalciumMgPerL => Aim::Ion(Ion::Calcium),
            Self::MagnesiumMgPerL => Aim::Ion(Ion::Magnesium),
            Self::SodiumMgPerL => Aim::Ion(Ion::Sodium),
            Self::PotassiumMgPerL => Aim::Ion(Ion::Potassium),
            Self::AlkalinityMgPerLCaco3 | Self::BicarbonateMgPerL => Aim::Ion(Ion::Bicarbonate),
            Self::ChlorideMgPerL => Aim::Ion(Ion::Chloride),
            Self::SulfateMgPerL => Aim::Ion(Ion::Sulfate),
        }
    }

    /// Milligrams of the quantity's unit in a milliequivalent.
    pub(crate) const fn per_equivalent(self) -> f64 {
        match (self, self.aim()) {
            (Self::AlkalinityMgPerLCaco3, _) | (_, Aim::TotalHardness) => CACO3_PER_MEQ,
            (_, Aim::Ion(ion)) => ion.equivalent_mass(),
        }
    }

    /// Its name in a derivation, and its unit.
    pub(crate) const fn named(self) -> (&'static str, &'static str) {
        match self {
            Self::TotalHardnessMgPerLCaco3 => ("total_hardness_mg_per_l_caco3", "mg/L as CaCO3"),
            Self::AlkalinityMgPerLCaco3 => ("alkalinity_mg_per_l_caco3", "mg/L as CaCO3"),
            Self::CalciumMgPerL => ("calcium_mg_per_l", "mg/L"),
            Self::MagnesiumMgPerL => ("magnesium_mg_per_l", "mg/L"),
            Self::SodiumMgPerL => ("sodium_mg_per_l", "mg/L"),
            Self::PotassiumMgPerL => ("potassium_mg_per_l", "mg/L"),
            Self::BicarbonateMgPerL => ("bicarbonate_mg_per_l", "mg/L"),
            Self::ChlorideMgPerL => ("chloride_mg_per_l", "mg/L"),
            Self::SulfateMgPerL => ("sulfate_mg_per_l", "mg/L"),
        }
    }

    /// Its field in a request.
    const fn field(self) -> &'static str {
        match self {
            Self::TotalHardnessMgPerLCaco3 => "total_hardness",
            Self::AlkalinityMgPerLCaco3 => "alkalinity",
            Self::CalciumMgPerL
            | Self::MagnesiumMgPerL
            | Self::SodiumMgPerL
            | Self::PotassiumMgPerL
            | Self::BicarbonateMgPerL
            | Self::ChlorideMgPerL
            | Self::SulfateMgPerL => self.named().0,
        }
    }

    /// Its value in a water, where that is known.
    pub(crate) fn value(self, water: &Known) -> Result<Option<f64>, MathsError> {
        let ion = match self.aim() {
            Aim::TotalHardness => {
                let total = water.total_hardness()?;
                return Ok(total.map(Hardness::milligrams_per_litre));
            }
            Aim::Ion(ion) => ion,
        };
        if self == Self::AlkalinityMgPerLCaco3 {
            let alkalinity = water.alkalinity()?;
            return Ok(alkalinity.map(Hardness::milligrams_per_litre));
        }
        Ok(water.ions.get(ion).map(|c| c.milligrams_per_litre()))
    }
}

/// The quantities that a water wanted names, each with its value.
///
/// # Errors
/// A [`Problem`] at the fields that contradict one another, or when none is given.
pub(crate) fn aims(wanted: &WaterGiven, at: &str) -> Result<Vec<(WaterQuantity, f64)>, Problem> {
    let mut faults = faults_at(wanted, at);
    let unit = wanted.hardness_unit;
    let mut reading = |value: Option<f64>, quantity: WaterQuantity| {
        let value = value.zip(unit)?;
        match Hardness::from_unit(value.0, value.1.into()) {
            Ok(hardness) => Some((quantity, hardness.milligrams_per_litre())),
            Err(error) => {
                let pointer = format!("{at}/{}", quantity.field());
                faults.push(Fault::new(
                    pointer,
                    FaultCode::OutOfRange,
                    error.to_string(),
                ));
                None
            }
        }
    };
    let readings = [
        reading(
            wanted.total_hardness,
            WaterQuantity::TotalHardnessMgPerLCaco3,
        ),
        reading(wanted.alkalinity, WaterQuantity::AlkalinityMgPerLCaco3),
    ];
    let ions = wanted.ions();
    let ions = ions
        .iter()
        .filter_map(|(_, ion, value)| Some((WaterQuantity::of(*ion), (*value)?)));
    let aims: Vec<_> = readings.into_iter().flatten().chain(ions).collect();
    if aims.is_empty() && faults.is_empty() {
        let detail = "name at least one quantity that is wanted";
        let pointer = format!("{at}/total_hardness");
        faults.push(Fault::new(pointer, FaultCode::Required, detail));
    }
    if faults.is_empty() {
        Ok(aims)
    } else {
        Err(Problem::invalid(faults))
    }
}

/// The value of a wanted quantity in a water that must tell it.
///
/// # Errors
/// A [`Problem`] at the field that is missing.
pub(crate) fn needed(quantity: WaterQuantity, water: &Known, at: &str) -> Result<f64, Problem> {
    quantity.value(water)?.ok_or_else(|| {
        let detail = "the target names this quantity, so the water must tell it";
        let pointer = format!("{at}/{}", quantity.field());
        Problem::invalid(vec![Fault::new(pointer, FaultCode::Required, detail)])
    })
}

/// A quantity that is not what it should be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TargetMissed {
    /// The quantity; its unit stands in its name.
    pub quantity: WaterQuantity,
    /// What was wanted, or allowed.
    pub target: f64,
    /// What is reached.
    pub value: f64,
    /// Value less target.
    pub difference: f64,
}

/// Differences below this share of the target, or below this many mg/L, are rounding.
const ROUNDING: f64 = 1e-6;

/// The quantity with its difference, unless that is rounding.
pub(crate) fn missed(quantity: WaterQuantity, target: f64, value: f64) -> Option<TargetMissed> {
    let difference = value - target;
    let is_rounding = libm::fabs(difference) <= ROUNDING * libm::fmax(1.0, libm::fabs(target));
    (!is_rounding).then_some(TargetMissed {
        quantity,
        target,
        value,
        difference,
    })
}
