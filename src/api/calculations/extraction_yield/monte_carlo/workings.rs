//! The derivation of the trials' results, as far as numbers by the ten thousand have one.

use super::super::uncertainty::YieldUncertainty;
use super::YieldMonteCarlo;
use crate::api::provenance::{WorkingStep, shown};

const SOURCE: &str = "jcgm2008s1";

/// From the trials to the validation of first order.
pub(in super::super) fn steps(
    yield_percent: f64,
    published: &YieldUncertainty,
    trials: &YieldMonteCarlo,
) -> Vec<WorkingStep> {
    let made = format!("M = {}, seed {}", trials.trials, trials.seed);
    let step = |name, formula, substituted, value| {
        WorkingStep::new(name, (formula, SOURCE), substituted, value)
    };
    let mut steps = vec![
        step(
            "uncertainty.monte_carlo.mean_percent",
            "ȳ = Σ yᵣ / M",
            made.clone(),
            (trials.mean_percent, "%"),
        ),
        step(
            "uncertainty.monte_carlo.standard_points",
            "u = √(Σ (yᵣ − ȳ)² / (M − 1))",
            made,
            (trials.standard_points, "percentage points"),
        ),
    ];
    steps.extend(intervals(published, trials));
    steps.extend(held(yield_percent, published, trials));
    steps
}

/// First order held against the trials.
fn held(
    yield_percent: f64,
    published: &YieldUncertainty,
    trials: &YieldMonteCarlo,
) -> [WorkingStep; 2] {
    let check = &trials.first_order;
    let ends = [
        (
            ("low", '−'),
            (trials.low_percent, check.low_difference_points),
        ),
        (
            ("high", '+'),
            (trials.high_percent, check.high_difference_points),
        ),
    ];
    ends.map(|((end, sign), (of_trials, apart))| WorkingStep {
        step: format!("uncertainty.monte_carlo.first_order.{end}_difference_points").into(),
        formula: format!("|y {sign} U − y_{end}|").into(),
        ..WorkingStep::new(
            "",
            ("", SOURCE),
            format!(
                "|{} {sign} {} − {}|",
                shown(yield_percent),
                shown(published.expanded_points),
                shown(of_trials)
            ),
            (apart, "percentage points"),
        )
    })
}

fn intervals(
    published: &YieldUncertainty,
    trials: &YieldMonteCarlo,
) -> impl Iterator<Item = WorkingStep> {
    let counted = format!(
        "p = {}, M = {}",
        shown(published.coverage_probability),
        trials.trials
    );
    let (symmetric, shortest) = (
        "quantile of the sorted yᵣ, as many outside on either side",
        "end of the shortest interval that holds p M of the sorted yᵣ",
    );
    let ends = [
        ("low_percent", symmetric, trials.low_percent),
        ("high_percent", symmetric, trials.high_percent),
        (
            "shortest_low_percent",
            shortest,
            trials.shortest_low_percent,
        ),
        (
            "shortest_high_percent",
            shortest,
            trials.shortest_high_percent,
        ),
    ];
    ends.into_iter()
        .map(move |(name, formula, value)| WorkingStep {
            step: format!("uncertainty.monte_carlo.{name}").into(),
            ..WorkingStep::new("", (formula, SOURCE), counted.clone(), (value, "%"))
        })
}
