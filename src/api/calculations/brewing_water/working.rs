//! The derivation of an answer, step by step, as a student would hand it in.

mod saturation;

use super::analysis::Analysis;
use super::indices::Indices;
use super::response::SolidsFrom;
use super::{BrewingWaterRequest, BrewingWaterResponse};
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::chemistry::hardness::{CACO3_PER_MEQ, HardnessUnit};
use crate::maths::chemistry::ions::Ion;
use crate::maths::constants::MOLAR_MASS_CACO3;

const ATOMS: &str = "ciaaw2021";
const METHODS: &str = "apha2017";
const CACO3: &str = "mg/L as CaCO3";

/// All steps, in the order in which one needs the other.
pub(super) fn steps(
    request: &BrewingWaterRequest,
    analysis: &Analysis,
    indices: &Indices,
    response: &BrewingWaterResponse,
) -> Vec<WorkingStep> {
    let mut steps = Vec::new();
    titrated(&mut steps, request, response);
    hardness(&mut steps, request, response);
    split(&mut steps, response);
    balance(&mut steps, response);
    solids(&mut steps, request, response);
    if let Some(index) = indices.water {
        saturation::strength(&mut steps, request, response);
        let names = [
            "log_k2",
            "log_k_calcite",
            "activity_p",
            "saturation_ph",
            "saturation_index",
        ];
        saturation::saturation(&mut steps, &index, names);
    }
    if let Some(index) = indices.boiler {
        let names = [
            "boiler_log_k2",
            "boiler_log_k_calcite",
            "boiler_activity_p",
            "boiler_saturation_ph",
            "boiler_saturation_index",
        ];
        saturation::saturation(&mut steps, &index, names);
    }
    saturation::indicator(&mut steps, request, analysis, response);
    scale(&mut steps, request, analysis, response);
    steps
}

fn titrated(
    steps: &mut Vec<WorkingStep>,
    request: &BrewingWaterRequest,
    response: &BrewingWaterResponse,
) {
    let edta = request
        .sample_ml
        .zip(request.edta_ml)
        .zip(request.edta_mol_per_l);
    if let Some((((sample, used), mol), total)) = edta.zip(response.total_hardness) {
        steps.push(WorkingStep::new(
            "total_hardness_mg_per_l_caco3",
            ("h = M(CaCO3) 1000 v m / s", METHODS),
            format!(
                "{} × 1000 × {} × {} / {}",
                shown(MOLAR_MASS_CACO3),
                shown(used),
                shown(mol),
                shown(sample)
            ),
            (total.mg_per_l_caco3, CACO3),
        ));
    }
    let acid = request
        .sample_ml
        .zip(request.acid_ml)
        .zip(request.acid_mol_per_l);
    if let Some((((sample, used), mol), alkalinity)) = acid.zip(response.alkalinity) {
        steps.push(WorkingStep::new(
            "alkalinity_mg_per_l_caco3",
            ("a = ½ M(CaCO3) 1000 v m / s", METHODS),
            format!(
                "{} × 1000 × {} × {} / {}",
                shown(CACO3_PER_MEQ),
                shown(used),
                shown(mol),
                shown(sample)
            ),
            (alkalinity.mg_per_l_caco3, CACO3),
        ));
    }
}

/// Hardness of each ion, their sum, and the alkalinity of bicarbonate.
fn hardness(
    steps: &mut Vec<WorkingStep>,
    request: &BrewingWaterRequest,
    response: &BrewingWaterResponse,
) {
    let mut part = |name, given: Option<f64>, ion: Ion, value: Option<f64>| {
        if let Some((mg, value)) = given.zip(value) {
            steps.push(WorkingStep::new(
                name,
                ("c ½ M(CaCO3) / (M / |z|)", ATOMS),
                format!(
                    "{} × {} / {}",
                    shown(mg),
                    shown(CACO3_PER_MEQ),
                    shown(ion.equivalent_mass())
                ),
                (value, CACO3),
            ));
        }
    };
    let calcium = response.calcium_hardness.map(|h| h.mg_per_l_caco3);
    let magnesium = response.magnesium_hardness.map(|h| h.mg_per_l_caco3);
    let alkalinity = response.alkalinity.map(|a| a.mg_per_l_caco3);
    let (ca, mg) = (request.calcium_mg_per_l, request.magnesium_mg_per_l);
    part("calcium_hardness_mg_per_l_caco3", ca, Ion::Calcium, calcium);
    part(
        "magnesium_hardness_mg_per_l_caco3",
        mg,
        Ion::Magnesium,
        magnesium,
    );
    let hco3 = request.bicarbonate_mg_per_l;
    part(
        "alkalinity_mg_per_l_caco3",
        hco3,
        Ion::Bicarbonate,
        alkalinity,
    );
    total(steps, request, response);
    readings(steps, request, response);
}

/// The sum, where both ions were given.
fn total(
    steps: &mut Vec<WorkingStep>,
    request: &BrewingWaterRequest,
    response: &BrewingWaterResponse,
) {
    let calcium = response.calcium_hardness.map(|h| h.mg_per_l_caco3);
    let magnesium = response.magnesium_hardness.map(|h| h.mg_per_l_caco3);
    let both = request.calcium_mg_per_l.zip(request.magnesium_mg_per_l);
    let sum = both.and(calcium.zip(magnesium));
    if let Some(((calcium, magnesium), total)) = sum.zip(response.total_hardness) {
        steps.push(WorkingStep::new(
            "total_hardness_mg_per_l_caco3",
            ("h = h(Ca) + h(Mg)", METHODS),
            format!("{} + {}", shown(calcium), shown(magnesium)),
            (total.mg_per_l_caco3, CACO3),
        ));
    }
}

/// Readings in other units.
fn readings(
    steps: &mut Vec<WorkingStep>,
    request: &BrewingWaterRequest,
    response: &BrewingWaterResponse,
) {
    let Some(unit) = request.hardness_unit else {
        return;
    };
    let factor = HardnessUnit::from(unit).milligrams();
    let mut reading = |name, given: Option<f64>, value: Option<f64>| {
        if let Some((given, value)) = given.zip(value) {
            steps.push(WorkingStep::new(
                name,
                (
                    "reading × milligrams of calcium carbonate per unit",
                    "units",
                ),
                format!("{} × {}", shown(given), shown(factor)),
                (value, CACO3),
            ));
        }
    };
    let total = response.total_hardness.map(|h| h.mg_per_l_caco3);
    let alkalinity = response.alkalinity.map(|a| a.mg_per_l_caco3);
    reading(
        "total_hardness_mg_per_l_caco3",
        request.total_hardness,
        total,
    );
    reading("alkalinity_mg_per_l_caco3", request.alkalinity, alkalinity);
}

fn split(steps: &mut Vec<WorkingStep>, response: &BrewingWaterResponse) {
    let both = response.total_hardness.zip(response.alkalinity);
    let parts = response
        .carbonate_hardness_mg_per_l_caco3
        .zip(response.non_carbonate_hardness_mg_per_l_caco3);
    let Some(((h, a), (carbonate, rest))) = both.zip(parts) else {
        return;
    };
    let (h, a) = (shown(h.mg_per_l_caco3), shown(a.mg_per_l_caco3));
    steps.push(WorkingStep::new(
        "carbonate_hardness_mg_per_l_caco3",
        ("min(h, a)", METHODS),
        format!("min({h}, {a})"),
        (carbonate, CACO3),
    ));
    steps.push(WorkingStep::new(
        "non_carbonate_hardness_mg_per_l_caco3",
        ("h − min(h, a)", METHODS),
        format!("{h} − {}", shown(carbonate)),
        (rest, CACO3),
    ));
}

fn balance(steps: &mut Vec<WorkingStep>, response: &BrewingWaterResponse) {
    let sums = response.cations_meq_per_l.zip(response.anions_meq_per_l);
    let Some(((cations, anions), percent)) = sums.zip(response.ion_balance_percent) else {
        return;
    };
    let (c, a) = (shown(cations), shown(anions));
    steps.push(WorkingStep::new(
        "ion_balance_percent",
        (
            "100 (C − A) / (C + A), C and A the sums of c / (M / |z|) in meq/L",
            METHODS,
        ),
        format!("100 × ({c} − {a}) / ({c} + {a})"),
        (percent, "%"),
    ));
}

fn solids(
    steps: &mut Vec<WorkingStep>,
    request: &BrewingWaterRequest,
    response: &BrewingWaterResponse,
) {
    let Some((solids, from)) = response.water_tds_mg_per_l.zip(response.water_tds_from) else {
        return;
    };
    let (formula, substituted, source) = match from {
        SolidsFrom::Conductivity => (
            "f k",
            format!(
                "{} × {}",
                shown(response.tds_factor.unwrap_or_default()),
                shown(request.conductivity_us_per_cm.unwrap_or_default())
            ),
            "tds442",
        ),
        SolidsFrom::Ions => (
            "Σ c − c(HCO3) (1 − ½ M(CO3) / M(HCO3))",
            format!(
                "Σ c − {} × 0.508",
                shown(response.bicarbonate_mg_per_l.unwrap_or_default())
            ),
            METHODS,
        ),
    };
    steps.push(WorkingStep::new(
        "water_tds_mg_per_l",
        (formula, source),
        substituted,
        (solids, "mg/L"),
    ));
}

fn scale(
    steps: &mut Vec<WorkingStep>,
    request: &BrewingWaterRequest,
    analysis: &Analysis,
    response: &BrewingWaterResponse,
) {
    let factors = analysis.calcium.zip(response.alkalinity);
    let Some(((calcium, alkalinity), bound)) = factors.zip(response.scale_bound_mg_per_l) else {
        return;
    };
    let hardness = calcium.milligrams_per_litre() * CACO3_PER_MEQ / Ion::Calcium.equivalent_mass();
    steps.push(WorkingStep::new(
        "scale_bound_mg_per_l",
        ("N min(h(Ca), a)", ATOMS),
        format!(
            "{} × min({}, {})",
            shown(request.boiler_cycles_of_concentration.unwrap_or(1.0)),
            shown(hardness),
            shown(alkalinity.mg_per_l_caco3)
        ),
        (bound, CACO3),
    ));
}
