//! The derivation of an answer, step by step, as a student would hand it in.

use super::MilkSteamingResponse;
use super::balance::{Balance, Volumes, jug_heat};
use crate::api::place::working as air;
use crate::api::provenance::{WorkingStep, shown};
use crate::api::water_steps::{LIQUID, VAPOUR, WATER, enthalpy};
use crate::maths::MathsError;
use crate::maths::heat::milk::part_rises;
use crate::maths::heat::milk_density::milk_density;
use crate::maths::quantity::Density;
use crate::maths::water::liquid::{liquid_density, liquid_enthalpy as enthalpy_under};
use crate::maths::water::saturation::{liquid_enthalpy, vapour_enthalpy};

const BALANCE: &str = "heat-balance";

type Steps = Vec<WorkingStep>;

/// All steps, in the order in which one needs the other.
///
/// # Errors
/// None for an answer that exists: the same quantities were computed for it.
pub(super) fn steps(
    balance: &Balance,
    response: &MilkSteamingResponse,
) -> Result<Steps, MathsError> {
    let mut steps = Vec::new();
    air::steps(&mut steps, &balance.place)?;
    balance.boiler.steps(&mut steps, balance.place.pressure);
    let milk = &balance.milk;
    let start = ("start_temperature_c", "start_temperature_f");
    let end = ("final_temperature_c", "final_temperature_f");
    steps.push(milk.start.step(start.0, start.1));
    steps.push(milk.end.step(end.0, end.1));
    rise(&mut steps, balance)?;
    heat(&mut steps, balance)?;
    steam(&mut steps, balance)?;
    drink(&mut steps, balance, response)?;
    recovery(&mut steps, balance)?;
    if let Some(volumes) = balance.volumes {
        volume(&mut steps, balance, volumes)?;
    }
    Ok(steps)
}

/// The rise of the milk's enthalpy, over its parts or with one heat capacity.
fn rise(steps: &mut Steps, balance: &Balance) -> Result<(), MathsError> {
    let milk = &balance.milk;
    let result = (milk.rise.kilojoules_per_kilogram(), "kJ/kg");
    let name = "milk_enthalpy_rise_kj_per_kg";
    let (start, end) = (milk.start.temperature, milk.end.temperature);
    let step = if let Some(composition) = &milk.composition {
        let rises = part_rises(start, end)?;
        let terms: Vec<_> = composition
            .parts()
            .into_iter()
            .zip(rises)
            .map(|(part, rise)| format!("{} × {}", shown(part), shown(rise)))
            .collect();
        let formula = "Δh = Σ x_i [a_i t + b_i t² / 2 + c_i t³ / 3] from t_1 to t_2, over water, protein, fat, \
            carbohydrate, ash";
        WorkingStep::new(name, (formula, "choi1986"), terms.join(" + "), result)
    } else {
        WorkingStep::new(
            name,
            ("Δh = c (t_2 − t_1)", BALANCE),
            format!(
                "{} × ({} − {})",
                shown(milk.capacity.kilojoules_per_kilogram_kelvin()),
                shown(end.celsius()),
                shown(start.celsius())
            ),
            result,
        )
    };
    steps.push(step);
    Ok(())
}

/// The heat of the jug, and all that the steam must give.
fn heat(steps: &mut Steps, balance: &Balance) -> Result<(), MathsError> {
    let milk = &balance.milk;
    let end = milk.end.temperature;
    let taken = jug_heat(balance.jug.as_ref(), end)?.kilojoules();
    if let Some(jug) = &balance.jug {
        steps.push(WorkingStep::new(
            "jug_heat_kj",
            ("Q_j = m_j c_j (t_2 − t_j)", BALANCE),
            format!(
                "{} / 1000 × {} × ({} − {})",
                shown(jug.mass.grams()),
                shown(jug.capacity.kilojoules_per_kilogram_kelvin()),
                shown(end.celsius()),
                shown(jug.temperature.celsius())
            ),
            (taken, "kJ"),
        ));
    }
    steps.push(WorkingStep::new(
        "heat_kj",
        ("Q = (1 + l) (m Δh + Q_j)", BALANCE),
        format!(
            "(1 + {}) × ({} / 1000 × {} + {})",
            shown(balance.loss.fraction()),
            shown(milk.mass.grams()),
            shown(milk.rise.kilojoules_per_kilogram()),
            shown(taken)
        ),
        (balance.heat.kilojoules(), "kJ"),
    ));
    Ok(())
}

/// The enthalpy of the steam from those of vapour and droplets.
fn steam(steps: &mut Steps, balance: &Balance) -> Result<(), MathsError> {
    let boiler = balance.steam.boiler;
    let c = boiler.celsius();
    let vapour = vapour_enthalpy(boiler)?.kilojoules_per_kilogram();
    let liquid = liquid_enthalpy(boiler)?.kilojoules_per_kilogram();
    let quality = shown(balance.steam.quality.fraction());
    steps.push(enthalpy("vapour_enthalpy_kj_per_kg", VAPOUR, c, vapour));
    steps.push(enthalpy("droplet_enthalpy_kj_per_kg", LIQUID, c, liquid));
    steps.push(WorkingStep::new(
        "steam_enthalpy_kj_per_kg",
        ("h_s = x h_g + (1 − x) h_f", BALANCE),
        format!(
            "{quality} × {} + (1 − {quality}) × {}",
            shown(vapour),
            shown(liquid)
        ),
        (balance.steam_enthalpy.kilojoules_per_kilogram(), "kJ/kg"),
    ));
    Ok(())
}

/// The condensate, and the drink with it.
fn drink(
    steps: &mut Steps,
    balance: &Balance,
    response: &MilkSteamingResponse,
) -> Result<(), MathsError> {
    let (end, air) = (balance.milk.end.temperature, balance.place.pressure);
    let water = enthalpy_under(end, air)?.kilojoules_per_kilogram();
    steps.push(under(
        "condensate_enthalpy_kj_per_kg",
        end.celsius(),
        air.megapascals(),
        water,
    ));
    steps.push(WorkingStep::new(
        "steam_condensed_g",
        ("m_s = 1000 Q / (h_s − h_w)", BALANCE),
        format!(
            "1000 × {} / ({} − {})",
            shown(response.heat_kj),
            shown(response.steam_enthalpy_kj_per_kg),
            shown(water)
        ),
        (response.steam_condensed_g, "g"),
    ));
    shares(steps, balance, response);
    Ok(())
}

/// The condensate beside the milk and in the drink.
fn shares(steps: &mut Steps, balance: &Balance, response: &MilkSteamingResponse) {
    let milk = shown(balance.milk.mass.grams());
    let condensate = shown(response.steam_condensed_g);
    let step = |name, formula, substituted, result| {
        WorkingStep::new(name, (formula, BALANCE), substituted, result)
    };
    steps.extend([
        step(
            "condensate_percent_of_milk",
            "100 m_s / m",
            format!("100 × {condensate} / {milk}"),
            (response.condensate_percent_of_milk, "%"),
        ),
        step(
            "final_mass_g",
            "m + m_s",
            format!("{milk} + {condensate}"),
            (response.final_mass_g, "g"),
        ),
        step(
            "condensate_percent_of_drink",
            "100 m_s / (m + m_s)",
            format!("100 × {condensate} / {}", shown(response.final_mass_g)),
            (response.condensate_percent_of_drink, "%"),
        ),
    ]);
}

/// The enthalpy of liquid water under a pressure.
fn under(name: &'static str, celsius: f64, megapascals: f64, value: f64) -> WorkingStep {
    WorkingStep::new(
        name,
        ("h_w = h1(t, p) (IAPWS-IF97, equation 7)", WATER),
        format!("h1({} °C, {} MPa)", shown(celsius), shown(megapascals)),
        (value, "kJ/kg"),
    )
}

/// What the heater makes up for, and how long it needs.
fn recovery(steps: &mut Steps, balance: &Balance) -> Result<(), MathsError> {
    let recovery = &balance.recovery;
    let boiler = balance.boiler.absolute;
    let coming = enthalpy_under(recovery.feed, boiler)?.kilojoules_per_kilogram();
    let cold = recovery.feed.celsius();
    steps.push(under(
        "feed_enthalpy_kj_per_kg",
        cold,
        boiler.megapascals(),
        coming,
    ));
    steps.push(WorkingStep::new(
        "boiler_energy_kj",
        ("m_s (h_s − h_w)", BALANCE),
        format!(
            "{} / 1000 × ({} − {})",
            shown(balance.condensate.grams()),
            shown(balance.steam_enthalpy.kilojoules_per_kilogram()),
            shown(coming)
        ),
        (recovery.heat.kilojoules(), "kJ"),
    ));
    if let Some((heater, time)) = recovery.heater.zip(recovery.time) {
        steps.push(WorkingStep::new(
            "boiler_energy_time_s",
            ("1000 Q / (η P)", BALANCE),
            format!(
                "1000 × {} / ({} × {})",
                shown(recovery.heat.kilojoules()),
                shown(heater.efficiency.fraction()),
                shown(heater.power.watts())
            ),
            (time.seconds(), "s"),
        ));
    }
    Ok(())
}

fn volume(steps: &mut Steps, balance: &Balance, volumes: Volumes) -> Result<(), MathsError> {
    let milk = &balance.milk;
    let Some(composition) = &milk.composition else {
        return Ok(());
    };
    let fat = composition.fat()?;
    let shown_density = |density: Density| shown(density.kilograms_per_cubic_metre() / 1000.0);
    let cold = shown_density(milk_density(fat, milk.start.temperature)?);
    let hot = shown_density(milk_density(fat, milk.end.temperature)?);
    let water = shown_density(liquid_density(
        milk.end.temperature,
        balance.place.pressure,
    )?);
    let (grams, steam) = (shown(milk.mass.grams()), shown(balance.condensate.grams()));
    steps.push(WorkingStep::new(
        "milk_volume_ml",
        ("V = m / ρ(t_1)", "milk-density"),
        format!("{grams} / {cold}"),
        (volumes.cold_ml, "mL"),
    ));
    steps.push(WorkingStep::new(
        "final_volume_ml",
        ("V = m / ρ(t_2) + m_s / ρ_w(t_2)", "milk-density"),
        format!("{grams} / {hot} + {steam} / {water}"),
        (volumes.hot_ml, "mL"),
    ));
    if let Some(foam) = volumes.foam_ml {
        let (hot, ratio) = (shown(volumes.hot_ml), shown(volumes.air_ratio));
        steps.push(WorkingStep::new(
            "foam_volume_ml",
            ("V (1 + air)", BALANCE),
            format!("{hot} × (1 + {ratio})"),
            (foam, "mL"),
        ));
    }
    Ok(())
}
