//! The derivation of the yield, as a student would hand it in.

use super::brew::{Brew, Weighed};
use super::uncertainty::Found;
use super::{ExtractionYieldResponse, budget_workings, monte_carlo};
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::MathsError;

/// Readings written out in full; of more the first and the last are shown.
const MOST_WRITTEN: usize = 12;

/// All steps, in the order in which one follows from the others.
pub(super) fn of(
    brew: &Brew<'_>,
    response: &ExtractionYieldResponse,
    found: Option<&Found>,
) -> Result<Vec<WorkingStep>, MathsError> {
    let mut steps = Vec::with_capacity(24);
    steps.extend(mean(brew));
    steps.extend(undiluted(brew));
    steps.push(solids(brew, response));
    steps.push(WorkingStep::new(
        "extraction_yield_percent",
        ("E = 100 S / D", "massbalance"),
        format!(
            "100 × {} / {}",
            shown(response.dissolved_solids_g),
            shown(brew.request.dose_g)
        ),
        (response.extraction_yield_percent, "%"),
    ));
    steps.extend(ratios(brew, response));
    steps.extend(dry(brew, response));
    if let Some(found) = found {
        steps.extend(budget_workings::of(brew, found)?);
        let published = &found.published;
        let trials = published.monte_carlo.as_ref().into_iter();
        steps.extend(trials.flat_map(|trials| {
            monte_carlo::steps(response.extraction_yield_percent, published, trials)
        }));
    }
    Ok(steps)
}

fn mean(brew: &Brew<'_>) -> Option<WorkingStep> {
    let readings = brew.request.tds_readings_percent.as_deref()?;
    let written = |readings: &[f64]| {
        let texts: Vec<_> = readings.iter().map(|reading| shown(*reading)).collect();
        texts.join(" + ")
    };
    let sum = match readings {
        [first, second, .., last] if readings.len() > MOST_WRITTEN => {
            format!(
                "{} + {} + … + {}",
                shown(*first),
                shown(*second),
                shown(*last)
            )
        }
        _ => written(readings),
    };
    Some(WorkingStep::new(
        "tds_percent",
        ("t = (t₁ + … + tₙ) / n", "jcgm2008"),
        format!("({sum}) / {}", readings.len()),
        (brew.tds_percent, "%"),
    ))
}

/// Immersion: the strength before bypass water, which the grounds keep.
fn undiluted(brew: &Brew<'_>) -> Option<WorkingStep> {
    if !brew.is_immersion() || brew.bypass_g == 0.0 {
        return None;
    }
    let (formula, substituted) = match brew.weighed? {
        Weighed::Before(mass) => (
            "t₀ = t (B + V) / B",
            format!(
                "{} × ({} + {}) / {}",
                shown(brew.tds_percent),
                shown(mass),
                shown(brew.bypass_g),
                shown(mass)
            ),
        ),
        Weighed::After(mass) => (
            "t₀ = t F / (F − V)",
            format!(
                "{} × {} / ({} − {})",
                shown(brew.tds_percent),
                shown(mass),
                shown(mass),
                shown(brew.bypass_g)
            ),
        ),
    };
    Some(WorkingStep::new(
        "undiluted_tds_percent",
        (formula, "massbalance"),
        substituted,
        (undiluted_percent(brew), "%"),
    ))
}

fn solids(brew: &Brew<'_>, response: &ExtractionYieldResponse) -> WorkingStep {
    let tds = shown(brew.tds_percent);
    let (formula, substituted) = match brew.weighed {
        _ if brew.is_immersion() => return steeped_solids(brew, response),
        Some(Weighed::Before(mass)) if brew.bypass_g > 0.0 => (
            "S = t (B + V) / 100",
            format!("{tds} × ({} + {}) / 100", shown(mass), shown(brew.bypass_g)),
        ),
        Some(Weighed::Before(mass)) => ("S = t B / 100", format!("{tds} × {} / 100", shown(mass))),
        Some(Weighed::After(mass)) => ("S = t F / 100", format!("{tds} × {} / 100", shown(mass))),
        None => ("S", shown(response.dissolved_solids_g)),
    };
    WorkingStep::new(
        "dissolved_solids_g",
        (formula, "massbalance"),
        substituted,
        (response.dissolved_solids_g, "g"),
    )
}

/// Immersion: the solids in cup and grounds.
fn steeped_solids(brew: &Brew<'_>, response: &ExtractionYieldResponse) -> WorkingStep {
    let formula = if brew.bypass_g > 0.0 {
        "S = W t₀ / (100 − t₀)"
    } else {
        "S = W t / (100 − t)"
    };
    let water = shown(brew.request.water_mass_g.unwrap_or(0.0));
    let before = shown(undiluted_percent(brew));
    WorkingStep::new(
        "dissolved_solids_g",
        (formula, "liang2021"),
        format!("{water} × {before} / (100 − {before})"),
        (response.dissolved_solids_g, "g"),
    )
}

/// Strength before bypass water.
fn undiluted_percent(brew: &Brew<'_>) -> f64 {
    match (brew.cup_g(), brew.brewed_g()) {
        (Some(cup), Some(brewed)) => brew.tds_percent * (cup / brewed),
        _ => brew.tds_percent,
    }
}

fn ratios(brew: &Brew<'_>, response: &ExtractionYieldResponse) -> Vec<WorkingStep> {
    let dose = shown(brew.request.dose_g);
    let mut steps = Vec::new();
    if let (Some(ratio), Some(weighed)) = (response.brew_ratio, brew.weighed) {
        let (formula, substituted) = match weighed {
            Weighed::After(mass) if brew.bypass_g > 0.0 => (
                "r = (F − V) / D",
                format!("({} − {}) / {dose}", shown(mass), shown(brew.bypass_g)),
            ),
            Weighed::After(mass) => ("r = F / D", format!("{} / {dose}", shown(mass))),
            Weighed::Before(mass) => ("r = B / D", format!("{} / {dose}", shown(mass))),
        };
        steps.push(WorkingStep::new(
            "brew_ratio",
            (formula, "massbalance"),
            substituted,
            (ratio, "1"),
        ));
    }
    if let (Some(ratio), Some(water)) = (response.water_ratio, brew.request.water_mass_g) {
        let substituted = format!("{} / {dose}", shown(water));
        steps.push(WorkingStep::new(
            "water_ratio",
            ("R = W / D", "massbalance"),
            substituted,
            (ratio, "1"),
        ));
    }
    steps
}

fn dry(brew: &Brew<'_>, response: &ExtractionYieldResponse) -> Option<WorkingStep> {
    let value = response.extraction_yield_dry_basis_percent?;
    let part = |percent: Option<f64>| shown(percent.unwrap_or(0.0));
    Some(WorkingStep::new(
        "extraction_yield_dry_basis_percent",
        ("E_d = E / (1 − m / 100 − c / 100)", "iso11294"),
        format!(
            "{} / (1 − {} / 100 − {} / 100)",
            shown(response.extraction_yield_percent),
            part(brew.request.coffee_moisture_percent),
            part(brew.request.coffee_co2_percent)
        ),
        (value, "%"),
    ))
}
