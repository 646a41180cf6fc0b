//! What is known of the water, however it was given.

use super::BrewingWaterRequest;
use super::response::{SolidsFrom, StrengthFrom};
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::water::{Known, WaterGiven};
use crate::maths::MathsError;
use crate::maths::chemistry::conductivity::{
    dissolved_solids, dry_residue, ionic_strength_of, tds_factor_442,
};
use crate::maths::chemistry::hardness::{
    CACO3_PER_MEQ, HardnessUnit, Titration, alkalinity_by_titration, hardness_by_titration,
};
use crate::maths::chemistry::ions::{Ion, Ions, ionic_strength};
use crate::maths::quantity::{Concentration, Conductivity, Hardness, IonicStrength};

/// What is known of a water.
#[derive(Debug)]
pub(super) struct Analysis {
    pub(super) known: Known,
    /// Readings, to answer them bit for bit in their own unit.
    pub(super) hardness_reading: Option<(f64, HardnessUnit)>,
    pub(super) alkalinity_reading: Option<(f64, HardnessUnit)>,
    pub(super) total: Option<Hardness>,
    pub(super) alkalinity: Option<Hardness>,
    /// Calcium, or the whole hardness taken as calcium.
    pub(super) calcium: Option<Concentration>,
    pub(super) is_calcium_bound: bool,
    pub(super) solids: Option<Solids>,
    pub(super) strength: Option<(IonicStrength, StrengthFrom)>,
}

/// Dissolved solids and how they are known.
#[derive(Debug, Clone, Copy)]
pub(super) struct Solids {
    pub(super) amount: Concentration,
    pub(super) from: SolidsFrom,
    pub(super) factor: Option<f64>,
}

/// Ions without which an analysis is not whole; potassium is small in nearly all waters.
const MAIN: [Ion; 6] = [
    Ion::Calcium,
    Ion::Magnesium,
    Ion::Sodium,
    Ion::Bicarbonate,
    Ion::Chloride,
    Ion::Sulfate,
];

impl Analysis {
    /// Main ions that are not known.
    pub(super) fn missing(&self) -> Vec<Ion> {
        let ions = MAIN.into_iter();
        ions.filter(|ion| self.known.ions.get(*ion).is_none())
            .collect()
    }
}

/// The water that a request describes.
///
/// # Errors
/// A [`Problem`] at the fields that say too little or contradict one another.
pub(super) fn of(request: &BrewingWaterRequest) -> Result<Analysis, Problem> {
    let known = known(request)?;
    let reading = |value: Option<f64>| value.zip(request.hardness_unit.map(HardnessUnit::from));
    let total = known.total_hardness()?;
    let (calcium, is_calcium_bound) = calcium(&known)?;
    let mut analysis = Analysis {
        hardness_reading: reading(request.total_hardness),
        alkalinity_reading: reading(request.alkalinity),
        total,
        alkalinity: known.alkalinity()?,
        calcium,
        is_calcium_bound,
        known,
        solids: None,
        strength: None,
    };
    let meter = request.conductivity_us_per_cm;
    let meter = meter.map(Conductivity::from_microsiemens_per_centimetre);
    let meter = meter.transpose().at("conductivity_us_per_cm")?;
    let is_empty = known.ions == Ions::default() && total.is_none() && meter.is_none();
    if is_empty {
        let detail = "give ions, `total_hardness`, `alkalinity`, a titration or a conductivity";
        let fault = Fault::new("/calcium_mg_per_l", FaultCode::Required, detail);
        return Err(Problem::invalid(vec![fault]));
    }
    analysis.solids = solids(&analysis, meter, request.tds_factor)?;
    analysis.strength = strength(&analysis, meter)?;
    Ok(analysis)
}

fn known(request: &BrewingWaterRequest) -> Result<Known, Problem> {
    let given = WaterGiven {
        calcium_mg_per_l: request.calcium_mg_per_l,
        magnesium_mg_per_l: request.magnesium_mg_per_l,
        bicarbonate_mg_per_l: request.bicarbonate_mg_per_l,
        sodium_mg_per_l: request.sodium_mg_per_l,
        chloride_mg_per_l: request.chloride_mg_per_l,
        sulfate_mg_per_l: request.sulfate_mg_per_l,
        potassium_mg_per_l: request.potassium_mg_per_l,
        total_hardness: request.total_hardness,
        alkalinity: request.alkalinity,
        hardness_unit: request.hardness_unit,
    };
    let mut known = given.known("")?;
    let titration = |ml: Option<f64>, mol: Option<f64>| {
        let ((sample_ml, titrant_ml), titrant_mol_per_l) = request.sample_ml.zip(ml).zip(mol)?;
        Some(Titration {
            sample_ml,
            titrant_ml,
            titrant_mol_per_l,
        })
    };
    if let Some(acid) = titration(request.acid_ml, request.acid_mol_per_l) {
        let alkalinity = alkalinity_by_titration(&acid).at("acid_ml")?;
        known = known.with_alkalinity(alkalinity).at("acid_ml")?;
    }
    if let Some(edta) = titration(request.edta_ml, request.edta_mol_per_l) {
        let total = hardness_by_titration(&edta).at("edta_ml")?;
        known = known.with_hardness(total, "/edta_ml")?;
    }
    Ok(known)
}

/// Calcium, or the whole hardness as calcium, which is as much as there can be.
fn calcium(known: &Known) -> Result<(Option<Concentration>, bool), MathsError> {
    if let Some(calcium) = known.ions.get(Ion::Calcium) {
        return Ok((Some(calcium), false));
    }
    let Some(total) = known.hardness_reading else {
        return Ok((None, false));
    };
    let milligrams = total.milligrams_per_litre() * Ion::Calcium.equivalent_mass() / CACO3_PER_MEQ;
    let calcium = Concentration::from_milligrams_per_litre(milligrams)?;
    Ok((Some(calcium), true))
}

/// Dissolved solids: as the meter shows them, otherwise what would stay on evaporation.
fn solids(
    analysis: &Analysis,
    meter: Option<Conductivity>,
    factor: Option<f64>,
) -> Result<Option<Solids>, Problem> {
    if let Some(meter) = meter {
        let factor = match factor {
            Some(factor) => factor,
            None => tds_factor_442(meter)?,
        };
        return Ok(Some(Solids {
            amount: dissolved_solids(meter, factor).at("tds_factor")?,
            from: SolidsFrom::Conductivity,
            factor: Some(factor),
        }));
    }
    if !analysis.missing().is_empty() {
        return Ok(None);
    }
    Ok(Some(Solids {
        amount: dry_residue(&analysis.known.ions)?,
        from: SolidsFrom::Ions,
        factor: None,
    }))
}

/// Ionic strength from a whole analysis, else from the meter, else from what is known.
fn strength(
    analysis: &Analysis,
    meter: Option<Conductivity>,
) -> Result<Option<(IonicStrength, StrengthFrom)>, Problem> {
    let ions = analysis.known.ions;
    if analysis.missing().is_empty() {
        return Ok(Some((ionic_strength(&ions)?, StrengthFrom::Ions)));
    }
    if let Some(meter) = meter {
        let strength = ionic_strength_of(meter).at("conductivity_us_per_cm")?;
        return Ok(Some((strength, StrengthFrom::Conductivity)));
    }
    let ions = match analysis.calcium {
        Some(calcium) => ions.with(Ion::Calcium, calcium),
        None => ions,
    };
    Ok(Some((ionic_strength(&ions)?, StrengthFrom::KnownIons)))
}
