//! The derivation of the statistics, quantity by quantity.

use super::response::{DriftMade, QuantitiesMade, QuantityMade, StatisticalLimits};
use crate::api::provenance::{WorkingStep, shown};
use crate::api::units::unit_of;

const HANDBOOK: &str = "nist-handbook";

/// All steps, each named by the path of what it finds.
pub(super) fn steps(quantities: &QuantitiesMade, coverage: f64) -> Vec<WorkingStep> {
    let given = quantities.named().into_iter();
    let given = given.filter_map(|(name, made)| Some((name, made?)));
    given
        .flat_map(|(name, made)| {
            let mut steps = Vec::from(spread(name, made, coverage));
            steps.extend(made.limits.iter().flat_map(|found| limits(name, found)));
            steps.extend(made.drift.as_ref().map(|found| drift(name, found)));
            steps
        })
        .collect()
}

fn step(
    (name, part): (&str, &str),
    formula: &'static str,
    substituted: String,
    value: f64,
) -> WorkingStep {
    WorkingStep {
        step: format!("quantities.{name}.{part}").into(),
        ..WorkingStep::new("", (formula, HANDBOOK), substituted, (value, unit_of(name)))
    }
}

fn spread(name: &str, made: &QuantityMade, coverage: f64) -> [WorkingStep; 4] {
    let n = u32::try_from(made.count).map_or(f64::MAX, f64::from);
    let (v, spread, outside) = (n - 1.0, shown(made.spread), shown(1.0 - coverage));
    let squares = shown(made.spread * made.spread * v);
    [
        step(
            (name, "mean"),
            "Σ x / n",
            format!("{} / {n}", shown(made.mean * n)),
            made.mean,
        ),
        step(
            (name, "spread"),
            "s = √(Σ (x − mean)² / v), v = n − 1",
            format!("√({squares} / {v})"),
            made.spread,
        ),
        step(
            (name, "spread_low"),
            "s √(v / χ²(1 − a/2; v)), a = 1 − p",
            format!("{spread} × √({v} / χ²(1 − {outside}/2; {v}))"),
            made.spread_low,
        ),
        step(
            (name, "spread_high"),
            "s √(v / χ²(a/2; v))",
            format!("{spread} × √({v} / χ²({outside}/2; {v}))"),
            made.spread_high,
        ),
    ]
}

fn limits(name: &str, found: &StatisticalLimits) -> [WorkingStep; 2] {
    let (mean, range) = (shown(found.centre), shown(found.mean_moving_range));
    let end = |part, formula, sign, value| {
        let text = format!("{mean} {sign} 3 × {range} / 1.128");
        step((name, part), formula, text, value)
    };
    [
        end("limits.lower", "mean − 3 R / d₂", "−", found.lower),
        end("limits.upper", "mean + 3 R / d₂", "+", found.upper),
    ]
}

fn drift(name: &str, found: &DriftMade) -> WorkingStep {
    step(
        (name, "drift.change_per_shot"),
        "b = S_xy / S_xx, x the place of the shot",
        format!("inside {} to {}", shown(found.low), shown(found.high)),
        found.change_per_shot,
    )
}
