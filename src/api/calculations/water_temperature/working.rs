//! The derivation of an answer, step by step, as a student would hand it in.

use super::{KETTLE_MARGIN, WaterTemperatureRequest, WaterTemperatureResponse};
use crate::api::place::working::{exponent, steps as air_steps};
use crate::api::place::{Place, WEATHER_SPREAD_HPA};
use crate::api::provenance::{WorkingStep, shown};
use crate::api::water_steps::{self, LATENT, LIQUID, UNITS, WATER, boiling, enthalpy, fahrenheit};
use crate::maths::MathsError;
use crate::maths::air::atmosphere::pressure_altitude;
use crate::maths::constants::{
    NOMINAL_EARTH_RADIUS, STANDARD_LAPSE_RATE, STANDARD_SEA_LEVEL_KELVIN,
    STANDARD_SEA_LEVEL_PASCALS,
};
use crate::maths::quantity::{GaugePressure, Temperature};
use crate::maths::water::saturation::{
    boiling_slope_k_per_hpa, latent_heat, liquid_enthalpy, saturation_pressure,
};

const AIR: &str = "iso2533";
const PRACTICE: &str = "practice";

/// All steps, in the order in which one needs the other.
///
/// # Errors
/// None for an answer that exists: the same quantities were computed for it.
pub(super) fn steps(
    request: &WaterTemperatureRequest,
    place: &Place,
    response: &WaterTemperatureResponse,
) -> Result<Vec<WorkingStep>, MathsError> {
    let mut steps = Vec::new();
    air_steps(&mut steps, place)?;
    steps.push(boiling(
        "boiling_point_c",
        place.pressure,
        response.boiling_point_c,
    ));
    let c = response.boiling_point_c;
    steps.push(fahrenheit("boiling_point_f", c, response.boiling_point_f));
    if let Some(bar) = request.brew_pressure_bar {
        under_pressure(&mut steps, GaugePressure::from_bar(bar)?, place, response)?;
    }
    target(&mut steps, request, response);
    flash(&mut steps, response)?;
    kettle(&mut steps, response);
    altitude(&mut steps, response)?;
    if let Some(uncertainty) = response.boiling_point_uncertainty_c {
        let slope = boiling_slope_k_per_hpa(place.pressure)?;
        steps.push(WorkingStep::new(
            "boiling_point_slope_k_per_hpa",
            ("dT/dp, from IAPWS-IF97, equation 29, differentiated", WATER),
            format!("dT/dp at p = {} hPa", shown(place.pressure.hectopascals())),
            (slope, "K/hPa"),
        ));
        steps.push(WorkingStep::new(
            "boiling_point_uncertainty_c",
            (
                "u(t_b) = (dT/dp) u(p), u(p) assumed a standard deviation",
                PRACTICE,
            ),
            format!("{} × {}", shown(slope), shown(WEATHER_SPREAD_HPA)),
            (uncertainty, "°C"),
        ));
    }
    Ok(steps)
}

fn under_pressure(
    steps: &mut Vec<WorkingStep>,
    gauge: GaugePressure,
    place: &Place,
    response: &WaterTemperatureResponse,
) -> Result<(), MathsError> {
    let absolute = gauge.above(place.pressure)?;
    steps.push(WorkingStep::new(
        "absolute_pressure_hpa",
        ("p_abs = p + 1000 p_gauge", UNITS),
        format!(
            "{} + 1000 × {}",
            shown(place.pressure.hectopascals()),
            shown(gauge.bar())
        ),
        (absolute.hectopascals(), "hPa"),
    ));
    let both = response
        .boiling_point_under_pressure_c
        .zip(response.boiling_point_under_pressure_f);
    if let Some((c, f)) = both {
        steps.push(boiling("boiling_point_under_pressure_c", absolute, c));
        steps.push(fahrenheit("boiling_point_under_pressure_f", c, f));
    }
    Ok(())
}

/// The target on both scales, and its margin to boiling.
fn target(
    steps: &mut Vec<WorkingStep>,
    request: &WaterTemperatureRequest,
    response: &WaterTemperatureResponse,
) {
    let (c, f) = (response.target_temperature_c, response.target_temperature_f);
    steps.push(if request.target_temperature_f.is_some() {
        water_steps::celsius("target_temperature_c", f, c)
    } else {
        fahrenheit("target_temperature_f", c, f)
    });
    steps.push(WorkingStep::new(
        "margin_c",
        ("t_b − t", WATER),
        format!("{} − {}", shown(response.boiling_point_c), shown(c)),
        (response.margin_c, "°C"),
    ));
}

/// The enthalpies and the share that flashes to steam.
fn flash(
    steps: &mut Vec<WorkingStep>,
    response: &WaterTemperatureResponse,
) -> Result<(), MathsError> {
    let formula = "100 (h_f(t) − h_f(t_b)) / h_fg(t_b), and 0 where t is not above t_b";
    let result = (response.flash_percent, "%");
    let (t, b) = (response.target_temperature_c, response.boiling_point_c);
    if response.target_reachable_open {
        let substituted = format!("0, since {} is not above {}", shown(t), shown(b));
        steps.push(WorkingStep::new(
            "flash_percent",
            (formula, WATER),
            substituted,
            result,
        ));
        return Ok(());
    }
    let (target, boiling) = (Temperature::from_celsius(t)?, Temperature::from_celsius(b)?);
    let hot = liquid_enthalpy(target)?.kilojoules_per_kilogram();
    let settled = liquid_enthalpy(boiling)?.kilojoules_per_kilogram();
    let latent = latent_heat(boiling)?.kilojoules_per_kilogram();
    steps.extend([
        enthalpy("target_enthalpy_kj_per_kg", LIQUID, t, hot),
        enthalpy("boiling_enthalpy_kj_per_kg", LIQUID, b, settled),
        enthalpy("latent_heat_kj_per_kg", LATENT, b, latent),
        WorkingStep::new(
            "flash_percent",
            (formula, WATER),
            format!(
                "100 × ({} − {}) / {}",
                shown(hot),
                shown(settled),
                shown(latent)
            ),
            result,
        ),
    ]);
    Ok(())
}

fn kettle(steps: &mut Vec<WorkingStep>, response: &WaterTemperatureResponse) {
    let (c, f) = (
        response.recommended_open_kettle_temperature_c,
        response.recommended_open_kettle_temperature_f,
    );
    steps.push(WorkingStep::new(
        "recommended_open_kettle_temperature_c",
        ("min(t, t_b − 0.5)", PRACTICE),
        format!(
            "min({}, {} − {KETTLE_MARGIN})",
            shown(response.target_temperature_c),
            shown(response.boiling_point_c)
        ),
        (c, "°C"),
    ));
    steps.push(fahrenheit("recommended_open_kettle_temperature_f", c, f));
}

/// Where the target boils: saturation pressure, geopotential and geometric altitude.
fn altitude(
    steps: &mut Vec<WorkingStep>,
    response: &WaterTemperatureResponse,
) -> Result<(), MathsError> {
    let Some(metres) = response.altitude_where_target_boils_m else {
        return Ok(());
    };
    let target = Temperature::from_celsius(response.target_temperature_c)?;
    let saturation = saturation_pressure(target)?;
    let pressure = shown(saturation.hectopascals());
    steps.push(water_steps::saturation(
        "target_saturation_pressure_hpa",
        target.celsius(),
        saturation.hectopascals(),
    ));
    let geopotential = pressure_altitude(saturation)?.metres();
    steps.push(WorkingStep::new(
        "geopotential_altitude_where_target_boils_m",
        ("H = (T0 / L) (1 − (p_s / p0)^(R L / g0))", AIR),
        format!(
            "({STANDARD_SEA_LEVEL_KELVIN} / {STANDARD_LAPSE_RATE}) × (1 − ({pressure} / {})^{})",
            shown(STANDARD_SEA_LEVEL_PASCALS / 100.0),
            shown(1.0 / exponent()),
        ),
        (geopotential, "m"),
    ));
    let (radius, h) = (shown(NOMINAL_EARTH_RADIUS), shown(geopotential));
    steps.push(WorkingStep::new(
        "altitude_where_target_boils_m",
        ("Z = r H / (r − H)", AIR),
        format!("{radius} × {h} / ({radius} − {h})"),
        (metres, "m"),
    ));
    Ok(())
}
