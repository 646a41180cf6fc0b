//! The indices of saturation, where what they need is known.

use super::analysis::Analysis;
use super::{BrewingWaterRequest, USUAL_TEMPERATURE};
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::maths::MathsError;
use crate::maths::chemistry::activity::monovalent_activity;
use crate::maths::chemistry::four_factor::{self, four_factor_saturation_ph};
use crate::maths::chemistry::hardness::ion_hardness;
use crate::maths::chemistry::ions::Ion;
use crate::maths::chemistry::saturation::saturation_ph;
use crate::maths::quantity::{Concentration, IonicStrength, Temperature};

/// The indices, each where it can be had.
#[derive(Debug)]
pub(super) struct Indices {
    pub(super) water_temperature: Temperature,
    pub(super) water: Option<Index>,
    pub(super) boiler: Option<Index>,
    pub(super) four_factor_saturation_ph: Option<f64>,
}

/// The thermodynamic index and what went into it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Index {
    pub(super) temperature: Temperature,
    pub(super) ph: f64,
    pub(super) calcium: Concentration,
    pub(super) bicarbonate: Concentration,
    pub(super) strength: IonicStrength,
    pub(super) activity: f64,
    pub(super) saturation_ph: f64,
}

impl Index {
    /// pH above saturation.
    pub(super) fn value(&self) -> f64 {
        self.ph - self.saturation_ph
    }
}

/// The indices of a water.
///
/// # Errors
/// A [`Problem`] where cycles of concentration bring the boiler water out of the formula's range.
pub(super) fn of(request: &BrewingWaterRequest, analysis: &Analysis) -> Result<Indices, Problem> {
    let celsius = request.water_temperature_c.unwrap_or(USUAL_TEMPERATURE);
    let water_temperature = Temperature::from_celsius(celsius).at("water_temperature_c")?;
    let boiler = request.boiler_temperature_c.map(Temperature::from_celsius);
    let boiler = boiler.transpose().at("boiler_temperature_c")?;
    let boiler = boiler.zip(request.boiler_ph.or(request.ph));
    let cycles = request.boiler_cycles_of_concentration.unwrap_or(1.0);
    let water = request
        .ph
        .map(|ph| index(analysis, water_temperature, ph, 1.0));
    let boiler = boiler.map(|(t, ph)| index(analysis, t, ph, cycles));
    Ok(Indices {
        water_temperature,
        water: water.transpose()?.flatten(),
        boiler: boiler
            .transpose()
            .at("boiler_cycles_of_concentration")?
            .flatten(),
        four_factor_saturation_ph: request
            .ph
            .and_then(|_| indicator(analysis, water_temperature).transpose())
            .transpose()?,
    })
}

fn index(
    analysis: &Analysis,
    temperature: Temperature,
    ph: f64,
    cycles: f64,
) -> Result<Option<Index>, MathsError> {
    let present = |c: &Concentration| c.milligrams_per_litre() > 0.0;
    let bicarbonate = analysis.known.ions.get(Ion::Bicarbonate).filter(present);
    let both = analysis.calcium.filter(present).zip(bicarbonate);
    let Some(((calcium, bicarbonate), (strength, _))) = both.zip(analysis.strength) else {
        return Ok(None);
    };
    let concentrated = |c: Concentration| {
        Concentration::from_milligrams_per_litre(c.milligrams_per_litre() * cycles)
    };
    let strength = IonicStrength::from_moles_per_litre(strength.moles_per_litre() * cycles)?;
    let (calcium, bicarbonate) = (concentrated(calcium)?, concentrated(bicarbonate)?);
    Ok(Some(Index {
        temperature,
        ph,
        calcium,
        bicarbonate,
        strength,
        activity: monovalent_activity(temperature, strength)?,
        saturation_ph: saturation_ph(temperature, strength, calcium, bicarbonate)?,
    }))
}

/// The four-factor pH of saturation; nothing above its range or where a factor is zero.
fn indicator(analysis: &Analysis, temperature: Temperature) -> Result<Option<f64>, MathsError> {
    let Some(((calcium, alkalinity), solids)) = analysis
        .calcium
        .zip(analysis.alkalinity)
        .zip(analysis.solids)
    else {
        return Ok(None);
    };
    let calcium = ion_hardness(Ion::Calcium, calcium)?;
    let least = calcium
        .milligrams_per_litre()
        .min(alkalinity.milligrams_per_litre())
        .min(solids.amount.milligrams_per_litre());
    if least <= 0.0 || !four_factor::OFFERED.contains(temperature.celsius()) {
        return Ok(None);
    }
    four_factor_saturation_ph(temperature, solids.amount, calcium, alkalinity).map(Some)
}
