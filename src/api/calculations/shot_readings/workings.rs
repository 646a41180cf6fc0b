//! How the numbers of a recorded shot follow from its smoothed readings.

use super::bed::{Bed, Seen};
use super::request::ShotReadingsRequest;
use super::response::ShotReadingsResponse;
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::shot::Analysis;

/// The steps, in the order in which a student would take them.
pub(super) fn steps(
    request: &ShotReadingsRequest,
    analysis: &Analysis,
    (response, bed): (&ShotReadingsResponse, &Bed),
) -> Vec<WorkingStep> {
    let mut steps = Vec::new();
    steps.extend(times(request, response));
    steps.extend(masses(request, analysis, response));
    if let Some(seen) = &bed.seen {
        steps.extend(darcy(seen, bed));
    }
    if let Some((evenness, percent)) = response.evenness.zip(response.flow_variation_percent) {
        steps.push(WorkingStep::new(
            "evenness",
            ("E = max(0, 1 - v / 100)", "bierman1977"),
            format!("max(0, 1 - {} / 100)", shown(percent)),
            (evenness, "1"),
        ));
    }
    steps
}

fn times(request: &ShotReadingsRequest, response: &ShotReadingsResponse) -> Vec<WorkingStep> {
    let lag = request.lag();
    let mut steps = Vec::new();
    if let Some(drop_s) = response.first_drop_s {
        steps.push(WorkingStep::new(
            "first_drop_s",
            ("t1 = t_bend - t_delay", "bierman1977"),
            format!(
                "{} - {}",
                shown(drop_s + lag.transport_s),
                shown(lag.transport_s)
            ),
            (drop_s, "s"),
        ));
    }
    if let Some((shot_s, stop_s)) = response.shot_time_s.zip(request.stopped_at_s) {
        let on_s = request.pump_on_s();
        steps.push(WorkingStep::new(
            "shot_time_s",
            ("t = t_off - t_on", "practice"),
            format!("{} - {}", shown(stop_s), shown(on_s)),
            (shot_s, "s"),
        ));
    }
    steps
}

/// A step that rests on nothing but masses and times.
fn of_masses(
    step: &'static str,
    formula: &'static str,
    substituted: String,
    value: (f64, &'static str),
) -> WorkingStep {
    WorkingStep::new(step, (formula, "massbalance"), substituted, value)
}

fn masses(
    request: &ShotReadingsRequest,
    analysis: &Analysis,
    response: &ShotReadingsResponse,
) -> Vec<WorkingStep> {
    let beverage = shown(response.beverage_mass_g);
    let mut steps = Vec::new();
    if let Some((ratio, dose_g)) = response.brew_ratio.zip(request.dose_g) {
        let substituted = format!("{beverage} / {}", shown(dose_g));
        steps.push(of_masses(
            "brew_ratio",
            "r = B / D",
            substituted,
            (ratio, "1"),
        ));
    }
    if let Some((over_g, target_g)) = response.over_target_g.zip(request.target_beverage_mass_g) {
        let substituted = format!("{beverage} - {}", shown(target_g));
        let formula = "o = B - B_target";
        steps.push(of_masses(
            "over_target_g",
            formula,
            substituted,
            (over_g, "g"),
        ));
    }
    if let Some(((stop_s, _), (at_stop_g, _))) = analysis.stop.zip(analysis.at_stop) {
        let at_stop = shown(at_stop_g);
        steps.extend(response.after_stop_g.map(|after_g| {
            let substituted = format!("{beverage} - {at_stop}");
            of_masses(
                "after_stop_g",
                "a = B - m(t_off)",
                substituted,
                (after_g, "g"),
            )
        }));
        let mean = response.mean_flow_g_per_s.zip(response.first_drop_s);
        steps.extend(mean.map(|(mean, drop_s)| {
            let substituted = format!("{at_stop} / ({} - {})", shown(stop_s), shown(drop_s));
            let formula = "q = m(t_off) / (t_off - t1)";
            of_masses("mean_flow_g_per_s", formula, substituted, (mean, "g/s"))
        }));
    }
    steps
}

fn darcy(seen: &Seen, bed: &Bed) -> Vec<WorkingStep> {
    let density = seen.density.kilograms_per_cubic_metre();
    let (celsius, flow) = (seen.temperature.celsius(), seen.running.flow_g_per_s);
    let mut steps = vec![
        WorkingStep::new(
            "viscosity",
            ("mu = mu(T, rho)", "iapws2008"),
            format!("mu({} °C, {} kg/m³)", shown(celsius), shown(density)),
            (seen.viscosity.pascal_seconds(), "Pa s"),
        ),
        WorkingStep::new(
            "flow_by_volume",
            ("Q = q / rho", "iapws2012"),
            format!("{} / {} x 1000", shown(flow), shown(density)),
            (seen.flow_ml_per_s, "mL/s"),
        ),
    ];
    if let Some(resistance) = bed.resistance_bar_s_per_ml {
        let (pressure, flow) = (seen.pressure_bar, seen.flow_ml_per_s);
        steps.push(WorkingStep::new(
            "puck_resistance_bar_s_per_ml",
            ("R = p / Q", "darcy1856"),
            format!("{} / {}", shown(pressure), shown(flow)),
            (resistance, "bar s/mL"),
        ));
        steps.extend(permeability(seen, bed, resistance));
    }
    steps
}

fn permeability(seen: &Seen, bed: &Bed, resistance: f64) -> Option<WorkingStep> {
    let (depth_m, diameter) = seen.depth_m.zip(seen.diameter)?;
    let viscosity = shown(seen.viscosity.pascal_seconds());
    Some(WorkingStep::new(
        "permeability_m2",
        ("k = mu L / (pi d^2 / 4 x R)", "darcy1856"),
        format!(
            "{viscosity} x {} / (pi x {}^2 / 4 x {}e11)",
            shown(depth_m),
            shown(diameter.millimetres() * 1e-3),
            shown(resistance)
        ),
        (bed.permeability_m2?, "m²"),
    ))
}
