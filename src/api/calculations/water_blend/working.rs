//! The derivation of a blend, step by step.

use super::{QuantityAimed, WaterBlendResponse, in_equivalents};
use crate::api::provenance::{WorkingStep, shown};
use crate::api::water::WaterQuantity;
use crate::maths::chemistry::blend::Aimed;

const BALANCE: &str = "massbalance";

/// All steps: the share, where it was found, then what it makes of each quantity, then the volume.
pub(super) fn steps(
    aimed: Option<&[QuantityAimed]>,
    waters: &[(WaterQuantity, f64, f64)],
    response: &WaterBlendResponse,
) -> Vec<WorkingStep> {
    let fraction = response.first_fraction;
    let mut steps: Vec<_> = aimed
        .map(|aimed| share(aimed, fraction))
        .into_iter()
        .collect();
    for (quantity, first, second) in waters {
        let (name, unit) = quantity.named();
        let f = shown(fraction);
        steps.push(WorkingStep::new(
            name,
            ("f a + (1 − f) b", BALANCE),
            format!("{f} × {} + (1 − {f}) × {}", shown(*first), shown(*second)),
            (fraction * first + (1.0 - fraction) * second, unit),
        ));
    }
    let volumes = response.first_volume_l.zip(response.second_volume_l);
    steps.extend(volumes.map(|(first, second)| {
        WorkingStep::new(
            "first_volume_l",
            ("f V", BALANCE),
            format!("{} × {}", shown(fraction), shown(first + second)),
            (first, "L"),
        )
    }));
    steps
}

/// The share that comes nearest to what was aimed at.
fn share(aimed: &[QuantityAimed], fraction: f64) -> WorkingStep {
    let (formula, substituted) = match aimed {
        [(_, only)] => {
            let (a, b, t) = (shown(only.first), shown(only.second), shown(only.target));
            let written = format!("({t} − {b}) / ({a} − {b})");
            ("(t − b) / (a − b), held inside 0 to 1", written)
        }
        _ => {
            let all = in_equivalents(aimed);
            let wanted = terms(&all, |a| a.target - a.second);
            let spread = terms(&all, |a| a.first - a.second);
            (
                "Σ (t − b)(a − b) / Σ (a − b)² in meq/L, held inside 0 to 1",
                format!("({wanted}) / ({spread})"),
            )
        }
    };
    let name = "first_fraction";
    let result = (fraction, "1");
    WorkingStep::new(name, (formula, BALANCE), substituted, result)
}

/// The products of a term with the spread of the two waters, as a written sum.
fn terms(aimed: &[Aimed], term: fn(&Aimed) -> f64) -> String {
    let written = aimed
        .iter()
        .map(|a| format!("{} × {}", shown(term(a)), shown(a.first - a.second)));
    written.collect::<Vec<_>>().join(" + ")
}
