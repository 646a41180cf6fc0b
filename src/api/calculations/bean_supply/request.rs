//! The request of `bean-supply`, its bounds and its rules.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calendar::CalendarDate;
use crate::api::rule::Rule;
use crate::maths::quantity::Mass;
use crate::maths::range::Range;
use crate::maths::supply::stock::{
    DAILY, LEAD_TIME, ON_HAND, PERIOD, SAFETY_FACTOR, SPREAD, WASTE,
};
use crate::maths::supply::storage::{STORAGE, STORAGE_FAHRENHEIT};
use crate::maths::supply::window::AGE;

/// Beans by their dates, and perhaps what is used of them, where they are kept and how long
/// they have been ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BeanSupplyRequest {
    /// Day of the roast.
    #[schema(value_type = String, format = Date)]
    pub roast_date: CalendarDate,
    /// Day on which the coffee is brewed, or on which the stock is looked at.
    #[schema(value_type = String, format = Date)]
    pub brew_date: CalendarDate,
    /// First day of use after the roast. Default 5 (common practice, no source).
    pub window_start_days: Option<u32>,
    /// Last day of use after the roast. Default 30 (common practice, no source).
    pub window_end_days: Option<u32>,
    /// Days between the two dates for which the beans were frozen; they do not count. Default 0.
    pub frozen_days: Option<u32>,
    /// Coffee that goes into the drinks of a day.
    pub daily_dose_g: Option<f64>,
    /// Drinks of a day, each of `dose_g`.
    pub daily_shots: Option<f64>,
    /// Dose of each of `daily_shots`.
    pub dose_g: Option<f64>,
    /// Share of the beans bought that never becomes a drink: purging, dialling in, spills.
    /// Default 0.
    pub waste_percent: Option<f64>,
    /// Days from an order to its arrival, any rest at the roaster included.
    pub lead_time_days: Option<f64>,
    /// Days from one order to the next. Default 7: coffee is bought for one to two weeks (common
    /// practice, no source).
    pub order_every_days: Option<f64>,
    /// Standard deviations of the use of the lead time kept as safety. Default 1.645: 95 of 100
    /// lead times, when the use is spread normally.
    pub safety_factor: Option<f64>,
    /// Standard deviation of one day's use. Default 0.
    pub daily_spread_g: Option<f64>,
    /// Coffee of this roast on hand on the brew date. Default: one order.
    pub on_hand_g: Option<f64>,
    /// Temperature at which the coffee is kept, compared with the reference.
    pub storage_temperature_c: Option<f64>,
    /// Temperature at which the coffee is kept, in degrees Fahrenheit.
    pub storage_temperature_f: Option<f64>,
    /// Temperature to compare with. Default 20.
    pub reference_temperature_c: Option<f64>,
    /// Temperature to compare with, in degrees Fahrenheit.
    pub reference_temperature_f: Option<f64>,
    /// Diameter of the grains of ground coffee.
    pub grind_diameter_um: Option<f64>,
    /// Time since the coffee was ground.
    pub since_grinding_hours: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

impl BeanSupplyRequest {
    /// Beans of which only the two dates are known.
    #[must_use]
    pub const fn of_dates(roast_date: CalendarDate, brew_date: CalendarDate) -> Self {
        Self {
            roast_date,
            brew_date,
            window_start_days: None,
            window_end_days: None,
            frozen_days: None,
            daily_dose_g: None,
            daily_shots: None,
            dose_g: None,
            waste_percent: None,
            lead_time_days: None,
            order_every_days: None,
            safety_factor: None,
            daily_spread_g: None,
            on_hand_g: None,
            storage_temperature_c: None,
            storage_temperature_f: None,
            reference_temperature_c: None,
            reference_temperature_f: None,
            grind_diameter_um: None,
            since_grinding_hours: None,
            workings: None,
        }
    }
}

/// Drinks of a day, from a home to a chain of shops.
const SHOTS: Range = Range::new("daily shots", 0.1, 100_000.0, "1");
/// Grains of ground coffee, and beans.
const GRAINS: Range = Range::new("grind diameter", 50.0, 10_000.0, "µm");
/// Time since grinding: up to a year.
const HOURS: Range = Range::new("time since grinding", 0.0, 8_760.0, "h");

const USE: &[&str] = &["daily_dose_g", "daily_shots"];
const STORED: &[&str] = &["storage_temperature_c", "storage_temperature_f"];

/// Range of every number.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("window_start_days", AGE),
    Bound::new("window_end_days", AGE),
    Bound::new("frozen_days", AGE),
    Bound::new("daily_dose_g", DAILY),
    Bound::new("daily_shots", SHOTS),
    Bound::new("dose_g", Mass::DOSE),
    Bound::new("waste_percent", WASTE),
    Bound::new("lead_time_days", LEAD_TIME),
    Bound::new("order_every_days", PERIOD),
    Bound::new("safety_factor", SAFETY_FACTOR),
    Bound::new("daily_spread_g", SPREAD),
    Bound::new("on_hand_g", ON_HAND),
    Bound::new("storage_temperature_c", STORAGE),
    Bound::new("storage_temperature_f", STORAGE_FAHRENHEIT),
    Bound::new("reference_temperature_c", STORAGE),
    Bound::new("reference_temperature_f", STORAGE_FAHRENHEIT),
    Bound::new("grind_diameter_um", GRAINS),
    Bound::new("since_grinding_hours", HOURS),
];

/// What must, or may not, be given together.
pub(super) const RULES: &[Rule] = &[
    Rule::AtMostOne(USE),
    Rule::Needs("daily_shots", &["dose_g"]),
    Rule::Needs("dose_g", &["daily_shots"]),
    Rule::NeedsOneOf("waste_percent", USE),
    Rule::NeedsOneOf("lead_time_days", USE),
    Rule::NeedsOneOf("order_every_days", USE),
    Rule::NeedsOneOf("safety_factor", USE),
    Rule::NeedsOneOf("daily_spread_g", USE),
    Rule::NeedsOneOf("on_hand_g", USE),
    Rule::AtMostOne(STORED),
    Rule::AtMostOne(&["reference_temperature_c", "reference_temperature_f"]),
    Rule::NeedsOneOf("reference_temperature_c", STORED),
    Rule::NeedsOneOf("reference_temperature_f", STORED),
    Rule::Needs("grind_diameter_um", &["since_grinding_hours"]),
    Rule::Needs("since_grinding_hours", &["grind_diameter_um"]),
];
