//! The heat balance: from the request to every quantity of the answer.

use super::SlurryTemperatureRequest;
use crate::api::both_scales::BothScales;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem, ProblemCode};
use crate::api::provenance::shown;
use crate::maths::heat::cooling::{Cooling, temperature_after};
use crate::maths::heat::heating::{Heater, heating_heat, heating_time};
use crate::maths::heat::mixing::{Body, mixed_temperature, pouring_temperature};
use crate::maths::quantity::{
    Duration, Heat, HeatCapacity, Mass, MassFraction, Power, Temperature,
};

/// Heat capacity of brew water, kJ/(kg K). `[slurry-heat]`
const WATER_CAPACITY: f64 = 4.2;
/// Heat capacity of ground coffee, kJ/(kg K). `[slurry-heat]`
const COFFEE_CAPACITY: f64 = 1.6;
/// Temperature of coffee from the shelf, °C; assumed.
const SHELF_C: f64 = 20.0;

/// Every quantity of an answer.
#[derive(Debug)]
pub(super) struct Balance {
    pub(super) water: Body,
    pub(super) coffee: Body,
    pub(super) vessel: Option<Body>,
    pub(super) slurry: BothScales,
    pub(super) poured: BothScales,
    /// Whether the water's temperature was found from that of the slurry.
    pub(super) is_inverse: bool,
    pub(super) heat_up: Option<HeatUp>,
    pub(super) standing: Option<Standing>,
}

/// Heating up the water.
#[derive(Debug)]
pub(super) struct HeatUp {
    pub(super) start: Temperature,
    pub(super) kettle: Option<(Mass, HeatCapacity)>,
    pub(super) heat: Heat,
    pub(super) heater: Option<Heater>,
    pub(super) time: Option<Duration>,
}

/// Standing and cooling.
#[derive(Debug, Clone, Copy)]
pub(super) struct Standing {
    pub(super) cooling: Cooling,
    pub(super) wait: Duration,
    pub(super) after: Temperature,
}

impl Balance {
    /// The balance of a request.
    ///
    /// # Errors
    /// A [`Problem`] when no water gives the slurry, it would freeze, or the water would have to
    /// cool.
    pub(super) fn of(request: &SlurryTemperatureRequest) -> Result<Self, Problem> {
        let coffee = coffee(request)?;
        let vessel = vessel(request)?;
        let others: Vec<Body> = std::iter::once(coffee).chain(vessel).collect();
        let mass = Mass::from_grams(request.water_mass_g).at("water_mass_g")?;
        let capacity = HeatCapacity::from_kilojoules_per_kilogram_kelvin(WATER_CAPACITY)?;
        let of_water = |temperature| Body {
            mass,
            capacity,
            temperature,
        };
        let given = BothScales::given(
            ("water_temperature_c", request.water_temperature_c),
            ("water_temperature_f", request.water_temperature_f),
        )?;
        let (poured, slurry) = if let Some(poured) = given {
            let bodies: Vec<Body> = std::iter::once(of_water(poured.temperature))
                .chain(others)
                .collect();
            (poured, unfrozen(mixed_temperature(&bodies)?)?.into())
        } else {
            let slurry = target(request)?;
            let poured = pouring_temperature((mass, capacity), &others, slurry.temperature);
            (possible(poured.map(Temperature::celsius).ok())?, slurry)
        };
        Ok(Self {
            water: of_water(poured.temperature),
            coffee,
            vessel,
            slurry,
            poured,
            is_inverse: given.is_none(),
            heat_up: heat_up(request, mass, poured)?,
            standing: standing(request, slurry.temperature)?,
        })
    }
}

/// The temperature wanted; the rules leave nothing else when that of the water is not given.
fn target(request: &SlurryTemperatureRequest) -> Result<BothScales, Problem> {
    let given = BothScales::given(
        (
            "target_slurry_temperature_c",
            request.target_slurry_temperature_c,
        ),
        (
            "target_slurry_temperature_f",
            request.target_slurry_temperature_f,
        ),
    )?;
    given.map_or_else(|| Ok(Temperature::from_celsius(f64::NAN)?.into()), Ok)
}

/// The slurry, when it is liquid: freezing is no part of the balance.
fn unfrozen(slurry: Temperature) -> Result<Temperature, Problem> {
    if Temperature::BREWING.contains(slurry.celsius()) {
        return Ok(slurry);
    }
    let detail = format!(
        "the slurry would be at {} °C, outside {} to {} °C",
        shown(slurry.celsius()),
        Temperature::BREWING.min,
        Temperature::BREWING.max
    );
    Err(Problem::new(ProblemCode::NoSolution, detail))
}

/// The temperature found for the water, when water can have it.
fn possible(celsius: Option<f64>) -> Result<BothScales, Problem> {
    let inside = celsius.filter(|celsius| Temperature::BREWING.contains(*celsius));
    let Some(celsius) = inside else {
        let needed = celsius.map_or_else(
            || "a temperature that nothing has".to_owned(),
            |celsius| format!("{} °C", shown(celsius)),
        );
        let detail = format!(
            "the water would need {needed}, outside {} to {} °C: use more of it, or warm the vessel",
            Temperature::BREWING.min,
            Temperature::BREWING.max
        );
        return Err(Problem::new(ProblemCode::NoSolution, detail));
    };
    Ok(Temperature::from_celsius(celsius)?.into())
}

fn coffee(request: &SlurryTemperatureRequest) -> Result<Body, Problem> {
    let capacity = request
        .coffee_specific_heat_kj_per_kg_k
        .unwrap_or(COFFEE_CAPACITY);
    let celsius = request.coffee_temperature_c.unwrap_or(SHELF_C);
    Ok(Body {
        mass: Mass::from_grams(request.dose_g).at("dose_g")?,
        capacity: HeatCapacity::from_kilojoules_per_kilogram_kelvin(capacity)
            .at("coffee_specific_heat_kj_per_kg_k")?,
        temperature: Temperature::from_celsius(celsius).at("coffee_temperature_c")?,
    })
}

/// The vessel, when there is one; the rules see to it that it is whole.
fn vessel(request: &SlurryTemperatureRequest) -> Result<Option<Body>, Problem> {
    let given = request
        .vessel_mass_g
        .zip(request.vessel_specific_heat_kj_per_kg_k)
        .zip(request.vessel_temperature_c);
    let Some(((grams, capacity), celsius)) = given else {
        return Ok(None);
    };
    Ok(Some(Body {
        mass: Mass::from_grams(grams).at("vessel_mass_g")?,
        capacity: HeatCapacity::from_kilojoules_per_kilogram_kelvin(capacity)
            .at("vessel_specific_heat_kj_per_kg_k")?,
        temperature: Temperature::from_celsius(celsius).at("vessel_temperature_c")?,
    }))
}

fn heat_up(
    request: &SlurryTemperatureRequest,
    water: Mass,
    poured: BothScales,
) -> Result<Option<HeatUp>, Problem> {
    let Some(celsius) = request.start_temperature_c else {
        return Ok(None);
    };
    let start = Temperature::from_celsius(celsius).at("start_temperature_c")?;
    if start > poured.temperature {
        let detail = format!(
            "water of {} °C is not heated up to {} °C",
            shown(celsius),
            shown(poured.celsius())
        );
        let fault = Fault::new("/start_temperature_c", FaultCode::Inconsistent, detail);
        return Err(Problem::invalid(vec![fault]));
    }
    let kettle = request
        .kettle_mass_g
        .zip(request.kettle_specific_heat_kj_per_kg_k);
    let kettle = match kettle {
        Some((grams, capacity)) => Some((
            Mass::from_grams(grams).at("kettle_mass_g")?,
            HeatCapacity::from_kilojoules_per_kilogram_kelvin(capacity)
                .at("kettle_specific_heat_kj_per_kg_k")?,
        )),
        None => None,
    };
    let heat = heating_heat(water, kettle, start, poured.temperature)?;
    let heater = heater(request)?;
    let time = heater
        .map(|heater| heating_time(heat, heater))
        .transpose()?;
    Ok(Some(HeatUp {
        start,
        kettle,
        heat,
        heater,
        time,
    }))
}

fn heater(request: &SlurryTemperatureRequest) -> Result<Option<Heater>, Problem> {
    let Some(watts) = request.heater_power_w else {
        return Ok(None);
    };
    let efficiency = request.heater_efficiency.unwrap_or(1.0);
    Ok(Some(Heater {
        power: Power::from_watts(watts).at("heater_power_w")?,
        efficiency: MassFraction::from_fraction(efficiency).at("heater_efficiency")?,
    }))
}

/// The standing, when there is some; the rules see to it that it is whole.
fn standing(
    request: &SlurryTemperatureRequest,
    slurry: Temperature,
) -> Result<Option<Standing>, Problem> {
    let given = request
        .wait_s
        .zip(request.surroundings_temperature_c)
        .zip(request.cooling_time_constant_s);
    let Some(((wait, around), constant)) = given else {
        return Ok(None);
    };
    let wait = Duration::from_seconds(wait).at("wait_s")?;
    let cooling = Cooling {
        surroundings: Temperature::from_celsius(around).at("surroundings_temperature_c")?,
        time_constant: Duration::from_seconds(constant).at("cooling_time_constant_s")?,
    };
    let after = temperature_after(slurry, cooling, wait)?;
    Ok(Some(Standing {
        cooling,
        wait,
        after,
    }))
}
