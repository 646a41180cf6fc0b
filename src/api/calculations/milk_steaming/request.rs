//! The request of `milk-steaming`, its bounds and its rules.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::boiler::FEED;
use crate::api::bounds::Bound;
use crate::api::milks::MilkId;
use crate::api::place::AltitudeKind;
use crate::api::rule::Rule;
use crate::maths::heat::milk::{MILK_FAT_PERCENT, MILK_TEMPERATURE};
use crate::maths::heat::steaming::{LOSS_FRACTION, STEAM_QUALITY};
use crate::maths::quantity::{Altitude, GaugePressure, Mass, Power, Pressure, Temperature};
use crate::maths::range::Range;

/// Milk, the boiler that steams it, and the place.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MilkSteamingRequest {
    /// Milk before it is steamed.
    pub milk_mass_g: f64,
    /// Temperature of the milk before.
    pub start_temperature_c: Option<f64>,
    /// Temperature of the milk before, in degrees Fahrenheit.
    pub start_temperature_f: Option<f64>,
    /// Temperature wanted of the drink.
    pub final_temperature_c: Option<f64>,
    /// Temperature wanted of the drink, in degrees Fahrenheit.
    pub final_temperature_f: Option<f64>,
    /// A milk of `GET /v1/reference/milks`; its composition is from memory.
    pub milk_id: Option<MilkId>,
    /// Fat of the milk by mass.
    pub milk_fat_percent: Option<f64>,
    /// Heat capacity of the milk or of a plant drink, when it is known. Without it, and without
    /// kind or fat, 3.93 is taken.
    pub milk_specific_heat_kj_per_kg_k: Option<f64>,
    /// Temperature of the boiler.
    pub temperature_c: Option<f64>,
    /// Temperature of the boiler, in degrees Fahrenheit.
    pub temperature_f: Option<f64>,
    /// Pressure in the boiler above the air around it, as its gauge shows it.
    pub pressure_bar: Option<f64>,
    /// Altitude of the place above mean sea level.
    pub altitude_m: Option<f64>,
    /// Altitude of the place above mean sea level.
    pub altitude_ft: Option<f64>,
    /// What kind of altitude it is.
    pub altitude_kind: Option<AltitudeKind>,
    /// What a barometer at the place shows, not reduced to sea level.
    pub station_pressure_hpa: Option<f64>,
    /// Share of dry steam in what leaves the boiler, the rest being droplets. Default 1.
    pub steam_quality: Option<f64>,
    /// Heat lost beside the milk, as a share of what milk and jug take. Default 0.
    pub loss_fraction: Option<f64>,
    /// Mass of the jug; without it the jug is left out.
    pub jug_mass_g: Option<f64>,
    /// Heat capacity of the jug. Default 0.5, stainless steel (from memory).
    pub jug_specific_heat_kj_per_kg_k: Option<f64>,
    /// Temperature of the jug before. Default 20 (assumed).
    pub jug_temperature_c: Option<f64>,
    /// Power of the boiler's heater.
    pub heater_power_w: Option<f64>,
    /// Share of that power that reaches the boiler's water. Default 1, for the least time.
    pub heater_efficiency: Option<f64>,
    /// Temperature of the water that comes into the boiler for the steam. Default 15 (assumed).
    pub feed_temperature_c: Option<f64>,
    /// Air worked into the drink, by volume of the hot liquid: 0.5 makes 150 mL of 100 mL.
    pub air_ratio: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Heat capacity of a drink mostly of water.
const DRINK_CAPACITY: Range = Range::new("heat capacity of the milk", 3.0, 4.3, "kJ/(kg K)");
/// Heat capacity of a vessel: metals, glass, ceramics, plastics.
const VESSEL_CAPACITY: Range = Range::new("heat capacity of the jug", 0.1, 2.5, "kJ/(kg K)");
/// Milk on the Fahrenheit scale.
const MILK_FAHRENHEIT: Range = Range::new("milk temperature", 32.0, 212.0, "°F");
/// Share of a heater's power that arrives.
const EFFICIENCY: Range = Range::new("heater efficiency", 0.05, 1.0, "1");
/// Air by volume of liquid; above it a foam is dry.
const AIR_RATIO: Range = Range::new("air ratio", 0.0, 3.0, "1");

/// Range of every number.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("milk_mass_g", Mass::LIQUID),
    Bound::new("start_temperature_c", MILK_TEMPERATURE),
    Bound::new("start_temperature_f", MILK_FAHRENHEIT),
    Bound::new("final_temperature_c", MILK_TEMPERATURE),
    Bound::new("final_temperature_f", MILK_FAHRENHEIT),
    Bound::new("milk_fat_percent", MILK_FAT_PERCENT),
    Bound::new("milk_specific_heat_kj_per_kg_k", DRINK_CAPACITY),
    Bound::new("temperature_c", Temperature::BOILER),
    Bound::new("temperature_f", Temperature::BOILER_FAHRENHEIT),
    Bound::new("pressure_bar", GaugePressure::RANGE),
    Bound::new("altitude_m", Altitude::RANGE),
    Bound::new("altitude_ft", Altitude::RANGE_FEET),
    Bound::new("station_pressure_hpa", Pressure::AIR),
    Bound::new("steam_quality", STEAM_QUALITY),
    Bound::new("loss_fraction", LOSS_FRACTION),
    Bound::new("jug_mass_g", Mass::RANGE),
    Bound::new("jug_specific_heat_kj_per_kg_k", VESSEL_CAPACITY),
    Bound::new("jug_temperature_c", MILK_TEMPERATURE),
    Bound::new("heater_power_w", Power::RANGE),
    Bound::new("heater_efficiency", EFFICIENCY),
    Bound::new("feed_temperature_c", FEED),
    Bound::new("air_ratio", AIR_RATIO),
];

/// What must, or may not, be given together.
pub(super) const RULES: &[Rule] = &[
    Rule::ExactlyOne(&["start_temperature_c", "start_temperature_f"]),
    Rule::ExactlyOne(&["final_temperature_c", "final_temperature_f"]),
    Rule::AtMostOne(&[
        "milk_id",
        "milk_fat_percent",
        "milk_specific_heat_kj_per_kg_k",
    ]),
    Rule::ExactlyOne(&["temperature_c", "temperature_f", "pressure_bar"]),
    Rule::ExactlyOne(&["altitude_m", "altitude_ft", "station_pressure_hpa"]),
    Rule::NeedsOneOf("altitude_kind", &["altitude_m", "altitude_ft"]),
    Rule::Needs("jug_specific_heat_kj_per_kg_k", &["jug_mass_g"]),
    Rule::Needs("jug_temperature_c", &["jug_mass_g"]),
    Rule::Needs("heater_efficiency", &["heater_power_w"]),
    Rule::NeedsOneOf("air_ratio", &["milk_id", "milk_fat_percent"]),
];
