//! The derivation of an answer, step by step.

use super::keeping::{GasLeft, Storage};
use super::order::{Order, Reorder};
use super::shelf::Shelf;
use super::{BeanSupplyRequest, Found};
use crate::api::both_scales::BothScales;
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::supply::degassing::CO2_DIFFUSIVITY;
use crate::maths::supply::storage::ACTIVATION_ENERGY_KJ_PER_MOL;

const PRACTICE: &str = "freshness-practice";
const STOCK: &str = "reorder-point";
const RATE: &str = "arrhenius";

/// All steps, in the order in which one follows from the others.
pub(super) fn of(request: &BeanSupplyRequest, found: &Found) -> Vec<WorkingStep> {
    let mut steps = age(request, &found.shelf);
    if let Some(order) = &found.order {
        steps.extend(stock(request, &found.shelf, order));
        if let Some(reorder) = &order.reorder {
            steps.extend(when(&found.shelf, order, reorder));
        }
    }
    if let Some(storage) = &found.storage {
        steps.extend(kept(&found.shelf, storage));
    }
    if let Some(gas) = &found.gas {
        steps.extend(gassed(request, gas));
    }
    steps
}

fn step(
    name: &'static str,
    formula: (&'static str, &'static str),
    text: String,
    value: (f64, &'static str),
) -> WorkingStep {
    WorkingStep::new(name, formula, text, value)
}

fn age(request: &BeanSupplyRequest, shelf: &Shelf) -> Vec<WorkingStep> {
    let age = shown(shelf.age_days);
    let days = |name, formula, text, value| step(name, (formula, PRACTICE), text, (value, "d"));
    vec![
        days(
            "days_since_roast",
            "days from the roast to the brew",
            format!("{} − {}", request.brew_date, request.roast_date),
            shelf.days_since_roast,
        ),
        days(
            "age_days",
            "a = days since the roast − days frozen",
            format!(
                "{} − {}",
                shown(shelf.days_since_roast),
                shown(shelf.frozen_days)
            ),
            shelf.age_days,
        ),
        days(
            "days_to_start",
            "max(0, start − a)",
            format!("max(0, {} − {age})", shown(shelf.window.start_days())),
            shelf.window.days_to_start(shelf.age_days),
        ),
        days(
            "days_left",
            "n = end − a",
            format!("{} − {age}", shown(shelf.window.end_days())),
            shelf.window.days_left(shelf.age_days),
        ),
    ]
}

fn stock(request: &BeanSupplyRequest, shelf: &Shelf, order: &Order) -> Vec<WorkingStep> {
    let daily = shown(order.daily_use_g);
    let grams = |name, formula, text, value| step(name, (formula, STOCK), text, (value, "g"));
    let (start, end) = (shelf.window.start_days(), shelf.window.end_days());
    let mut steps = vec![
        grams(
            "daily_use_g",
            "d = c / (1 − w / 100)",
            format!(
                "{} / (1 − {} / 100)",
                shown(order.in_drinks_g),
                shown(order.waste_percent)
            ),
            order.daily_use_g,
        ),
        grams(
            "order_mass_g",
            "m = d × days from one order to the next",
            format!("{daily} × {}", shown(order.period_days)),
            order.order_mass_g,
        ),
        grams(
            "largest_fresh_order_g",
            "d × (end − start)",
            format!("{daily} × ({} − {})", shown(end), shown(start)),
            order.largest_fresh_order_g,
        ),
    ];
    steps.extend(lasting(request, shelf, order));
    steps
}

/// How long the coffee on hand lasts.
fn lasting(request: &BeanSupplyRequest, shelf: &Shelf, order: &Order) -> Vec<WorkingStep> {
    let daily = shown(order.daily_use_g);
    let grams = |name, formula, text, value| step(name, (formula, STOCK), text, (value, "g"));
    let mut steps = Vec::new();
    if request.on_hand_g.is_none() {
        let text = shown(order.order_mass_g);
        steps.push(grams(
            "on_hand_g",
            "one order, when not given",
            text,
            order.on_hand_g,
        ));
    }
    let on_hand = shown(order.on_hand_g);
    steps.push(step(
        "days_covered",
        ("n = m / d", STOCK),
        format!("{on_hand} / {daily}"),
        (order.days_covered, "d"),
    ));
    steps.push(grams(
        "left_over_g",
        "max(0, m − d × max(0, days left))",
        format!(
            "max(0, {on_hand} − {daily} × max(0, {}))",
            shown(shelf.window.days_left(shelf.age_days))
        ),
        order.left_over_g,
    ));
    steps
}

fn when(shelf: &Shelf, order: &Order, reorder: &Reorder) -> [WorkingStep; 2] {
    let (daily, lead) = (shown(order.daily_use_g), shown(reorder.lead_time_days));
    [
        step(
            "reorder_point_g",
            ("p = d L + z s √L", STOCK),
            format!(
                "{daily} × {lead} + {} × {} × √{lead}",
                shown(reorder.safety_factor),
                shown(reorder.daily_spread_g)
            ),
            (reorder.point_g, "g"),
        ),
        step(
            "days_to_next_order",
            ("⌊max(0, min((m − p) / d, days left − L))⌋", STOCK),
            format!(
                "⌊max(0, min(({} − {}) / {daily}, {} − {lead}))⌋",
                shown(order.on_hand_g),
                shown(reorder.point_g),
                shown(shelf.window.days_left(shelf.age_days))
            ),
            (reorder.in_days, "d"),
        ),
    ]
}

fn kept(shelf: &Shelf, storage: &Storage) -> Vec<WorkingStep> {
    let kelvin = |scales: BothScales| shown(scales.temperature.kelvin());
    let (t, t0) = (kelvin(storage.storage), kelvin(storage.reference));
    let energy = shown(1e3 * ACTIVATION_ENERGY_KJ_PER_MOL);
    vec![
        storage
            .storage
            .step("storage_temperature_c", "storage_temperature_f"),
        storage
            .reference
            .step("reference_temperature_c", "reference_temperature_f"),
        step(
            "ageing_factor",
            ("f = exp((E / R) (1 / T₀ − 1 / T))", RATE),
            format!("exp(({energy} / 8.3144626) × (1 / {t0} − 1 / {t}))"),
            (storage.ageing_factor, "1"),
        ),
        step(
            "equivalent_age_days",
            ("f a", RATE),
            format!(
                "{} × {}",
                shown(storage.ageing_factor),
                shown(shelf.age_days)
            ),
            (storage.equivalent_age_days, "d"),
        ),
        step(
            "q10_at_reference",
            ("exp((E / R) (1 / T₀ − 1 / (T₀ + 10 K)))", RATE),
            format!("exp(({energy} / 8.3144626) × (1 / {t0} − 1 / ({t0} + 10)))"),
            (storage.q10, "1"),
        ),
    ]
}

fn gassed(request: &BeanSupplyRequest, gas: &GasLeft) -> [WorkingStep; 2] {
    let radius = shown(0.5e-6 * request.grind_diameter_um.unwrap_or_default());
    let seconds = shown(3600.0 * request.since_grinding_hours.unwrap_or_default());
    let of = |name, diffusivity: f64, value| {
        step(
            name,
            (
                "100 × (6 / π²) Σ exp(−n² π² τ) / n², τ = D t / r²",
                "crank1975",
            ),
            format!("τ = {} × {seconds} / {radius}²", shown(diffusivity)),
            (value, "%"),
        )
    };
    [
        of("gas_left_percent.low", CO2_DIFFUSIVITY.max, gas.low),
        of("gas_left_percent.high", CO2_DIFFUSIVITY.min, gas.high),
    ]
}
