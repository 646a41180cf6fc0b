//! The boiler just after cold water came in.

use super::SteamBoilerRequest;
use crate::api::boiler::Boiler;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::heat::refill::{mixed_enthalpy, refilled_temperature};
use crate::maths::quantity::{Mass, Pressure, SpecificEnthalpy, Temperature};
use crate::maths::water::saturation::saturation_pressure;

/// A refill and what it left.
#[derive(Debug, Clone, Copy)]
pub(super) struct Refilled {
    pub(super) water: Mass,
    pub(super) feed: Mass,
    pub(super) feed_temperature: Temperature,
    pub(super) enthalpy: SpecificEnthalpy,
    pub(super) temperature: Temperature,
    pub(super) absolute: Pressure,
    /// Above the air; below zero under a vacuum, so no gauge pressure.
    pub(super) bar: f64,
}

/// The refill of a request, when it has one; the rules see to it that it is whole.
///
/// # Errors
/// A [`Problem`] when the water coming in is hotter than the boiler.
pub(super) fn of(
    request: &SteamBoilerRequest,
    boiler: &Boiler,
    air: Pressure,
) -> Result<Option<Refilled>, Problem> {
    let given = request
        .boiler_water_mass_g
        .zip(request.feed_mass_g)
        .zip(request.feed_temperature_c);
    let Some(((water, feed), cold)) = given else {
        return Ok(None);
    };
    let hot = boiler.temperature.temperature;
    let feed_temperature = Temperature::from_celsius(cold).at("feed_temperature_c")?;
    if feed_temperature > hot {
        let detail = format!("a refill of {cold} °C is hotter than the boiler");
        let fault = Fault::new("/feed_temperature_c", FaultCode::Inconsistent, detail);
        return Err(Problem::invalid(vec![fault]));
    }
    let water = Mass::from_grams(water).at("boiler_water_mass_g")?;
    let feed = Mass::from_grams(feed).at("feed_mass_g")?;
    let (before, coming) = ((water, hot), (feed, feed_temperature));
    let temperature = refilled_temperature(before, coming).at("feed_mass_g")?;
    let absolute = saturation_pressure(temperature).at("feed_mass_g")?;
    Ok(Some(Refilled {
        water,
        feed,
        feed_temperature,
        enthalpy: mixed_enthalpy(before, coming)?,
        temperature,
        absolute,
        bar: (absolute.hectopascals() - air.hectopascals()) / 1000.0,
    }))
}
