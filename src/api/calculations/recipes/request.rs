//! The request of `recipes`, its bounds and its rules.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calendar::CalendarDate;
use crate::api::currency::CurrencyCode;
use crate::api::drinks::DrinkId;
use crate::api::milks::MilkId;
use crate::api::place::AltitudeKind;
use crate::api::rule::Rule;
use crate::maths::basket::geometry::Basket;
use crate::maths::heat::milk::MILK_TEMPERATURE;
use crate::maths::heat::steaming::{LOSS_FRACTION, STEAM_QUALITY};
use crate::maths::quantity::{Altitude, GaugePressure, Length, Mass, Pressure, Temperature};
use crate::maths::range::Range;
use crate::maths::supply::stock::WASTE;
use crate::maths::supply::window::AGE;

/// A drink to be made, by the field names of a query.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RecipesRequest {
    /// A drink of `GET /v1/reference/drinks`.
    pub drink: DrinkId,
    /// Cups to be made. Default 1.
    pub servings: Option<u32>,
    /// Whether one basket makes one cup or two. Default `whole`; espresso only.
    pub shot_share: Option<ShotShare>,
    /// Inner diameter of the basket at its rim.
    pub basket_diameter_mm: Option<f64>,
    /// Dose stamped on the basket.
    pub basket_rated_dose_g: Option<f64>,
    /// Depth of the basket from rim to bottom.
    pub basket_depth_mm: Option<f64>,
    /// Dry coffee of one brew. Default: the basket's rated dose, or the middle of what it holds;
    /// without a basket 18 for espresso, and 15 for filter and immersion (common practice, no
    /// source).
    pub dose_g: Option<f64>,
    /// Beverage over dose, in place of the drink's own.
    pub brew_ratio: Option<f64>,
    /// Brew water over dose, in place of the drink's own.
    pub water_ratio: Option<f64>,
    /// Milk, cold and by mass, over the beverage of a serving, in place of the drink's own; 0
    /// for none.
    pub milk_to_beverage_ratio: Option<f64>,
    /// Hot water added to the cup, by mass, over the beverage of a serving, in place of the
    /// drink's own; 0 for none.
    pub water_to_beverage_ratio: Option<f64>,
    /// Air worked into the milk, by volume of the hot liquid, in place of the drink's own.
    pub air_ratio: Option<f64>,
    /// Volume of the cup to its brim.
    pub cup_ml: Option<f64>,
    /// Altitude of the place above mean sea level. Without any of the three ways to name a
    /// place, sea level is assumed.
    pub altitude_m: Option<f64>,
    /// Altitude of the place above mean sea level.
    pub altitude_ft: Option<f64>,
    /// What kind of altitude it is.
    pub altitude_kind: Option<AltitudeKind>,
    /// What a barometer at the place shows, not reduced to sea level.
    pub station_pressure_hpa: Option<f64>,
    /// Brew temperature wanted. Default by `roast`: 95 for light, 93 for medium and 90 for dark;
    /// 93 without it (common practice, no source).
    pub brew_temperature_c: Option<f64>,
    /// Brew temperature wanted, in degrees Fahrenheit.
    pub brew_temperature_f: Option<f64>,
    /// Pressure of the shot, as the machine's gauge shows it. Default 9 (common practice, no
    /// source).
    pub brew_pressure_bar: Option<f64>,
    /// Pressure of the pre-infusion, as the machine's gauge shows it. Default 3 (common
    /// practice, no source).
    pub preinfusion_pressure_bar: Option<f64>,
    /// Length of the pre-infusion. Default 7 (common practice, no source); 0 for none.
    pub preinfusion_time_s: Option<f64>,
    /// A milk of `GET /v1/reference/milks`. Default `whole`.
    pub milk_id: Option<MilkId>,
    /// Temperature of the milk before. Default 4 (common practice, no source).
    pub milk_start_temperature_c: Option<f64>,
    /// Temperature of the milk before, in degrees Fahrenheit.
    pub milk_start_temperature_f: Option<f64>,
    /// Temperature wanted of the steamed milk. Default 60 (common practice, no source).
    pub milk_final_temperature_c: Option<f64>,
    /// Temperature wanted of the steamed milk, in degrees Fahrenheit.
    pub milk_final_temperature_f: Option<f64>,
    /// Pressure in the steam boiler, as its gauge shows it. Without it and without a temperature
    /// a boiler at 130 °C is assumed (common practice, no source, and no advice on a setting).
    pub steam_pressure_bar: Option<f64>,
    /// Temperature of the steam boiler.
    pub steam_temperature_c: Option<f64>,
    /// Temperature of the steam boiler, in degrees Fahrenheit.
    pub steam_temperature_f: Option<f64>,
    /// Share of dry steam in what leaves the boiler. Default 1.
    pub steam_quality: Option<f64>,
    /// Heat lost beside the milk, as a share of what it takes. Default 0.
    pub loss_fraction: Option<f64>,
    /// How dark the beans are roasted; sets the brew temperature when none is given.
    pub roast: Option<Roast>,
    /// Day on which the beans were roasted.
    #[schema(value_type = Option<String>, format = Date)]
    pub roast_date: Option<CalendarDate>,
    /// Day of the brew; the service never reads a clock.
    #[schema(value_type = Option<String>, format = Date)]
    pub brew_date: Option<CalendarDate>,
    /// First day of use after the roast. Default 5 (common practice, no source).
    pub window_start_days: Option<u32>,
    /// Last day of use after the roast. Default 30 (common practice, no source).
    pub window_end_days: Option<u32>,
    /// Days between the two dates for which the beans were frozen; they do not count. Default 0.
    pub frozen_days: Option<u32>,
    /// Price of the beans.
    pub bean_price_per_kg: Option<f64>,
    /// Price of the milk.
    pub milk_price_per_l: Option<f64>,
    /// Currency of the prices by its code of ISO 4217, for the answer to name and to round to.
    pub currency: Option<CurrencyCode>,
    /// Share of the beans bought that never becomes a drink: purging, dialling in, spills.
    /// Default 0.
    pub waste_percent: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// How many cups a basket makes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShotShare {
    /// One basket for one cup.
    #[default]
    Whole,
    /// One basket for two cups.
    Half,
}

/// How dark the beans are roasted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Roast {
    /// Light.
    Light,
    /// Medium.
    Medium,
    /// Dark.
    Dark,
}

/// A dose stamped on a basket.
pub(super) const RATED_DOSE: Range = Range::new("rated dose", 2.0, 100.0, "g");
/// Cups of one order.
const SERVINGS: Range = Range::new("servings", 1.0, 1000.0, "1");
/// Beverage over dose.
const BREW_RATIO: Range = Range::new("brew ratio", 0.5, 50.0, "1");
/// Brew water over dose; less than the grounds keep gives no beverage.
const WATER_RATIO: Range = Range::new("water ratio", 1.5, 50.0, "1");
/// Milk or hot water over beverage.
const PROPORTION: Range = Range::new("proportion of a drink", 0.0, 50.0, "1");
/// Air by volume of liquid; above it a foam is dry.
const AIR_RATIO: Range = Range::new("air ratio", 0.0, 3.0, "1");
/// A cup, from a thimble to a jug.
const CUP: Range = Range::new("cup", 10.0, 5000.0, "mL");
/// A pre-infusion.
const PREINFUSION: Range = Range::new("pre-infusion", 0.0, 60.0, "s");
/// Milk on the Fahrenheit scale.
const MILK_FAHRENHEIT: Range = Range::new("milk temperature", 32.0, 212.0, "°F");
/// Price of a kilogram or a litre, in any currency.
pub(in crate::api::calculations) const PRICE: Range = Range::new("price", 0.0, 1e9, "1");

/// Range of every number.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("servings", SERVINGS),
    Bound::new("basket_diameter_mm", Length::BASKET_DIAMETER),
    Bound::new("basket_rated_dose_g", RATED_DOSE),
    Bound::new("basket_depth_mm", Basket::DEPTH),
    Bound::new("dose_g", Mass::DOSE),
    Bound::new("brew_ratio", BREW_RATIO),
    Bound::new("water_ratio", WATER_RATIO),
    Bound::new("milk_to_beverage_ratio", PROPORTION),
    Bound::new("water_to_beverage_ratio", PROPORTION),
    Bound::new("air_ratio", AIR_RATIO),
    Bound::new("cup_ml", CUP),
    Bound::new("altitude_m", Altitude::RANGE),
    Bound::new("altitude_ft", Altitude::RANGE_FEET),
    Bound::new("station_pressure_hpa", Pressure::AIR),
    Bound::new("brew_temperature_c", Temperature::BREWING),
    Bound::new("brew_temperature_f", Temperature::BREWING_FAHRENHEIT),
    Bound::new("brew_pressure_bar", GaugePressure::RANGE),
    Bound::new("preinfusion_pressure_bar", GaugePressure::RANGE),
    Bound::new("preinfusion_time_s", PREINFUSION),
    Bound::new("milk_start_temperature_c", MILK_TEMPERATURE),
    Bound::new("milk_start_temperature_f", MILK_FAHRENHEIT),
    Bound::new("milk_final_temperature_c", MILK_TEMPERATURE),
    Bound::new("milk_final_temperature_f", MILK_FAHRENHEIT),
    Bound::new("steam_pressure_bar", GaugePressure::RANGE),
    Bound::new("steam_temperature_c", Temperature::BOILER),
    Bound::new("steam_temperature_f", Temperature::BOILER_FAHRENHEIT),
    Bound::new("steam_quality", STEAM_QUALITY),
    Bound::new("loss_fraction", LOSS_FRACTION),
    Bound::new("window_start_days", AGE),
    Bound::new("window_end_days", AGE),
    Bound::new("frozen_days", AGE),
    Bound::new("bean_price_per_kg", PRICE),
    Bound::new("milk_price_per_l", PRICE),
    Bound::new("waste_percent", WASTE),
];

/// What must, or may not, be given together.
pub(super) const RULES: &[Rule] = &[
    Rule::NeedsOneOf("basket_depth_mm", &["basket_diameter_mm"]),
    Rule::AtMostOne(&["brew_ratio", "water_ratio"]),
    Rule::AtMostOne(&["altitude_m", "altitude_ft", "station_pressure_hpa"]),
    Rule::NeedsOneOf("altitude_kind", &["altitude_m", "altitude_ft"]),
    Rule::AtMostOne(&["brew_temperature_c", "brew_temperature_f"]),
    Rule::AtMostOne(&["milk_start_temperature_c", "milk_start_temperature_f"]),
    Rule::AtMostOne(&["milk_final_temperature_c", "milk_final_temperature_f"]),
    Rule::AtMostOne(&[
        "steam_pressure_bar",
        "steam_temperature_c",
        "steam_temperature_f",
    ]),
    Rule::Needs("roast_date", &["brew_date"]),
    Rule::Needs("brew_date", &["roast_date"]),
    Rule::Needs("window_start_days", &["roast_date"]),
    Rule::Needs("window_end_days", &["roast_date"]),
    Rule::Needs("frozen_days", &["roast_date"]),
];
