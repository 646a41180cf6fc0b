//! The milk of a recipe, steamed at the place.

use super::order::Order;
use super::response::NotMetCode;
use super::water::Place;
use crate::api::calculations::milk_steaming::{
    MilkSteaming, MilkSteamingRequest, MilkSteamingResponse,
};
use crate::api::compose::at_outer_fields;
use crate::api::milks::MilkId;
use crate::api::problem::{FaultCode, Problem};
use crate::api::provenance::{WorkingStep, shown};

/// Temperature of milk from the refrigerator, °C; common practice, no source.
const COLD_C: f64 = 4.0;
/// Temperature of steamed milk, °C; common practice, no source.
const WARM_C: f64 = 60.0;
/// Temperature of a steam boiler, °C; common practice, no source.
const BOILER_C: f64 = 130.0;

/// Names of the fields of `milk-steaming` here.
const FIELDS: &[(&str, &str)] = &[
    ("milk_mass_g", "milk_to_beverage_ratio"),
    ("start_temperature_c", "milk_start_temperature_c"),
    ("start_temperature_f", "milk_start_temperature_f"),
    ("final_temperature_c", "milk_final_temperature_c"),
    ("final_temperature_f", "milk_final_temperature_f"),
    ("temperature_c", "steam_temperature_c"),
    ("temperature_f", "steam_temperature_f"),
    ("pressure_bar", "steam_pressure_bar"),
];

/// Milk of one serving.
#[derive(Debug)]
pub(super) struct Milk {
    pub(super) mass_g: f64,
    /// None when it cannot be steamed as asked.
    pub(super) steamed: Option<MilkSteamingResponse>,
}

/// The milk of an order; none for a drink without milk.
pub(super) fn of(order: &mut Order<'_>, serving_g: f64) -> Result<Option<Milk>, Problem> {
    let ratio = order.milk_ratio();
    if ratio <= 0.0 {
        return Ok(None);
    }
    let mass_g = ratio * serving_g;
    order.step(|| {
        let substituted = format!("{} × {}", shown(ratio), shown(serving_g));
        let formula = ("milk to beverage × B", "recipe-practice");
        WorkingStep::new("milk_g", formula, substituted, (mass_g, "g"))
    });
    let request = request(order, mass_g);
    let steamed = match order.ask::<MilkSteaming>(&request) {
        Ok(answer) => Some(answer),
        Err(problem) => {
            missed(order, at_outer_fields(problem, FIELDS))?;
            None
        }
    };
    Ok(Some(Milk { mass_g, steamed }))
}

fn request(order: &Order<'_>, mass_g: f64) -> MilkSteamingRequest {
    let (asked, place) = (order.request, Place::of(order.request));
    let steam = asked.steam_temperature_c.or(asked.steam_temperature_f);
    let is_usual = steam.or(asked.steam_pressure_bar).is_none();
    let usual = |celsius: Option<f64>, fahrenheit: Option<f64>, usual_c| {
        celsius.or_else(|| fahrenheit.is_none().then_some(usual_c))
    };
    MilkSteamingRequest {
        milk_mass_g: mass_g,
        start_temperature_c: usual(
            asked.milk_start_temperature_c,
            asked.milk_start_temperature_f,
            COLD_C,
        ),
        start_temperature_f: asked.milk_start_temperature_f,
        final_temperature_c: usual(
            asked.milk_final_temperature_c,
            asked.milk_final_temperature_f,
            WARM_C,
        ),
        final_temperature_f: asked.milk_final_temperature_f,
        milk_id: Some(asked.milk_id.unwrap_or(MilkId::Whole)),
        temperature_c: asked
            .steam_temperature_c
            .or_else(|| is_usual.then_some(BOILER_C)),
        temperature_f: asked.steam_temperature_f,
        pressure_bar: asked.steam_pressure_bar,
        altitude_m: place.altitude_m,
        altitude_ft: place.altitude_ft,
        altitude_kind: place.altitude_kind,
        station_pressure_hpa: place.station_pressure_hpa,
        steam_quality: asked.steam_quality,
        loss_fraction: asked.loss_fraction,
        air_ratio: Some(asked.air_ratio.unwrap_or(order.drink.air)),
        workings: order.shows(),
        ..MilkSteamingRequest::default()
    }
}

/// Notes why the milk cannot be steamed.
///
/// # Errors
/// The problem itself when it is a slip of the pen and not a limit of the bar: milk that is to
/// get colder.
fn missed(order: &mut Order<'_>, problem: Problem) -> Result<(), Problem> {
    let is_at = |part: &str| problem.faults().iter().any(|f| f.pointer.contains(part));
    let is_limit = !problem.faults().is_empty()
        && problem
            .faults()
            .iter()
            .all(|fault| fault.code == FaultCode::Inconsistent || fault.pointer.contains("_ratio"));
    if !is_limit || is_at("milk_start") {
        return Err(problem);
    }
    let code = match (is_at("milk_final"), is_at("/steam_")) {
        (true, true) => NotMetCode::MilkHotterThanSteam,
        (true, false) => NotMetCode::MilkTemperatureNotReachable,
        (false, _) => NotMetCode::MilkNotSteamed,
    };
    let mut details: Vec<&str> = Vec::new();
    for fault in problem.faults() {
        if !details.contains(&fault.detail.as_str()) {
            details.push(&fault.detail);
        }
    }
    let detail = details.join("; ");
    order.miss(code, detail);
    Ok(())
}
