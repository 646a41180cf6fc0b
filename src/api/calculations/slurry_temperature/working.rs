//! The derivation of an answer, step by step, as a student would hand it in.

use super::SlurryTemperatureResponse;
use super::balance::{Balance, HeatUp, Standing};
use crate::api::provenance::{WorkingStep, shown};
use crate::api::water_steps::{LIQUID, enthalpy, fahrenheit};
use crate::maths::MathsError;
use crate::maths::heat::mixing::Body;
use crate::maths::water::saturation::liquid_enthalpy;

const BALANCE: &str = "heat-balance";

type Steps = Vec<WorkingStep>;

/// All steps, in the order in which one needs the other.
///
/// # Errors
/// None for an answer that exists: the same quantities were computed for it.
pub(super) fn steps(
    balance: &Balance,
    response: &SlurryTemperatureResponse,
) -> Result<Steps, MathsError> {
    let mut steps = Vec::new();
    mixing(&mut steps, balance);
    heats(&mut steps, balance, response);
    if let Some(up) = &balance.heat_up {
        heat_up(&mut steps, balance, up)?;
    }
    if let Some(standing) = balance.standing {
        cooling(&mut steps, balance, standing);
        let after = standing.after;
        steps.push(fahrenheit(
            "cooled_temperature_f",
            after.celsius(),
            after.fahrenheit(),
        ));
    }
    Ok(steps)
}

fn heat_capacity(body: &Body) -> String {
    format!(
        "{} × {}",
        shown(body.mass.grams()),
        shown(body.capacity.kilojoules_per_kilogram_kelvin())
    )
}

/// What is mixed with the water.
fn others(balance: &Balance) -> impl Iterator<Item = &Body> {
    std::iter::once(&balance.coffee).chain(&balance.vessel)
}

/// Slurry from water, or water from slurry; each on both scales.
fn mixing(steps: &mut Steps, balance: &Balance) {
    let (poured, slurry) = (balance.poured, balance.slurry);
    let water = ("water_temperature_c", "water_temperature_f");
    let mixed = ("slurry_temperature_c", "slurry_temperature_f");
    if balance.is_inverse {
        steps.push(slurry.step(mixed.0, mixed.1));
        let t = shown(slurry.celsius());
        let taken: Vec<_> = others(balance)
            .map(|body| {
                let from = shown(body.temperature.celsius());
                format!("{} × ({t} − {from})", heat_capacity(body))
            })
            .collect();
        let formula = ("T_w = T + Σ m c (T − T_i) / (m_w c_w)", BALANCE);
        let own = heat_capacity(&balance.water);
        let substituted = format!("{t} + ({}) / ({own})", taken.join(" + "));
        let result = (poured.celsius(), "°C");
        steps.push(WorkingStep::new(water.0, formula, substituted, result));
        steps.push(fahrenheit(water.1, poured.celsius(), poured.fahrenheit));
        return;
    }
    steps.push(poured.step(water.0, water.1));
    let all = || std::iter::once(&balance.water).chain(others(balance));
    let weighted: Vec<_> = all()
        .map(|body| {
            format!(
                "{} × {}",
                heat_capacity(body),
                shown(body.temperature.celsius())
            )
        })
        .collect();
    let total: Vec<_> = all().map(heat_capacity).collect();
    let substituted = format!("({}) / ({})", weighted.join(" + "), total.join(" + "));
    let formula = ("T = Σ m c T_i / Σ m c", BALANCE);
    let result = (slurry.celsius(), "°C");
    steps.push(WorkingStep::new(mixed.0, formula, substituted, result));
    steps.push(fahrenheit(mixed.1, slurry.celsius(), slurry.fahrenheit));
}

/// What the water gives and the others take.
fn heats(steps: &mut Steps, balance: &Balance, response: &SlurryTemperatureResponse) {
    let t = shown(balance.slurry.celsius());
    let mut push = |name, body: &Body, is_giving: bool, value| {
        let (own, from) = (heat_capacity(body), shown(body.temperature.celsius()));
        let (formula, substituted) = if is_giving {
            (
                "m c (T_i − T) / 1000",
                format!("{own} × ({from} − {t}) / 1000"),
            )
        } else {
            (
                "m c (T − T_i) / 1000",
                format!("{own} × ({t} − {from}) / 1000"),
            )
        };
        steps.push(WorkingStep::new(
            name,
            (formula, BALANCE),
            substituted,
            (value, "kJ"),
        ));
    };
    push(
        "heat_from_water_kj",
        &balance.water,
        true,
        response.heat_from_water_kj,
    );
    push(
        "heat_to_coffee_kj",
        &balance.coffee,
        false,
        response.heat_to_coffee_kj,
    );
    if let Some((vessel, value)) = balance.vessel.as_ref().zip(response.heat_to_vessel_kj) {
        push("heat_to_vessel_kj", vessel, false, value);
    }
}

fn heat_up(steps: &mut Steps, balance: &Balance, up: &HeatUp) -> Result<(), MathsError> {
    let (from, to) = (up.start, balance.poured.temperature);
    let before = liquid_enthalpy(from)?.kilojoules_per_kilogram();
    let after = liquid_enthalpy(to)?.kilojoules_per_kilogram();
    let (cold, hot) = (from.celsius(), to.celsius());
    steps.push(enthalpy("start_enthalpy_kj_per_kg", LIQUID, cold, before));
    steps.push(enthalpy("water_enthalpy_kj_per_kg", LIQUID, hot, after));
    let water = format!(
        "{} × ({} − {})",
        shown(balance.water.mass.grams()),
        shown(after),
        shown(before)
    );
    let kettle = up.kettle.map_or_else(String::new, |(mass, capacity)| {
        format!(
            " + {} × {} × ({} − {})",
            shown(mass.grams()),
            shown(capacity.kilojoules_per_kilogram_kelvin()),
            shown(hot),
            shown(cold)
        )
    });
    steps.push(WorkingStep::new(
        "heat_up_energy_kj",
        (
            "Q = [m (h_f(t_2) − h_f(t_1)) + m_k c_k (t_2 − t_1)] / 1000",
            BALANCE,
        ),
        format!("({water}{kettle}) / 1000"),
        (up.heat.kilojoules(), "kJ"),
    ));
    heating(steps, up);
    Ok(())
}

/// How long the heater needs.
fn heating(steps: &mut Steps, up: &HeatUp) {
    if let Some((heater, time)) = up.heater.zip(up.time) {
        steps.push(WorkingStep::new(
            "heat_up_time_s",
            ("1000 Q / (η P)", BALANCE),
            format!(
                "1000 × {} / ({} × {})",
                shown(up.heat.kilojoules()),
                shown(heater.efficiency.fraction()),
                shown(heater.power.watts())
            ),
            (time.seconds(), "s"),
        ));
    }
}

fn cooling(steps: &mut Steps, balance: &Balance, standing: Standing) {
    let around = shown(standing.cooling.surroundings.celsius());
    steps.push(WorkingStep::new(
        "cooled_temperature_c",
        ("T_a + (T − T_a) exp(−t / τ)", "newton-cooling"),
        format!(
            "{around} + ({} − {around}) × exp(−{} / {})",
            shown(balance.slurry.celsius()),
            shown(standing.wait.seconds()),
            shown(standing.cooling.time_constant.seconds())
        ),
        (standing.after.celsius(), "°C"),
    ));
}
