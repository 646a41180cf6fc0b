//! The derivation of an answer, step by step, as a student would hand it in.

use super::SteamBoilerResponse;
use super::refill::Refilled;
use crate::api::boiler::Boiler;
use crate::api::place::{Place, working as air};
use crate::api::provenance::{WorkingStep, shown};
use crate::api::water_steps::{
    LATENT, LIQUID, UNITS, VAPOUR, WATER, boiling, enthalpy, fahrenheit, saturation,
};
use crate::maths::MathsError;
use crate::maths::constants::STANDARD_SEA_LEVEL_PASCALS;
use crate::maths::quantity::Temperature;
use crate::maths::water::liquid::liquid_enthalpy as enthalpy_under;
use crate::maths::water::saturation::{latent_heat, liquid_enthalpy};

const BALANCE: &str = "heat-balance";

/// All steps, in the order in which one needs the other.
///
/// # Errors
/// None for an answer that exists: the same quantities were computed for it.
pub(super) fn steps(
    place: &Place,
    boiler: &Boiler,
    refilled: Option<&Refilled>,
    response: &SteamBoilerResponse,
) -> Result<Vec<WorkingStep>, MathsError> {
    let mut steps = Vec::new();
    air::steps(&mut steps, place)?;
    boiler.steps(&mut steps, place.pressure);
    pressures(&mut steps, boiler, response);
    steam(&mut steps, response);
    let b = response.boiling_point_c;
    steps.push(boiling("boiling_point_c", place.pressure, b));
    steps.push(fahrenheit("boiling_point_f", b, response.boiling_point_f));
    flash(&mut steps, response)?;
    if let Some(refilled) = refilled {
        refill(&mut steps, boiler, refilled, response)?;
    }
    Ok(steps)
}

/// What the boiling water and the steam hold.
fn steam(steps: &mut Vec<WorkingStep>, response: &SteamBoilerResponse) {
    let c = response.temperature_c;
    steps.extend([
        enthalpy(
            "water_enthalpy_kj_per_kg",
            LIQUID,
            c,
            response.water_enthalpy_kj_per_kg,
        ),
        enthalpy(
            "steam_enthalpy_kj_per_kg",
            VAPOUR,
            c,
            response.steam_enthalpy_kj_per_kg,
        ),
        WorkingStep::new(
            "latent_heat_kj_per_kg",
            ("h_fg = h_g − h_f", WATER),
            format!(
                "{} − {}",
                shown(response.steam_enthalpy_kj_per_kg),
                shown(response.water_enthalpy_kj_per_kg)
            ),
            (response.latent_heat_kj_per_kg, "kJ/kg"),
        ),
        WorkingStep::new(
            "steam_volume_m3_per_kg",
            (
                "v_g(t) = v2(t, p_s(t)) (IAPWS-IF97, equations 15 and 30)",
                WATER,
            ),
            format!("v_g({} °C)", shown(c)),
            (response.steam_volume_m3_per_kg, "m³/kg"),
        ),
    ]);
}

/// The absolute pressure in bar, and the gauge at sea level.
fn pressures(steps: &mut Vec<WorkingStep>, boiler: &Boiler, response: &SteamBoilerResponse) {
    let hpa = shown(boiler.absolute.hectopascals());
    steps.push(WorkingStep::new(
        "pressure_bar_abs",
        ("1 bar = 1000 hPa", UNITS),
        format!("{hpa} / 1000"),
        (response.pressure_bar_abs, "bar"),
    ));
    if let Some(sea) = response.sea_level_pressure_bar {
        steps.push(WorkingStep::new(
            "sea_level_pressure_bar",
            ("(p_abs − p0) / 1000, p0 = 1013.25 hPa", UNITS),
            format!(
                "({hpa} − {}) / 1000",
                shown(STANDARD_SEA_LEVEL_PASCALS / 100.0)
            ),
            (sea, "bar"),
        ));
    }
}

fn flash(steps: &mut Vec<WorkingStep>, response: &SteamBoilerResponse) -> Result<(), MathsError> {
    let boiling = Temperature::from_celsius(response.boiling_point_c)?;
    let b = response.boiling_point_c;
    let settled = liquid_enthalpy(boiling)?.kilojoules_per_kilogram();
    let latent = latent_heat(boiling)?.kilojoules_per_kilogram();
    steps.push(enthalpy("boiling_enthalpy_kj_per_kg", LIQUID, b, settled));
    steps.push(enthalpy("boiling_latent_heat_kj_per_kg", LATENT, b, latent));
    steps.push(WorkingStep::new(
        "flash_percent",
        (
            "100 (h_f(t) − h_f(t_b)) / h_fg(t_b), and 0 where t is not above t_b",
            WATER,
        ),
        format!(
            "100 × ({} − {}) / {}",
            shown(response.water_enthalpy_kj_per_kg),
            shown(settled),
            shown(latent)
        ),
        (response.flash_percent, "%"),
    ));
    Ok(())
}

/// From the two waters to the gauge after they mixed.
fn refill(
    steps: &mut Vec<WorkingStep>,
    boiler: &Boiler,
    refilled: &Refilled,
    response: &SteamBoilerResponse,
) -> Result<(), MathsError> {
    let cold = refilled.feed_temperature;
    let coming = enthalpy_under(cold, boiler.absolute)?.kilojoules_per_kilogram();
    steps.push(WorkingStep::new(
        "feed_enthalpy_kj_per_kg",
        ("h1(t_c, p_abs) (IAPWS-IF97, equation 7)", WATER),
        format!(
            "h1({} °C, {} MPa)",
            shown(cold.celsius()),
            shown(boiler.absolute.megapascals())
        ),
        (coming, "kJ/kg"),
    ));
    let (water, feed) = (shown(refilled.water.grams()), shown(refilled.feed.grams()));
    let mixed = refilled.enthalpy.kilojoules_per_kilogram();
    steps.push(WorkingStep::new(
        "refilled_enthalpy_kj_per_kg",
        ("h = (m_b h_f(t) + m_c h_c) / (m_b + m_c)", BALANCE),
        format!(
            "({water} × {} + {feed} × {}) / ({water} + {feed})",
            shown(response.water_enthalpy_kj_per_kg),
            shown(coming)
        ),
        (mixed, "kJ/kg"),
    ));
    after_refill(steps, refilled, response);
    Ok(())
}

/// From the enthalpy of the mixed water to the gauge.
fn after_refill(steps: &mut Vec<WorkingStep>, refilled: &Refilled, response: &SteamBoilerResponse) {
    let c = refilled.temperature.celsius();
    let mixed = refilled.enthalpy.kilojoules_per_kilogram();
    steps.push(WorkingStep::new(
        "refilled_temperature_c",
        ("h_f(t) = h, solved for t", WATER),
        format!("h_f({} °C) = {}", shown(c), shown(mixed)),
        (c, "°C"),
    ));
    let f = refilled.temperature.fahrenheit();
    steps.push(fahrenheit("refilled_temperature_f", c, f));
    let hpa = refilled.absolute.hectopascals();
    steps.push(saturation("refilled_boiler_pressure_hpa", c, hpa));
    steps.push(WorkingStep::new(
        "refilled_pressure_bar",
        ("p_gauge = (p_abs − p) / 1000", UNITS),
        format!(
            "({} − {}) / 1000",
            shown(hpa),
            shown(response.air_pressure_hpa)
        ),
        (refilled.bar, "bar"),
    ));
}
