//! The derivation of the solids, as a student would hand it in.

use super::RefractometryResponse;
use super::sample::{Sample, Scale};
use crate::api::budget::Budget;
use crate::api::provenance::{WorkingStep, shown};

/// Readings written out; of more the first and the last are shown.
const MOST_WRITTEN: usize = 12;

/// All steps, in the order in which one follows from the others.
pub(super) fn steps(
    sample: &Sample<'_>,
    response: &RefractometryResponse,
    budget: Option<&Budget>,
) -> Vec<WorkingStep> {
    let mut steps = Vec::with_capacity(20);
    steps.push(mean(sample));
    steps.push(factor(sample));
    steps.push(index_read(sample));
    steps.extend(water(sample));
    steps.extend(zero(sample, response));
    steps.extend(twenty(sample, response));
    steps.push(WorkingStep::new(
        "tds_percent",
        ("t = k b", "coffee-solids-factor"),
        format!(
            "{} × {}",
            shown(sample.factor),
            shown(response.corrected_brix_percent)
        ),
        (response.tds_percent, "%"),
    ));
    steps.extend(
        budget
            .into_iter()
            .flat_map(|budget| budget.workings("uncertainty")),
    );
    steps
}

fn mean(sample: &Sample<'_>) -> WorkingStep {
    let texts: Vec<_> = sample
        .readings
        .iter()
        .map(|reading| shown(*reading))
        .collect();
    let sum = match texts.as_slice() {
        [] | [_] => {
            let formula = ("x, as read", "jcgm2008");
            let read = (sample.mean, sample.scale.unit());
            return WorkingStep::new("mean_reading", formula, shown(sample.mean), read);
        }
        [first, second, .., last] if texts.len() > MOST_WRITTEN => {
            format!("{first} + {second} + … + {last}")
        }
        all => all.join(" + "),
    };
    WorkingStep::new(
        "mean_reading",
        ("x = (x₁ + … + xₙ) / n", "jcgm2008"),
        format!("({sum}) / {}", texts.len()),
        (sample.mean, sample.scale.unit()),
    )
}

fn factor(sample: &Sample<'_>) -> WorkingStep {
    let formula = if sample.has_usual_factor() {
        "k, middle of what is published"
    } else {
        "k, as given"
    };
    WorkingStep::new(
        "solids_per_brix",
        (formula, "coffee-solids-factor"),
        shown(sample.factor),
        (sample.factor, "1"),
    )
}

fn index_read(sample: &Sample<'_>) -> WorkingStep {
    let mean = shown(sample.mean);
    let (formula, substituted) = match sample.scale {
        Scale::Index => ("n, as read", mean),
        Scale::Brix => ("n = n₂₀(b)", format!("n₂₀({mean} %)")),
        Scale::Solids => (
            "n = n₂₀(t / k)",
            format!("n₂₀({mean} / {} %)", shown(sample.factor)),
        ),
    };
    WorkingStep::new(
        "read_refractive_index",
        (formula, "sucrose-scale"),
        substituted,
        (sample.index_read, "1"),
    )
}

fn water(sample: &Sample<'_>) -> Option<WorkingStep> {
    let value = sample.water_index?;
    let (formula, source, substituted) = match sample.celsius {
        Some(celsius) => (
            "n_w = n_vacuum(T) / n_air",
            "iapws1997",
            format!("n_w({} °C)", shown(celsius)),
        ),
        None => (
            "n_w, zero of the scale",
            "sucrose-scale",
            "n₂₀(0 %)".to_owned(),
        ),
    };
    Some(WorkingStep::new(
        "water_refractive_index",
        (formula, source),
        substituted,
        (value, "1"),
    ))
}

fn zero(sample: &Sample<'_>, response: &RefractometryResponse) -> Vec<WorkingStep> {
    let (Some(correction), Some(water)) = (response.zero_correction_points, sample.water_index)
    else {
        return Vec::new();
    };
    let zero_index = sample.index_read - (sample.index_zeroed - water);
    vec![
        WorkingStep::new(
            "zeroed_refractive_index",
            ("n' = n − (n_z − n_w)", "sucrose-scale"),
            format!(
                "{} − ({} − {})",
                shown(sample.index_read),
                shown(zero_index),
                shown(water)
            ),
            (sample.index_zeroed, "1"),
        ),
        WorkingStep::new(
            "zero_correction_points",
            ("b' − b, n₂₀(b') = n'", "sucrose-scale"),
            format!(
                "{} − {}",
                shown(sample.brix_zeroed),
                shown(sample.brix_read)
            ),
            (correction, "percentage points"),
        ),
    ]
}

fn twenty(sample: &Sample<'_>, response: &RefractometryResponse) -> Vec<WorkingStep> {
    let index = shown(sample.index_zeroed);
    let brix = response.corrected_brix_percent;
    let (formula, source, substituted) = match sample.celsius {
        Some(celsius) => (
            "b: n(b, T) = n₂₀(b) + n_w(T) − n_w(20) + b T' (b₁ + b₂ b + b₃ T')",
            "sugar-temperature",
            format!("n(b, {} °C) = {index}", shown(celsius)),
        ),
        None => (
            "b: n₂₀(b) = n",
            "sucrose-scale",
            format!("n₂₀(b) = {index}"),
        ),
    };
    let mut steps = vec![WorkingStep::new(
        "corrected_brix_percent",
        (formula, source),
        substituted,
        (brix, "%"),
    )];
    steps.extend(response.temperature_correction_points.map(|correction| {
        WorkingStep::new(
            "temperature_correction_points",
            ("b − b'", "sugar-temperature"),
            format!("{} − {}", shown(brix), shown(sample.brix_zeroed)),
            (correction, "percentage points"),
        )
    }));
    steps.push(WorkingStep::new(
        "corrected_refractive_index",
        ("n₂₀(b)", "sucrose-scale"),
        format!("n₂₀({} %)", shown(brix)),
        (response.corrected_refractive_index, "1"),
    ));
    steps
}
