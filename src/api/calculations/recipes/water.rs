//! The brew water of a recipe: its temperature at the place, and its pressure over time.

use super::order::Order;
use super::request::{RecipesRequest, Roast};
use super::response::{NotMetCode, PressureStages};
use crate::api::calculations::water_temperature::{
    WaterTemperature, WaterTemperatureRequest, WaterTemperatureResponse,
};
use crate::api::caution::CautionCode;
use crate::api::compose::at_outer_fields;
use crate::api::place::AltitudeKind;
use crate::api::problem::Problem;

/// Pressure of the pre-infusion, bar; common practice, no source. `[practice]`
const PREINFUSION_BAR: f64 = 3.0;
/// Length of the pre-infusion, s; common practice, no source. `[practice]`
const PREINFUSION_S: f64 = 7.0;
/// Pressure of the shot, bar; common practice, no source. `[practice]`
const SHOT_BAR: f64 = 9.0;
/// Time from one pressure to the next, s; assumed.
const RAMP_S: f64 = 1.0;

/// Names of the fields of `water-temperature` here.
const FIELDS: &[(&str, &str)] = &[
    ("target_temperature_c", "brew_temperature_c"),
    ("target_temperature_f", "brew_temperature_f"),
];

/// Water for the brew.
#[derive(Debug)]
pub(super) struct Water {
    pub(super) brew_c: f64,
    pub(super) brew_f: f64,
    pub(super) boiling_c: f64,
    pub(super) boiling_f: f64,
    pub(super) profile: Option<PressureStages>,
}

/// The place of a request, sea level where it names none.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) altitude_m: Option<f64>,
    pub(super) altitude_ft: Option<f64>,
    pub(super) altitude_kind: Option<AltitudeKind>,
    pub(super) station_pressure_hpa: Option<f64>,
}

impl Place {
    pub(super) fn of(request: &RecipesRequest) -> Self {
        let is_named = Self::is_named(request);
        Self {
            altitude_m: if is_named {
                request.altitude_m
            } else {
                Some(0.0)
            },
            altitude_ft: request.altitude_ft,
            altitude_kind: request.altitude_kind,
            station_pressure_hpa: request.station_pressure_hpa,
        }
    }

    fn is_named(request: &RecipesRequest) -> bool {
        let altitude = request.altitude_m.or(request.altitude_ft);
        altitude.or(request.station_pressure_hpa).is_some()
    }
}

/// The water of an order.
pub(super) fn of(order: &mut Order<'_>) -> Result<Water, Problem> {
    if !Place::is_named(order.request) {
        order.add_caution(CautionCode::SeaLevelAssumed.into());
    }
    let profile = order.is_espresso().then(|| profile(order.request));
    // water has to stay water in the stage of the least pressure
    let least_bar = profile.as_ref().and_then(|profile| {
        let least = |a: f64, b: f64| if b < a { b } else { a };
        profile.pressure_bar.iter().copied().reduce(least)
    });
    let wanted = request(order, least_bar);
    let at_outer = |problem| at_outer_fields(problem, FIELDS);
    let seen = order.peek::<WaterTemperature>(&wanted).map_err(at_outer)?;
    // what is answered is about the water that is brewed with, and so are its cautions
    let request = match reachable(order, &seen.result) {
        None => wanted,
        Some(highest_c) => WaterTemperatureRequest {
            target_temperature_c: Some(highest_c),
            target_temperature_f: None,
            ..wanted
        },
    };
    let answer = order.ask::<WaterTemperature>(&request).map_err(at_outer)?;
    Ok(Water {
        brew_c: answer.target_temperature_c,
        brew_f: answer.target_temperature_f,
        boiling_c: answer.boiling_point_c,
        boiling_f: answer.boiling_point_f,
        profile,
    })
}

fn request(order: &Order<'_>, least_bar: Option<f64>) -> WaterTemperatureRequest {
    let place = Place::of(order.request);
    let fahrenheit = order.request.brew_temperature_f;
    let celsius = order.request.brew_temperature_c;
    WaterTemperatureRequest {
        altitude_m: place.altitude_m,
        altitude_ft: place.altitude_ft,
        altitude_kind: place.altitude_kind,
        station_pressure_hpa: place.station_pressure_hpa,
        target_temperature_c: celsius.or_else(|| usual_c(order.request, fahrenheit)),
        target_temperature_f: fahrenheit,
        brew_pressure_bar: least_bar,
        workings: order.shows(),
        ..WaterTemperatureRequest::default()
    }
}

/// What the roast asks for, unless a temperature was given. Common practice, no source.
fn usual_c(request: &RecipesRequest, given_f: Option<f64>) -> Option<f64> {
    let by_roast = match request.roast {
        Some(Roast::Light) => 95.0,
        Some(Roast::Medium) | None => 93.0,
        Some(Roast::Dark) => 90.0,
    };
    given_f.is_none().then_some(by_roast)
}

/// The nearest temperature that the water has, when it does not reach the one wanted: under
/// pressure in a machine, open in a kettle.
fn reachable(order: &mut Order<'_>, answer: &WaterTemperatureResponse) -> Option<f64> {
    let (target_c, open_c) = (
        answer.target_temperature_c,
        answer.recommended_open_kettle_temperature_c,
    );
    let (highest_c, held) = match answer.boiling_point_under_pressure_c {
        Some(boiling_c) => (boiling_c, "at boiling under the least pressure"),
        None => (open_c, "in an open kettle, just below boiling"),
    };
    if target_c <= highest_c {
        return None;
    }
    let detail = format!(
        "{target_c:.1} °C are out of reach: water boils at {:.1} °C here, and {highest_c:.1} °C \
         {held} are taken instead",
        answer.boiling_point_c,
    );
    order.miss(NotMetCode::TemperatureNotReachable, detail);
    Some(highest_c)
}

/// The stages of the pressure.
fn profile(request: &RecipesRequest) -> PressureStages {
    let shot = request.brew_pressure_bar.unwrap_or(SHOT_BAR);
    let length = request.preinfusion_time_s.unwrap_or(PREINFUSION_S);
    if length <= 0.0 {
        return PressureStages {
            time_s: vec![0.0],
            pressure_bar: vec![shot],
        };
    }
    let first = request.preinfusion_pressure_bar.unwrap_or(PREINFUSION_BAR);
    PressureStages {
        time_s: vec![0.0, length, length + RAMP_S],
        pressure_bar: vec![first, first, shot],
    }
}
