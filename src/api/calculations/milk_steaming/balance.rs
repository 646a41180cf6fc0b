//! The heat balance: from the request to every quantity of the answer.

use super::MilkSteamingRequest;
use super::agreement::{self, Temperatures};
use crate::api::boiler::{self, Boiler};
use crate::api::both_scales::BothScales;
use crate::api::from_maths::AtField;
use crate::api::place::{self, Place};
use crate::api::problem::Problem;
use crate::maths::MathsError;
use crate::maths::heat::heating::{Heater, heating_time};
use crate::maths::heat::milk::{Composition, Milk, USUAL_HEAT_CAPACITY, enthalpy_rise};
use crate::maths::heat::milk_density::milk_density;
use crate::maths::heat::mixing::Body;
use crate::maths::heat::steaming::{
    Steam, condensate, recovery_heat, steam_enthalpy, steaming_heat,
};
use crate::maths::quantity::{
    Duration, Heat, HeatCapacity, Mass, MassFraction, Power, Pressure, SpecificEnthalpy,
    Temperature,
};
use crate::maths::water::liquid::liquid_density;

/// Heat capacity of a stainless steel jug, kJ/(kg K); from memory.
const STEEL_CAPACITY: f64 = 0.5;
/// Temperature of a jug from the shelf, °C; assumed.
const SHELF_C: f64 = 20.0;
/// Temperature of water from the main, °C; assumed.
const MAIN_C: f64 = 15.0;

/// Every quantity of an answer.
#[derive(Debug)]
pub(super) struct Balance {
    pub(super) place: Place,
    pub(super) boiler: Boiler,
    pub(super) milk: Warmed,
    pub(super) jug: Option<Body>,
    pub(super) loss: MassFraction,
    pub(super) steam: Steam,
    pub(super) steam_enthalpy: SpecificEnthalpy,
    pub(super) heat: Heat,
    pub(super) condensate: Mass,
    pub(super) recovery: Recovery,
    pub(super) volumes: Option<Volumes>,
}

/// The milk and its warming.
#[derive(Debug)]
pub(super) struct Warmed {
    pub(super) mass: Mass,
    pub(super) start: BothScales,
    pub(super) end: BothScales,
    /// What it is made of, when its heat is summed over its parts.
    pub(super) composition: Option<Composition>,
    /// Its constant heat capacity otherwise.
    pub(super) capacity: HeatCapacity,
    /// Whether that heat capacity was given.
    pub(super) has_own_capacity: bool,
    pub(super) rise: SpecificEnthalpy,
}

/// What the boiler's heater has to make up for.
#[derive(Debug)]
pub(super) struct Recovery {
    pub(super) feed: Temperature,
    pub(super) heat: Heat,
    pub(super) heater: Option<Heater>,
    pub(super) time: Option<Duration>,
}

/// Volumes of milk whose fat is known, mL.
#[derive(Debug, Clone, Copy)]
pub(super) struct Volumes {
    pub(super) cold_ml: f64,
    pub(super) hot_ml: f64,
    pub(super) air_ratio: f64,
    pub(super) foam_ml: Option<f64>,
}

impl Balance {
    /// The balance of a request.
    ///
    /// # Errors
    /// A [`Problem`] that names every value that cannot be together with another one.
    pub(super) fn of(request: &MilkSteamingRequest) -> Result<Self, Problem> {
        let place = place::of(&given_place(request))?;
        let air = place.pressure;
        let boiler = given_boiler(request).boiler(air)?;
        let temperatures = temperatures(request)?;
        agreement::check(&temperatures, &boiler, air)?;
        let Temperatures { start, end, feed } = temperatures;
        let milk = warmed(request, start, end)?;
        let jug = jug(request)?;
        let loss = MassFraction::from_fraction(request.loss_fraction.unwrap_or(0.0));
        let loss = loss.at("loss_fraction")?;
        let quality = MassFraction::from_fraction(request.steam_quality.unwrap_or(1.0));
        let steam = Steam {
            boiler: boiler.temperature.temperature,
            quality: quality.at("steam_quality")?,
        };
        let steam_enthalpy = steam_enthalpy(steam)?;
        let heat = steaming_heat(
            (milk.mass, milk.rise),
            jug_heat(jug.as_ref(), end.temperature)?,
            loss,
        )?;
        let condensate = condensate(heat, steam_enthalpy, (end.temperature, air))?;
        Ok(Self {
            recovery: recovery(request, condensate, steam, feed)?,
            volumes: volumes(request, &milk, condensate, air)?,
            place,
            boiler,
            milk,
            jug,
            loss,
            steam,
            steam_enthalpy,
            heat,
            condensate,
        })
    }
}

/// Heat that the jug takes; none without a jug.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a heat that nothing takes.
pub(super) fn jug_heat(jug: Option<&Body>, end: Temperature) -> Result<Heat, MathsError> {
    jug.map_or_else(|| Heat::from_kilojoules(0.0), |jug| jug.heat_to(end))
}

const fn given_boiler(request: &MilkSteamingRequest) -> boiler::Given {
    boiler::Given {
        temperature_c: request.temperature_c,
        temperature_f: request.temperature_f,
        pressure_bar: request.pressure_bar,
    }
}

fn given_place(request: &MilkSteamingRequest) -> place::Given {
    place::Given {
        altitude_m: request.altitude_m,
        altitude_ft: request.altitude_ft,
        altitude_kind: request.altitude_kind,
        station_pressure_hpa: request.station_pressure_hpa,
        ..place::Given::default()
    }
}

/// The temperatures of a request; the rules see to it that those of the milk are there.
fn temperatures(request: &MilkSteamingRequest) -> Result<Temperatures, Problem> {
    let missing = || Temperature::from_celsius(f64::NAN).map(BothScales::from);
    let start = BothScales::given(
        ("start_temperature_c", request.start_temperature_c),
        ("start_temperature_f", request.start_temperature_f),
    )?;
    let end = BothScales::given(
        ("final_temperature_c", request.final_temperature_c),
        ("final_temperature_f", request.final_temperature_f),
    )?;
    let feed = Temperature::from_celsius(request.feed_temperature_c.unwrap_or(MAIN_C));
    Ok(Temperatures {
        start: start.map_or_else(missing, Ok)?,
        end: end.map_or_else(missing, Ok)?,
        feed: feed.at("feed_temperature_c")?,
    })
}

fn warmed(
    request: &MilkSteamingRequest,
    start: BothScales,
    end: BothScales,
) -> Result<Warmed, Problem> {
    let composition = match (request.milk_id, request.milk_fat_percent) {
        (Some(id), _) => Some(Milk::from(id).composition()),
        (None, Some(percent)) => {
            let fat = MassFraction::from_percent(percent).at("milk_fat_percent")?;
            Some(Composition::of_fat(fat).at("milk_fat_percent")?)
        }
        (None, None) => None,
    };
    let own = request.milk_specific_heat_kj_per_kg_k;
    let capacity =
        HeatCapacity::from_kilojoules_per_kilogram_kelvin(own.unwrap_or(USUAL_HEAT_CAPACITY));
    let capacity = capacity.at("milk_specific_heat_kj_per_kg_k")?;
    let (from, to) = (start.temperature, end.temperature);
    let rise = match &composition {
        Some(composition) => enthalpy_rise(composition, from, to)?,
        None => SpecificEnthalpy::from_kilojoules_per_kilogram(
            capacity.kilojoules_per_kilogram_kelvin() * to.minus(from).kelvin(),
        )?,
    };
    Ok(Warmed {
        mass: Mass::from_grams(request.milk_mass_g).at("milk_mass_g")?,
        start,
        end,
        composition,
        capacity,
        has_own_capacity: own.is_some(),
        rise,
    })
}

fn jug(request: &MilkSteamingRequest) -> Result<Option<Body>, Problem> {
    let Some(grams) = request.jug_mass_g else {
        return Ok(None);
    };
    let capacity = request
        .jug_specific_heat_kj_per_kg_k
        .unwrap_or(STEEL_CAPACITY);
    let celsius = request.jug_temperature_c.unwrap_or(SHELF_C);
    Ok(Some(Body {
        mass: Mass::from_grams(grams).at("jug_mass_g")?,
        capacity: HeatCapacity::from_kilojoules_per_kilogram_kelvin(capacity)
            .at("jug_specific_heat_kj_per_kg_k")?,
        temperature: Temperature::from_celsius(celsius).at("jug_temperature_c")?,
    }))
}

fn recovery(
    request: &MilkSteamingRequest,
    taken: Mass,
    steam: Steam,
    feed: Temperature,
) -> Result<Recovery, Problem> {
    let heat = recovery_heat(taken, steam, feed)?;
    let efficiency = request.heater_efficiency.unwrap_or(1.0);
    let efficiency = MassFraction::from_fraction(efficiency).at("heater_efficiency")?;
    let power = request.heater_power_w.map(Power::from_watts).transpose();
    let heater = power
        .at("heater_power_w")?
        .map(|power| Heater { power, efficiency });
    let time = heater
        .map(|heater| heating_time(heat, heater))
        .transpose()?;
    Ok(Recovery {
        feed,
        heat,
        heater,
        time,
    })
}

fn volumes(
    request: &MilkSteamingRequest,
    milk: &Warmed,
    condensate: Mass,
    air: Pressure,
) -> Result<Option<Volumes>, MathsError> {
    let Some(composition) = &milk.composition else {
        return Ok(None);
    };
    let fat = composition.fat()?;
    let density = |at: BothScales| milk_density(fat, at.temperature);
    // 1 g/mL is 1000 kg/m³
    let volume = |mass: Mass, kilograms_per_cubic_metre: f64| {
        mass.grams() / (kilograms_per_cubic_metre / 1000.0)
    };
    let (cold, hot) = (density(milk.start)?, density(milk.end)?);
    let water = liquid_density(milk.end.temperature, air)?;
    let hot_ml = volume(milk.mass, hot.kilograms_per_cubic_metre())
        + volume(condensate, water.kilograms_per_cubic_metre());
    Ok(Some(Volumes {
        cold_ml: volume(milk.mass, cold.kilograms_per_cubic_metre()),
        hot_ml,
        air_ratio: request.air_ratio.unwrap_or(0.0),
        foam_ml: request.air_ratio.map(|ratio| hot_ml * (1.0 + ratio)),
    }))
}
