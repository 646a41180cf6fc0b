//! The derivation of the curve, as a student would hand it in.

use super::caught::Shot;
use super::{FractionsResponse, SliceTarget, TargetMet};
use crate::api::provenance::{WorkingStep, shown};

/// Slices written out in full; of more the first two and the last are shown.
const MOST_WRITTEN: usize = 12;

/// All steps, in the order in which one follows from the others.
pub(super) fn steps(shot: &Shot<'_>, response: &FractionsResponse) -> Vec<WorkingStep> {
    let mut steps = Vec::new();
    steps.extend(shot.factor.map(|factor| {
        WorkingStep::new(
            "solids_per_brix",
            ("k, with t = k b for each slice", "coffee-solids-factor"),
            shown(factor),
            (factor, "1"),
        )
    }));
    steps.extend(sums(shot, response));
    steps.extend(quotients(shot, response));
    let targets = response.targets.iter().flatten();
    steps.extend(targets.filter_map(|target| met(shot, response, target)));
    steps
}

fn step(
    name: &'static str,
    formula: &'static str,
    substituted: String,
    value: (f64, &'static str),
) -> WorkingStep {
    WorkingStep::new(name, (formula, "massbalance"), substituted, value)
}

/// Beverage and solids of all slices.
fn sums(shot: &Shot<'_>, response: &FractionsResponse) -> [WorkingStep; 2] {
    let masses = shot.slices.iter().map(|slice| shown(slice.mass.grams()));
    let products = shot.slices.iter().map(|slice| {
        let (mass, percent) = (slice.mass.grams(), slice.strength.percent());
        format!("{} × {}", shown(mass), shown(percent))
    });
    [
        step(
            "beverage_mass_g",
            "B = m₁ + … + mₙ",
            sum(masses.collect()),
            (response.beverage_mass_g, "g"),
        ),
        step(
            "dissolved_solids_g",
            "S = (m₁ t₁ + … + mₙ tₙ) / 100",
            format!("({}) / 100", sum(products.collect())),
            (response.dissolved_solids_g, "g"),
        ),
    ]
}

/// Strength, yield and ratio of all slices.
fn quotients(shot: &Shot<'_>, response: &FractionsResponse) -> [WorkingStep; 3] {
    let dose = shown(shot.request.dose_g);
    let beverage = shown(response.beverage_mass_g);
    let solids = shown(response.dissolved_solids_g);
    [
        step(
            "tds_percent",
            "T = 100 S / B",
            format!("100 × {solids} / {beverage}"),
            (response.tds_percent, "%"),
        ),
        step(
            "extraction_yield_percent",
            "E = 100 S / D",
            format!("100 × {solids} / {dose}"),
            (response.extraction_yield_percent, "%"),
        ),
        step(
            "brew_ratio",
            "r = B / D",
            format!("{beverage} / {dose}"),
            (response.brew_ratio, "1"),
        ),
    ]
}

fn sum(texts: Vec<String>) -> String {
    match texts.as_slice() {
        [first, second, .., last] if texts.len() > MOST_WRITTEN => {
            format!("{first} + {second} + … + {last}")
        }
        all => all.join(" + "),
    }
}

/// The beverage at which a target is met, from the cup before the slice.
fn met(shot: &Shot<'_>, response: &FractionsResponse, target: &TargetMet) -> Option<WorkingStep> {
    let (slice, beverage) = (target.slice?, target.beverage_mass_g?);
    let place = usize::try_from(slice).ok()?.checked_sub(1)?;
    let own = response.slices.get(place)?;
    let before = place
        .checked_sub(1)
        .and_then(|place| response.slices.get(place));
    let (mass, strength, extracted) = before.map_or((0.0, 0.0, 0.0), |cup| {
        (
            cup.beverage_mass_g,
            cup.cumulative_tds_percent,
            cup.extraction_yield_percent,
        )
    });
    let (mass, wanted, tds) = (shown(mass), shown(target.value), shown(own.tds_percent));
    let (name, formula, substituted) = match target.target {
        SliceTarget::BeverageMassG => ("beverage at the target beverage", "B = B'", wanted),
        SliceTarget::ExtractionYieldPercent => (
            "beverage at the target yield",
            "B = B₋ + (E' − E₋) D / t",
            format!(
                "{mass} + ({wanted} − {}) × {} / {tds}",
                shown(extracted),
                shown(shot.request.dose_g)
            ),
        ),
        SliceTarget::TdsPercent => (
            "beverage at the target strength",
            "B = B₋ + B₋ (T₋ − T') / (T' − t)",
            format!(
                "{mass} + {mass} × ({} − {wanted}) / ({wanted} − {tds})",
                shown(strength)
            ),
        ),
    };
    Some(WorkingStep::new(
        name,
        (formula, "massbalance"),
        substituted,
        (beverage, "g"),
    ))
}
