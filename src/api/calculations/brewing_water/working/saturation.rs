//! The indices of saturation, step by step.

use super::super::analysis::Analysis;
use super::super::indices::Index;
use super::super::response::StrengthFrom;
use super::super::{BrewingWaterRequest, BrewingWaterResponse};
use super::METHODS;
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::chemistry::conductivity::STRENGTH_PER_CONDUCTIVITY;
use crate::maths::chemistry::equilibrium::{CarbonateConstants, carbonate_constants};
use crate::maths::chemistry::hardness::CACO3_PER_MEQ;
use crate::maths::chemistry::ions::Ion;

const SOLUBILITY: &str = "plummer1982";
const INDICATOR: &str = "four-factor";

pub(super) fn strength(
    steps: &mut Vec<WorkingStep>,
    request: &BrewingWaterRequest,
    response: &BrewingWaterResponse,
) {
    let Some(value) = response.ionic_strength_mol_per_l else {
        return;
    };
    let is_meter = response.ionic_strength_from == Some(StrengthFrom::Conductivity);
    let (formula, substituted) = if is_meter {
        let meter = shown(request.conductivity_us_per_cm.unwrap_or_default());
        ("1.6e-5 k", format!("{STRENGTH_PER_CONDUCTIVITY} × {meter}"))
    } else {
        ("½ Σ c z² / (1000 M)", "over all known ions".to_owned())
    };
    steps.push(WorkingStep::new(
        "ionic_strength_mol_per_l",
        (formula, METHODS),
        substituted,
        (value, "mol/L"),
    ));
}

/// Constants, activity, pH of saturation and index; the names in that order.
pub(super) fn saturation(steps: &mut Vec<WorkingStep>, index: &Index, names: [&'static str; 5]) {
    let Ok(constants) = carbonate_constants(index.temperature) else {
        return;
    };
    let kelvin = shown(index.temperature.kelvin());
    let [k2, calcite, activity, saturated, value] = names;
    let fitted = "c0 + c1 T + c2 / T + c3 log10 T + c4 / T²";
    for (name, constant) in [(k2, constants.log_k2), (calcite, constants.log_k_calcite)] {
        let substituted = format!("T = {kelvin} K");
        steps.push(WorkingStep::new(
            name,
            (fitted, SOLUBILITY),
            substituted,
            (constant, "1"),
        ));
    }
    let i = shown(index.strength.moles_per_litre());
    steps.push(WorkingStep::new(
        activity,
        (
            "A (√I / (1 + √I) − 0.3 I), A = 1.82e6 (ε T)^−1.5, ε = 60954 / (T + 116) − 68.937",
            METHODS,
        ),
        format!("I = {i} mol/L, T = {kelvin} K"),
        (index.activity, "1"),
    ));
    steps.push(saturated_step(saturated, index, &constants));
    steps.push(WorkingStep::new(
        value,
        ("pH − pH_s", METHODS),
        format!("{} − {}", shown(index.ph), shown(index.saturation_ph)),
        (index.value(), "1"),
    ));
}

fn saturated_step(
    name: &'static str,
    index: &Index,
    constants: &CarbonateConstants,
) -> WorkingStep {
    WorkingStep::new(
        name,
        (
            "log K_calcite − log K2 − log10[Ca] − log10[HCO3] + 5 p",
            METHODS,
        ),
        format!(
            "{} + {} − log10({} / 40078) − log10({} / 61016) + 5 × {}",
            shown(constants.log_k_calcite),
            shown(-constants.log_k2),
            shown(index.calcium.milligrams_per_litre()),
            shown(index.bicarbonate.milligrams_per_litre()),
            shown(index.activity)
        ),
        (index.saturation_ph, "1"),
    )
}

pub(super) fn indicator(
    steps: &mut Vec<WorkingStep>,
    request: &BrewingWaterRequest,
    analysis: &Analysis,
    response: &BrewingWaterResponse,
) {
    let factors = analysis
        .solids
        .zip(response.alkalinity)
        .zip(analysis.calcium);
    let index = request.ph.zip(response.four_factor_index);
    let Some((((solids, alkalinity), calcium), (ph, value))) = factors.zip(index) else {
        return;
    };
    let hardness = calcium.milligrams_per_litre() * CACO3_PER_MEQ / Ion::Calcium.equivalent_mass();
    steps.push(WorkingStep::new(
        "four_factor_index",
        (
            "pH − (9.3 + (log10 s − 1) / 10 − 13.12 log10(t + 273) + 34.55 − log10 c + 0.4 − log10 a)",
            INDICATOR,
        ),
        format!(
            "pH = {}, s = {}, t = {}, c = {}, a = {}",
            shown(ph),
            shown(solids.amount.milligrams_per_litre()),
            shown(response.water_temperature_c),
            shown(hardness),
            shown(alkalinity.mg_per_l_caco3)
        ),
        (value, "1"),
    ));
}
