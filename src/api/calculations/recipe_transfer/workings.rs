//! The derivation: own steps, and those of the calculations that were asked.

use super::carried::Carried;
use super::response::{RecipeTransferResponse, ShotTimeChange};
use crate::api::provenance::{WorkingStep, shown};

/// All steps, in the order in which one follows from the others.
pub(super) fn steps(carried: &Carried<'_>, response: &RecipeTransferResponse) -> Vec<WorkingStep> {
    let mut steps = dose(carried);
    let ratios = carried.ratios.as_ref();
    steps.extend(
        ratios
            .and_then(|r| r.to.provenance.workings.clone())
            .into_iter()
            .flatten(),
    );
    let place = carried.water.place.as_ref();
    steps.extend(
        place
            .and_then(|p| p.provenance.workings.clone())
            .into_iter()
            .flatten(),
    );
    steps.extend(temperature(carried));
    steps.extend(time(
        carried,
        &response.shot_time_change,
        response.shot_time_s,
    ));
    steps
}

fn dose(carried: &Carried<'_>) -> Vec<WorkingStep> {
    let Some(baskets) = &carried.baskets else {
        return Vec::new();
    };
    let (old, new) = (&baskets.from.result, &baskets.to.result);
    let dose = shown(carried.recipe.dose_g);
    let mut steps = vec![WorkingStep::new(
        "same_depth_dose_g",
        (
            "m' = m A' / A, the same bed depth at the same density",
            "geometry",
        ),
        format!(
            "{dose} × {} / {}",
            shown(new.bed_area_mm2),
            shown(old.bed_area_mm2)
        ),
        (baskets.same_depth_dose_g, "g"),
    )];
    if baskets.is_limited() {
        steps.push(WorkingStep::new(
            "dose_g",
            ("m' held inside m_min to m_max", "basket-practice"),
            format!(
                "{} held inside {} to {}",
                shown(baskets.same_depth_dose_g),
                shown(new.dose_min_g),
                shown(new.dose_max_g)
            ),
            (baskets.dose_g, "g"),
        ));
    }
    let inner = baskets.to.provenance.workings.clone();
    steps.extend(inner.into_iter().flatten());
    steps
}

fn temperature(carried: &Carried<'_>) -> Option<WorkingStep> {
    let place = &carried.water.place.as_ref()?.result;
    let (wanted, taken) = (carried.water.wanted_c, carried.water.carried_c);
    let boiling = place
        .boiling_point_under_pressure_c
        .unwrap_or(place.boiling_point_c);
    Some(WorkingStep::new(
        "brew_temperature_c",
        (
            "the recipe's own up to boiling, otherwise a little below boiling",
            "practice",
        ),
        format!("{} against boiling at {}", shown(wanted), shown(boiling)),
        (taken, "°C"),
    ))
}

fn time(
    carried: &Carried<'_>,
    change: &ShotTimeChange,
    expected_s: Option<f64>,
) -> Vec<WorkingStep> {
    let simulated = change.simulated_from_s.zip(change.simulated_to_s);
    let Some(((old, new), ratio)) = simulated.zip(change.time_ratio) else {
        return Vec::new();
    };
    let mut steps = vec![WorkingStep::new(
        "time_ratio",
        ("t'_sim / t_sim", "packedbed"),
        format!("{} / {}", shown(new), shown(old)),
        (ratio, "1"),
    )];
    if let Some((time, expected)) = carried.recipe.shot_time_s.zip(expected_s) {
        steps.push(WorkingStep::new(
            "shot_time_s",
            ("t' = t t'_sim / t_sim", "packedbed"),
            format!("{} × {}", shown(time), shown(ratio)),
            (expected, "s"),
        ));
    }
    steps
}
