//! The derivation of the doses and of the bed.

use super::{BasketCapacityRequest, BasketCapacityResponse};
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::basket::capacity::{HEADSPACE_MM, TAMPED_DENSITY_G_PER_ML};

/// All steps, in the order in which one follows from the others.
pub(super) fn of(
    request: &BasketCapacityRequest,
    response: &BasketCapacityResponse,
) -> Vec<WorkingStep> {
    let diameter = shown(request.diameter_mm);
    let mut steps = vec![WorkingStep::new(
        "bed_area_mm2",
        ("A = π d² / 4", "geometry"),
        format!("π × {diameter}² / 4"),
        (response.bed_area_mm2, "mm²"),
    )];
    steps.extend(volume_step(request, response));
    steps.extend(dose_steps(request, response));
    steps.extend(bed_steps(request, response));
    steps
}

fn volume_step(
    request: &BasketCapacityRequest,
    response: &BasketCapacityResponse,
) -> Option<WorkingStep> {
    let (volume, depth) = (response.volume_ml?, shown(request.depth_mm?));
    let (rim, bottom) = (
        shown(request.diameter_mm),
        shown(request.bottom_diameter_mm.unwrap_or(request.diameter_mm)),
    );
    Some(WorkingStep::new(
        "volume_ml",
        ("V = π h (d² + d d₂ + d₂²) / 12 000", "geometry"),
        format!("π × {depth} × ({rim}² + {rim} × {bottom} + {bottom}²) / 12 000"),
        (volume, "mL"),
    ))
}

fn density_of(request: &BasketCapacityRequest) -> f64 {
    request
        .tamped_density_g_per_ml
        .unwrap_or(TAMPED_DENSITY_G_PER_ML)
}

fn dose_steps(
    request: &BasketCapacityRequest,
    response: &BasketCapacityResponse,
) -> [WorkingStep; 2] {
    let density = shown(density_of(request));
    let (largest, smallest) = (response.dose_max_g, response.dose_min_g);
    let practice = |name, formula, text, value| {
        WorkingStep::new(name, (formula, "basket-practice"), text, (value, "g"))
    };
    if let Some(rated) = request.rated_dose_g {
        let rated = shown(rated);
        return [
            practice(
                "dose_max_g",
                "m_rated + 1 g",
                format!("{rated} + 1"),
                largest,
            ),
            practice(
                "dose_min_g",
                "m_rated − 1 g",
                format!("{rated} − 1"),
                smallest,
            ),
        ];
    }
    let most = if let Some(depth) = request.depth_mm {
        let headspace = shown(request.headspace_mm.unwrap_or(HEADSPACE_MM));
        let formula = "m_max = ρ V(h − s), V the volume up to that height";
        let text = format!("{density} × V({} − {headspace})", shown(depth));
        WorkingStep::new("dose_max_g", (formula, "geometry"), text, (largest, "g"))
    } else {
        let formula = "m_max = 22 g (d / 58 mm)² (ρ / 0.55 g/mL)";
        let text = format!(
            "22 × ({} / 58)² × ({density} / 0.55)",
            shown(request.diameter_mm)
        );
        practice("dose_max_g", formula, text, largest)
    };
    let text = format!("{} × 18 / 22", shown(largest));
    [
        most,
        practice("dose_min_g", "m_min = m_max × 18 / 22", text, smallest),
    ]
}

fn bed_steps(
    request: &BasketCapacityRequest,
    response: &BasketCapacityResponse,
) -> Vec<WorkingStep> {
    let dose = shown(request.dose_g.unwrap_or(response.dose_max_g));
    let density = shown(density_of(request));
    let depth = response.tamped_depth_mm;
    let is_straight = request
        .bottom_diameter_mm
        .is_none_or(|bottom| bottom.total_cmp(&request.diameter_mm).is_eq());
    let (formula, text) = if is_straight {
        let area = shown(response.bed_area_mm2);
        (
            "L = 1000 m / (ρ A)",
            format!("1000 × {dose} / ({density} × {area})"),
        )
    } else {
        (
            "L: height at which V(L) = m / ρ",
            format!("V(L) = {dose} / {density}"),
        )
    };
    let mut steps = vec![WorkingStep::new(
        "tamped_depth_mm",
        (formula, "geometry"),
        text,
        (depth, "mm"),
    )];
    if let (Some(left), Some(whole)) = (response.headspace_left_mm, request.depth_mm) {
        let text = format!("{} − {}", shown(whole), shown(depth));
        steps.push(WorkingStep::new(
            "headspace_left_mm",
            ("s = h − L", "geometry"),
            text,
            (left, "mm"),
        ));
    }
    steps
}
