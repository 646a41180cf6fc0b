//! The derivation of solids and yield, as a student would hand it in.

use super::brew::Brewed;
use super::dishes::Dishes;
use crate::api::budget::Budget;
use crate::api::provenance::{WorkingStep, shown};

/// All steps, in the order in which one follows from the others.
pub(super) fn steps(
    dishes: &Dishes<'_>,
    brewed: Option<&Brewed>,
    budget: Option<&Budget>,
) -> Vec<WorkingStep> {
    let mut steps = solids(dishes);
    steps.extend(
        budget
            .into_iter()
            .flat_map(|budget| budget.workings("uncertainty")),
    );
    if let Some(brewed) = brewed {
        if dishes.are_spent_grounds() {
            steps.extend(spent(dishes, brewed));
        } else {
            steps.push(beverage(dishes, brewed));
        }
        steps.extend(brewed.derived.iter().cloned());
    }
    steps
}

/// Solids of every dish, and the mean of several.
fn solids(dishes: &Dishes<'_>) -> Vec<WorkingStep> {
    let weighings = dishes.tare.iter().zip(dishes.wet).zip(dishes.dry);
    let mut steps: Vec<_> = weighings
        .zip(&dishes.each_percent)
        .map(|(((tare, wet), dry), percent)| dish(dishes, (*tare, *wet, *dry), *percent))
        .collect();
    if dishes.each_percent.len() > 1 {
        let each = dishes.each_percent.iter();
        let all: Vec<_> = each.map(|percent| shown(*percent)).collect();
        steps.push(WorkingStep::new(
            "solids_percent",
            ("s = (s₁ + … + sₙ) / n", "jcgm2008"),
            format!("({}) / {}", all.join(" + "), all.len()),
            (dishes.solids_percent, "%"),
        ));
    }
    steps
}

fn dish(dishes: &Dishes<'_>, (tare, wet, dry): (f64, f64, f64), percent: f64) -> WorkingStep {
    let (tare, drift) = (shown(tare), dishes.drift_g);
    let (formula, dry) = if drift == 0.0 {
        ("s = 100 (m_d − m_t) / (m_w − m_t)", shown(dry))
    } else {
        (
            "s = 100 (m_d − c − m_t) / (m_w − m_t)",
            format!("{} − {}", shown(dry), shown(drift)),
        )
    };
    let name = if dishes.each_percent.len() > 1 {
        "solids_of_one_dish_percent"
    } else {
        "solids_percent"
    };
    WorkingStep::new(
        name,
        (formula, "oven-drying"),
        format!("100 × ({dry} − {tare}) / ({} − {tare})", shown(wet)),
        (percent, "%"),
    )
}

fn beverage(dishes: &Dishes<'_>, brewed: &Brewed) -> WorkingStep {
    let r = dishes.request;
    let (s, dose) = (shown(dishes.solids_percent), shown(brewed.dose_g));
    let (formula, substituted) = match (r.brew_kind, r.water_mass_g) {
        (Some(crate::api::brew_kind::BrewKind::Immersion), Some(water)) => (
            "E = 100 (W / D) s / (100 − s)",
            format!("100 × ({} / {dose}) × {s} / (100 − {s})", shown(water)),
        ),
        _ => (
            "E = s B / D",
            format!("{s} × {} / {dose}", shown(r.beverage_mass_g.unwrap_or(0.0))),
        ),
    };
    WorkingStep::new(
        "extraction_yield_percent",
        (formula, "massbalance"),
        substituted,
        (brewed.yield_percent, "%"),
    )
}

fn spent(dishes: &Dishes<'_>, brewed: &Brewed) -> Vec<WorkingStep> {
    let r = dishes.request;
    let part = |percent: Option<f64>| shown(percent.unwrap_or(0.0));
    let (dose, s) = (shown(brewed.dose_g), shown(dishes.solids_percent));
    let grounds = shown(brewed.grounds_g.unwrap_or(0.0));
    let mut steps = vec![WorkingStep::new(
        "extraction_yield_percent",
        (
            "E = 100 (D (1 − m / 100 − c / 100) − G s / 100) / D",
            "massbalance",
        ),
        format!(
            "100 × ({dose} × (1 − {} / 100 − {} / 100) − {grounds} × {s} / 100) / {dose}",
            part(r.coffee_moisture_percent),
            part(r.coffee_co2_percent)
        ),
        (brewed.yield_percent, "%"),
    )];
    if let (Some(held), Some(corrected), Some(tds)) =
        (brewed.held_g, brewed.corrected_percent, r.tds_percent)
    {
        let tds = shown(tds);
        steps.push(WorkingStep::new(
            "held_solids_g",
            ("S_h = G (1 − s / 100) t / (100 − t)", "liang2021"),
            format!("{grounds} × (1 − {s} / 100) × {tds} / (100 − {tds})"),
            (held, "g"),
        ));
        steps.push(WorkingStep::new(
            "corrected_extraction_yield_percent",
            ("E_c = E + 100 S_h / D", "liang2021"),
            format!(
                "{} + 100 × {} / {dose}",
                shown(brewed.yield_percent),
                shown(held)
            ),
            (corrected, "%"),
        ));
    }
    steps
}
