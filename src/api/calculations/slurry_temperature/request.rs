//! The request of `slurry-temperature`, its bounds and its rules.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::rule::Rule;
use crate::maths::quantity::{Duration, Mass, Power, Temperature};
use crate::maths::range::Range;

/// Water, grounds and vessel, each before they come together.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SlurryTemperatureRequest {
    /// Water that is poured.
    pub water_mass_g: f64,
    /// Temperature of the water as it is poured.
    pub water_temperature_c: Option<f64>,
    /// Temperature of the water as it is poured, in degrees Fahrenheit.
    pub water_temperature_f: Option<f64>,
    /// Temperature wanted of the slurry, to find that of the water.
    pub target_slurry_temperature_c: Option<f64>,
    /// Temperature wanted of the slurry, in degrees Fahrenheit, to find that of the water.
    pub target_slurry_temperature_f: Option<f64>,
    /// Ground coffee.
    pub dose_g: f64,
    /// Temperature of the ground coffee. Default 20 (assumed).
    pub coffee_temperature_c: Option<f64>,
    /// Heat capacity of the ground coffee. Default 1.6.
    pub coffee_specific_heat_kj_per_kg_k: Option<f64>,
    /// Mass of the vessel as far as it warms with the slurry; without it no vessel is reckoned.
    pub vessel_mass_g: Option<f64>,
    /// Heat capacity of the vessel.
    pub vessel_specific_heat_kj_per_kg_k: Option<f64>,
    /// Temperature of the vessel before.
    pub vessel_temperature_c: Option<f64>,
    /// Temperature from which the water was heated up.
    pub start_temperature_c: Option<f64>,
    /// Power of the heater.
    pub heater_power_w: Option<f64>,
    /// Share of that power that reaches water and kettle. Default 1, for the least time.
    pub heater_efficiency: Option<f64>,
    /// Mass of the kettle or boiler that is heated up with the water.
    pub kettle_mass_g: Option<f64>,
    /// Heat capacity of that kettle or boiler.
    pub kettle_specific_heat_kj_per_kg_k: Option<f64>,
    /// Time that the slurry stands.
    pub wait_s: Option<f64>,
    /// Temperature around the slurry while it stands.
    pub surroundings_temperature_c: Option<f64>,
    /// Time in which its distance from the surroundings falls to 37 %, fitted to two readings; no
    /// published value for brewers was found.
    pub cooling_time_constant_s: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Temperatures of what is at hand before a brew.
const AT_HAND: Range = Range::new("temperature", -20.0, 150.0, "°C");
/// Water that is heated up; the saturation line begins at the triple point.
const START: Range = Range::new("start temperature", 0.01, 150.0, "°C");
/// Heat capacity of ground coffee, from dry and light to wet.
const COFFEE_CAPACITY: Range = Range::new("heat capacity of the coffee", 1.0, 3.0, "kJ/(kg K)");
/// Heat capacity of metals, glass, ceramics and plastics, and of water around them.
const VESSEL_CAPACITY: Range = Range::new("heat capacity of the vessel", 0.1, 4.3, "kJ/(kg K)");
/// Share of a heater's power that arrives.
const EFFICIENCY: Range = Range::new("heater efficiency", 0.05, 1.0, "1");

/// Range of every number.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("water_mass_g", Mass::LIQUID),
    Bound::new("water_temperature_c", Temperature::BREWING),
    Bound::new("water_temperature_f", Temperature::BREWING_FAHRENHEIT),
    Bound::new("target_slurry_temperature_c", Temperature::BREWING),
    Bound::new(
        "target_slurry_temperature_f",
        Temperature::BREWING_FAHRENHEIT,
    ),
    Bound::new("dose_g", Mass::DOSE),
    Bound::new("coffee_temperature_c", AT_HAND),
    Bound::new("coffee_specific_heat_kj_per_kg_k", COFFEE_CAPACITY),
    Bound::new("vessel_mass_g", Mass::RANGE),
    Bound::new("vessel_specific_heat_kj_per_kg_k", VESSEL_CAPACITY),
    Bound::new("vessel_temperature_c", AT_HAND),
    Bound::new("start_temperature_c", START),
    Bound::new("heater_power_w", Power::RANGE),
    Bound::new("heater_efficiency", EFFICIENCY),
    Bound::new("kettle_mass_g", Mass::RANGE),
    Bound::new("kettle_specific_heat_kj_per_kg_k", VESSEL_CAPACITY),
    Bound::new("wait_s", Duration::WAIT),
    Bound::new("surroundings_temperature_c", AT_HAND),
    Bound::new("cooling_time_constant_s", Duration::TIME_CONSTANT),
];

const VESSEL: [&str; 3] = [
    "vessel_mass_g",
    "vessel_specific_heat_kj_per_kg_k",
    "vessel_temperature_c",
];
const STANDING: [&str; 3] = [
    "wait_s",
    "surroundings_temperature_c",
    "cooling_time_constant_s",
];

/// What must, or may not, be given together.
pub(super) const RULES: &[Rule] = &[
    Rule::ExactlyOne(&[
        "water_temperature_c",
        "water_temperature_f",
        "target_slurry_temperature_c",
        "target_slurry_temperature_f",
    ]),
    Rule::Needs(VESSEL[0], &[VESSEL[1], VESSEL[2]]),
    Rule::Needs(VESSEL[1], &[VESSEL[0], VESSEL[2]]),
    Rule::Needs(VESSEL[2], &[VESSEL[0], VESSEL[1]]),
    Rule::Needs("heater_power_w", &["start_temperature_c"]),
    Rule::Needs("heater_efficiency", &["heater_power_w"]),
    Rule::Needs(
        "kettle_mass_g",
        &["kettle_specific_heat_kj_per_kg_k", "start_temperature_c"],
    ),
    Rule::Needs("kettle_specific_heat_kj_per_kg_k", &["kettle_mass_g"]),
    Rule::Needs(STANDING[0], &[STANDING[1], STANDING[2]]),
    Rule::Needs(STANDING[1], &[STANDING[0], STANDING[2]]),
    Rule::Needs(STANDING[2], &[STANDING[0], STANDING[1]]),
];
