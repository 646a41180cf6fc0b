//! `slurry-temperature`: one temperature of water, grounds and vessel, and the heat behind it.

mod balance;
mod request;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use self::balance::Balance;
pub use self::request::SlurryTemperatureRequest;
use self::request::{BOUNDS, RULES};
use crate::api::both_scales::BothScales;
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode, SCALDS_FROM_C};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::constants::STANDARD_SEA_LEVEL_PASCALS;
use crate::maths::quantity::{Pressure, Temperature};
use crate::maths::water::flash::flash_fraction;
use crate::maths::water::saturation::boiling_temperature;

/// The slurry, and the heat behind it.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SlurryTemperatureResponse {
    /// Temperature of water, grounds and vessel once they have become one.
    pub slurry_temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub slurry_temperature_f: f64,
    /// Temperature of the water as it is poured.
    pub water_temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub water_temperature_f: f64,
    /// Heat that the water gives; below zero when it takes some.
    pub heat_from_water_kj: f64,
    /// Heat that the grounds take.
    pub heat_to_coffee_kj: f64,
    /// Heat that the vessel takes; left out without a vessel.
    pub heat_to_vessel_kj: Option<f64>,
    /// Heat that brings the water, and the kettle if its mass is given, from
    /// `start_temperature_c` to the temperature it is poured at; without losses.
    pub heat_up_energy_kj: Option<f64>,
    /// Time that the heater needs for it.
    pub heat_up_time_s: Option<f64>,
    /// Temperature of the slurry after `wait_s`.
    pub cooled_temperature_c: Option<f64>,
    /// The same in degrees Fahrenheit.
    pub cooled_temperature_f: Option<f64>,
}

/// The `slurry-temperature` calculation.
#[derive(Debug)]
pub struct SlurryTemperature;

impl Calculation for SlurryTemperature {
    const NAME: &'static str = "slurry-temperature";
    const SUMMARY: &'static str =
        "Temperature of water and grounds together, or of the water for one wanted";
    const DESCRIPTION: &'static str = "Mixes water, grounds and, when it is given, a vessel, without loss: \
        T = Σ m c T / Σ m c. Give the water's temperature, or the slurry's to get the water's. Water is taken to have \
        4.2 kJ/(kg K) and coffee 1.6; a vessel has no default, since it matters most. Left out: the heat of wetting and \
        what the air takes. With a start temperature the answer has the heat of heating up, with a heater its time; with a \
        wait and a time constant of your own it has the slurry's temperature after standing.";
    const TAG: Tag = Tag::Water;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[CautionCode::HotWater, CautionCode::Superheated];
    const BOUNDS: &'static [Bound] = BOUNDS;
    const RULES: &'static [Rule] = RULES;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("slurry_temperature_c", 1),
        Headline::new("slurry_temperature_f", 1),
        Headline::new("water_temperature_c", 1),
        Headline::new("water_temperature_f", 1),
        Headline::new("heat_up_energy_kj", 0),
        Headline::new("heat_up_time_s", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "slurry-temperature",
            "harbour-pour-over",
            "Water into grounds and a warm glass brewer"
        ),
        example!(
            "slurry-temperature",
            "station-wanted-slurry",
            "How hot the water must be for a slurry, and how long the kettle takes"
        ),
        example!(
            "slurry-temperature",
            "lab-cooling",
            "Heating up, mixing and standing, with workings"
        ),
    ];

    type Request = SlurryTemperatureRequest;
    type Response = SlurryTemperatureResponse;

    fn answer(
        request: &SlurryTemperatureRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<SlurryTemperatureResponse>, Problem> {
        let balance = Balance::of(request)?;
        let response = response(&balance)?;
        let workings = (request.workings == Some(true))
            .then(|| working::steps(&balance, &response))
            .transpose()?;
        let cautions = cautions(&response)?;
        let sources = sources(&balance, &response);
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

fn response(balance: &Balance) -> Result<SlurryTemperatureResponse, Problem> {
    let slurry = balance.slurry.temperature;
    let heat_to = |body: &crate::maths::heat::mixing::Body| {
        body.heat_to(slurry).map(|heat| heat.kilojoules())
    };
    let cooled = balance
        .standing
        .map(|standing| BothScales::from(standing.after));
    Ok(SlurryTemperatureResponse {
        slurry_temperature_c: balance.slurry.celsius(),
        slurry_temperature_f: balance.slurry.fahrenheit,
        water_temperature_c: balance.poured.celsius(),
        water_temperature_f: balance.poured.fahrenheit,
        heat_from_water_kj: -heat_to(&balance.water)?,
        heat_to_coffee_kj: heat_to(&balance.coffee)?,
        heat_to_vessel_kj: balance.vessel.as_ref().map(heat_to).transpose()?,
        heat_up_energy_kj: balance.heat_up.as_ref().map(|up| up.heat.kilojoules()),
        heat_up_time_s: balance
            .heat_up
            .as_ref()
            .and_then(|up| up.time)
            .map(|time| time.seconds()),
        cooled_temperature_c: cooled.map(BothScales::celsius),
        cooled_temperature_f: cooled.map(|cooled| cooled.fahrenheit),
    })
}

fn cautions(response: &SlurryTemperatureResponse) -> Result<Vec<Caution>, Problem> {
    let water = response.water_temperature_c;
    let hottest = water.max(response.slurry_temperature_c);
    let air = Pressure::from_pascals(STANDARD_SEA_LEVEL_PASCALS)?;
    let boiling = boiling_temperature(air)?.celsius();
    let flash = flash_fraction(Temperature::from_celsius(water)?, air)?;
    let raised = [
        (hottest >= SCALDS_FROM_C).then(|| {
            Caution::from(CautionCode::HotWater)
                .with("water_temperature_c", water)
                .with("slurry_temperature_c", response.slurry_temperature_c)
                .with("scalds_from_c", SCALDS_FROM_C)
        }),
        // nothing is known of the place: the boiling point is that of standard air
        (water > boiling).then(|| {
            Caution::from(CautionCode::Superheated)
                .with("water_temperature_c", water)
                .with("boiling_point_c", boiling)
                .with("flash_percent", flash.percent())
        }),
    ];
    Ok(raised.into_iter().flatten().collect())
}

/// Ids of everything that the answer rests on.
fn sources(balance: &Balance, response: &SlurryTemperatureResponse) -> Vec<&'static str> {
    let has_hot = response.water_temperature_c >= SCALDS_FROM_C;
    let used = [
        Some("heat-balance"),
        Some("slurry-heat"),
        balance.heat_up.as_ref().map(|_| "iapws2012"),
        balance.standing.map(|_| "newton-cooling"),
        Some("units"),
        has_hot.then_some("scald-times"),
    ];
    used.into_iter().flatten().collect()
}
