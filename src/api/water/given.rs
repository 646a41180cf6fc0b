//! Waters as requests write them: ions, or readings of hardness and alkalinity.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use super::made::HardnessUnitName;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::chemistry::alkalinity::{alkalinity_of, bicarbonate_of};
use crate::maths::chemistry::hardness::{CACO3_PER_MEQ, ion_hardness};
use crate::maths::chemistry::ions::{Ion, Ions};
use crate::maths::quantity::{Concentration, Hardness};

/// A water by its ions, or by test-kit readings of hardness and alkalinity.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WaterGiven {
    /// Calcium.
    pub calcium_mg_per_l: Option<f64>,
    /// Magnesium.
    pub magnesium_mg_per_l: Option<f64>,
    /// Bicarbonate.
    pub bicarbonate_mg_per_l: Option<f64>,
    /// Sodium.
    pub sodium_mg_per_l: Option<f64>,
    /// Chloride.
    pub chloride_mg_per_l: Option<f64>,
    /// Sulfate.
    pub sulfate_mg_per_l: Option<f64>,
    /// Potassium.
    pub potassium_mg_per_l: Option<f64>,
    /// Calcium and magnesium together, in `hardness_unit`.
    pub total_hardness: Option<f64>,
    /// Alkalinity, in `hardness_unit`.
    pub alkalinity: Option<f64>,
    /// Unit of `total_hardness` and `alkalinity`.
    pub hardness_unit: Option<HardnessUnitName>,
}

/// What is known of a water: its ions, and its hardness where the ions of it are not.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Known {
    pub(crate) ions: Ions,
    pub(crate) hardness_reading: Option<Hardness>,
}

impl Known {
    /// The total hardness; nothing when an ion of it and the reading are unknown.
    pub(crate) fn total_hardness(&self) -> Result<Option<Hardness>, MathsError> {
        if self.hardness_reading.is_some() {
            return Ok(self.hardness_reading);
        }
        let part = |ion| self.ions.get(ion).map(|c| ion_hardness(ion, c));
        let (calcium, magnesium) = (part(Ion::Calcium), part(Ion::Magnesium));
        let (Some(calcium), Some(magnesium)) = (calcium.transpose()?, magnesium.transpose()?)
        else {
            return Ok(None);
        };
        let sum = calcium.milligrams_per_litre() + magnesium.milligrams_per_litre();
        Hardness::from_milligrams_per_litre(sum).map(Some)
    }

    /// The alkalinity of the bicarbonate.
    pub(crate) fn alkalinity(&self) -> Result<Option<Hardness>, MathsError> {
        let bicarbonate = self.ions.get(Ion::Bicarbonate);
        bicarbonate.map(alkalinity_of).transpose()
    }

    /// The hardness that one ion brings.
    pub(crate) fn hardness_of(&self, ion: Ion) -> Result<Option<Hardness>, MathsError> {
        let known = self.ions.get(ion);
        known.map(|c| ion_hardness(ion, c)).transpose()
    }

    /// The same with a total hardness measured by itself; an ion that is known leaves the other.
    pub(crate) fn with_hardness(mut self, total: Hardness, pointer: &str) -> Result<Self, Problem> {
        let fault = |code, detail: &str| Problem::invalid(vec![Fault::new(pointer, code, detail)]);
        self.hardness_reading = Some(total);
        let (known, other) = match (self.ions.get(Ion::Calcium), self.ions.get(Ion::Magnesium)) {
            (None, None) => return Ok(self),
            (Some(calcium), None) => (ion_hardness(Ion::Calcium, calcium)?, Ion::Magnesium),
            (None, Some(magnesium)) => (ion_hardness(Ion::Magnesium, magnesium)?, Ion::Calcium),
            (Some(_), Some(_)) => {
                let detail = "calcium and magnesium already give the total hardness";
                return Err(fault(FaultCode::Contradictory, detail));
            }
        };
        let rest = total.milligrams_per_litre() - known.milligrams_per_litre();
        if rest < 0.0 {
            let detail = "the total hardness is less than what the given ion brings alone";
            return Err(fault(FaultCode::Inconsistent, detail));
        }
        let milligrams = rest * other.equivalent_mass() / CACO3_PER_MEQ;
        let concentration = Concentration::from_milligrams_per_litre(milligrams)?;
        self.ions = self.ions.with(other, concentration);
        Ok(self)
    }

    /// The same with an alkalinity, all of it taken as bicarbonate.
    pub(crate) fn with_alkalinity(mut self, alkalinity: Hardness) -> Result<Self, MathsError> {
        let bicarbonate = bicarbonate_of(alkalinity)?;
        self.ions = self.ions.with(Ion::Bicarbonate, bicarbonate);
        Ok(self)
    }
}

impl WaterGiven {
    /// Each ion's field and value.
    pub(crate) const fn ions(&self) -> [(&'static str, Ion, Option<f64>); 7] {
        [
            ("calcium_mg_per_l", Ion::Calcium, self.calcium_mg_per_l),
            (
                "magnesium_mg_per_l",
                Ion::Magnesium,
                self.magnesium_mg_per_l,
            ),
            ("sodium_mg_per_l", Ion::Sodium, self.sodium_mg_per_l),
            (
                "potassium_mg_per_l",
                Ion::Potassium,
                self.potassium_mg_per_l,
            ),
            (
                "bicarbonate_mg_per_l",
                Ion::Bicarbonate,
                self.bicarbonate_mg_per_l,
            ),
            ("chloride_mg_per_l", Ion::Chloride, self.chloride_mg_per_l),
            ("sulfate_mg_per_l", Ion::Sulfate, self.sulfate_mg_per_l),
        ]
    }

    /// What the fields of a water at a pointer say of it.
    ///
    /// # Errors
    /// A [`Problem`] that names every field of the water that lacks or contradicts another.
    pub(crate) fn known(&self, at: &str) -> Result<Known, Problem> {
        let faults = faults_at(self, at);
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let mut known = Known::default();
        for (_, ion, value) in self.ions() {
            if let Some(value) = value {
                let concentration = Concentration::from_milligrams_per_litre(value)?;
                known.ions = known.ions.with(ion, concentration);
            }
        }
        let Some(unit) = self.hardness_unit else {
            return Ok(known);
        };
        if let Some(value) = self.alkalinity {
            known = known.with_alkalinity(Hardness::from_unit(value, unit.into())?)?;
        }
        if let Some(value) = self.total_hardness {
            let total = Hardness::from_unit(value, unit.into())?;
            known = known.with_hardness(total, &format!("{at}/total_hardness"))?;
        }
        Ok(known)
    }
}

/// Fields of a water that lack or contradict another.
pub(crate) fn faults_at(water: &WaterGiven, at: &str) -> Vec<Fault> {
    let has_reading = water.total_hardness.is_some() || water.alkalinity.is_some();
    let lacks_unit = has_reading && water.hardness_unit.is_none();
    let lacks_reading = !has_reading && water.hardness_unit.is_some();
    let is_twice = water.alkalinity.is_some() && water.bicarbonate_mg_per_l.is_some();
    let fault = |field: &str, code, detail: &str| Fault::new(format!("{at}/{field}"), code, detail);
    let found = [
        lacks_unit.then(|| {
            let detail = "`total_hardness` and `alkalinity` need a `hardness_unit`";
            fault("hardness_unit", FaultCode::Required, detail)
        }),
        lacks_reading.then(|| {
            let detail = "`hardness_unit` needs `total_hardness` or `alkalinity`";
            fault("total_hardness", FaultCode::Required, detail)
        }),
        is_twice.then(|| {
            let detail = "`alkalinity` excludes `bicarbonate_mg_per_l`: each gives the other";
            fault("alkalinity", FaultCode::Contradictory, detail)
        }),
    ];
    found.into_iter().flatten().collect()
}
