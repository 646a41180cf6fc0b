//! The derivation of the masses, as a student would hand it in.

use super::TargetsResponse;
use super::recipe::Recipe;
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::extraction::targets::Way;

/// All steps, in the order in which one follows from the others.
pub(super) fn steps(recipe: &Recipe<'_>, response: &TargetsResponse) -> Vec<WorkingStep> {
    let mut steps = vec![density(recipe, response)];
    steps.push(retained(recipe, response));
    steps.extend(strength(recipe, response));
    steps.extend(ratios(recipe, response));
    steps.extend(masses(recipe, response));
    steps.extend(bypass(recipe, response));
    steps
}

fn step(
    name: &'static str,
    formula: &'static str,
    substituted: String,
    (value, unit): (f64, &'static str),
) -> WorkingStep {
    WorkingStep::new(name, (formula, "massbalance"), substituted, (value, unit))
}

fn density(recipe: &Recipe<'_>, response: &TargetsResponse) -> WorkingStep {
    let tds = shown(recipe.request.target_tds_percent);
    WorkingStep::new(
        "beverage_density_g_per_ml",
        ("ρ = ρ_w(T) (1 + 0.41 t_c / 100)", "beverage-density"),
        format!(
            "ρ_w({} °C) × (1 + 0.41 × {tds} / 100)",
            shown(recipe.temperature_c)
        ),
        (response.beverage_density_g_per_ml, "g/mL"),
    )
}

fn retained(recipe: &Recipe<'_>, response: &TargetsResponse) -> WorkingStep {
    let (formula, source) = match recipe.request.retained_ratio {
        Some(_) => ("a, as given", "massbalance"),
        None => ("a, usual for the brew", "practice"),
    };
    let value = response.retained_ratio;
    WorkingStep::new(
        "retained_ratio",
        (formula, source),
        shown(value),
        (value, "1"),
    )
}

/// The strength before bypass water, where it is not that of the cup.
fn strength(recipe: &Recipe<'_>, response: &TargetsResponse) -> Option<WorkingStep> {
    let r = recipe.request;
    let (e, a) = (
        shown(r.target_extraction_yield_percent),
        shown(response.retained_ratio),
    );
    let (formula, substituted) = match (recipe.targets.way, r.brew_ratio, r.water_ratio) {
        (Way::Percolation, Some(ratio), _) => ("t = E / r", format!("{e} / {}", shown(ratio))),
        (Way::Percolation, _, Some(ratio)) => {
            ("t = E / (R − a)", format!("{e} / ({} − {a})", shown(ratio)))
        }
        (Way::Immersion, Some(ratio), _) => (
            "t = 100 E / (100 (r + a) + E)",
            format!("100 × {e} / (100 × ({} + {a}) + {e})", shown(ratio)),
        ),
        (Way::Immersion, _, Some(ratio)) => (
            "t = 100 E / (100 R + E)",
            format!("100 × {e} / (100 × {} + {e})", shown(ratio)),
        ),
        (_, None, None) => match r.brew_tds_percent {
            Some(_) => return None,
            None => ("t = t_c, no bypass water", shown(r.target_tds_percent)),
        },
    };
    let value = response.brew_tds_percent;
    Some(step("brew_tds_percent", formula, substituted, (value, "%")))
}

fn ratios(recipe: &Recipe<'_>, response: &TargetsResponse) -> Vec<WorkingStep> {
    let (e, t, a) = (
        shown(recipe.request.target_extraction_yield_percent),
        shown(response.brew_tds_percent),
        shown(response.retained_ratio),
    );
    let (brew, water) = (response.brew_ratio, response.water_ratio);
    match recipe.targets.way {
        Way::Percolation => vec![
            step("brew_ratio", "r = E / t", format!("{e} / {t}"), (brew, "1")),
            step(
                "water_ratio",
                "R = r + a",
                format!("{} + {a}", shown(brew)),
                (water, "1"),
            ),
        ],
        Way::Immersion => vec![
            WorkingStep::new(
                "water_ratio",
                ("R = E (100 − t) / (100 t)", "liang2021"),
                format!("{e} × (100 − {t}) / (100 × {t})"),
                (water, "1"),
            ),
            step(
                "brew_ratio",
                "r = R − a",
                format!("{} − {a}", shown(water)),
                (brew, "1"),
            ),
        ],
    }
}

/// How one mass follows from others.
type Derivation = fn(&Recipe<'_>, &TargetsResponse) -> WorkingStep;

/// The way from the mass that was given to the others.
fn masses(recipe: &Recipe<'_>, response: &TargetsResponse) -> Vec<WorkingStep> {
    let r = recipe.request;
    let ways: Vec<Derivation> = match (r.dose_g, r.beverage_mass_g, r.cup_ml) {
        (Some(_), ..) => vec![beverage_from_dose, cup_from_beverage, volume],
        (_, Some(_), _) => vec![dose_from_beverage, cup_from_beverage, volume],
        (.., Some(_)) => vec![cup_from_volume, beverage_from_cup, dose_from_beverage],
        (None, None, None) => vec![beverage_from_cup, dose_from_beverage, volume],
    };
    ways.into_iter().map(|way| way(recipe, response)).collect()
}

fn beverage_from_dose(_: &Recipe<'_>, response: &TargetsResponse) -> WorkingStep {
    let substituted = format!(
        "{} × {}",
        shown(response.brew_ratio),
        shown(response.dose_g)
    );
    step(
        "beverage_mass_g",
        "B = r D",
        substituted,
        (response.beverage_mass_g, "g"),
    )
}

fn beverage_from_cup(recipe: &Recipe<'_>, response: &TargetsResponse) -> WorkingStep {
    let substituted = format!(
        "{} × {} / {}",
        shown(response.final_beverage_mass_g),
        shown(recipe.request.target_tds_percent),
        shown(response.brew_tds_percent)
    );
    step(
        "beverage_mass_g",
        "B = F t_c / t",
        substituted,
        (response.beverage_mass_g, "g"),
    )
}

fn dose_from_beverage(_: &Recipe<'_>, response: &TargetsResponse) -> WorkingStep {
    let (beverage, ratio) = (shown(response.beverage_mass_g), shown(response.brew_ratio));
    step(
        "dose_g",
        "D = B / r",
        format!("{beverage} / {ratio}"),
        (response.dose_g, "g"),
    )
}

fn cup_from_beverage(recipe: &Recipe<'_>, response: &TargetsResponse) -> WorkingStep {
    let substituted = format!(
        "{} × {} / {}",
        shown(response.beverage_mass_g),
        shown(response.brew_tds_percent),
        shown(recipe.request.target_tds_percent)
    );
    let value = response.final_beverage_mass_g;
    step(
        "final_beverage_mass_g",
        "F = B t / t_c",
        substituted,
        (value, "g"),
    )
}

fn cup_from_volume(_: &Recipe<'_>, response: &TargetsResponse) -> WorkingStep {
    let density = shown(response.beverage_density_g_per_ml);
    let substituted = format!("{} × {density}", shown(response.cup_ml));
    let value = response.final_beverage_mass_g;
    step(
        "final_beverage_mass_g",
        "F = ρ V_c",
        substituted,
        (value, "g"),
    )
}

fn volume(_: &Recipe<'_>, response: &TargetsResponse) -> WorkingStep {
    let density = shown(response.beverage_density_g_per_ml);
    let substituted = format!("{} / {density}", shown(response.final_beverage_mass_g));
    step(
        "cup_ml",
        "V_c = F / ρ",
        substituted,
        (response.cup_ml, "mL"),
    )
}

fn bypass(recipe: &Recipe<'_>, response: &TargetsResponse) -> Vec<WorkingStep> {
    let dose = shown(response.dose_g);
    let mut steps = vec![
        step(
            "water_mass_g",
            "W = R D",
            format!("{} × {dose}", shown(response.water_ratio)),
            (response.water_mass_g, "g"),
        ),
        step(
            "dissolved_solids_g",
            "S = E D / 100",
            format!(
                "{} × {dose} / 100",
                shown(recipe.request.target_extraction_yield_percent)
            ),
            (response.dissolved_solids_g, "g"),
        ),
    ];
    steps.extend(response.bypass_water_g.map(|bypass| {
        let (cup, beverage) = (
            shown(response.final_beverage_mass_g),
            shown(response.beverage_mass_g),
        );
        step(
            "bypass_water_g",
            "V = F − B",
            format!("{cup} − {beverage}"),
            (bypass, "g"),
        )
    }));
    steps
}
