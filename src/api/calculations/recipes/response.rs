//! What `recipes` answers.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::request::ShotShare;
use crate::api::brew_kind::BrewKind;
use crate::api::currency::CurrencyCode;
use crate::api::drinks::DrinkId;

/// The drink as it can be made at this bar.
///
/// What the bar cannot do is not in the recipe but in `not_met`: a dose that the basket does not
/// hold is brought to its nearest end, a temperature that water does not reach to the nearest
/// one that it does.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
pub struct RecipesResponse {
    /// The drink.
    pub drink: DrinkId,
    /// How its coffee is brewed.
    pub brew_kind: BrewKind,
    /// Cups to be made.
    pub servings: u32,
    /// How many cups a basket makes; espresso only.
    pub shot_share: Option<ShotShare>,
    /// Baskets to be pulled, half of one counted as a whole; espresso only.
    pub baskets_pulled: Option<u32>,
    /// Dry coffee of one brew: of one basket, or of one serving without a basket.
    pub dose_g: f64,
    /// Beverage of one brew.
    pub beverage_mass_g: f64,
    /// Beverage over dose.
    pub brew_ratio: f64,
    /// The brew ratio as it is spoken: `1:2`.
    pub brew_ratio_text: String,
    /// Brew water of one brew.
    pub water_mass_g: f64,
    /// Brew water over dose.
    pub water_ratio: f64,
    /// Brew water to pour for one brew; filter and immersion only.
    pub pour_water_g: Option<f64>,
    /// Beverage of one serving: half of a brew for a `half` share.
    pub serving_beverage_g: f64,
    /// Smallest dose of the basket; left out when no basket was given.
    pub dose_min_g: Option<f64>,
    /// Largest dose of the basket; left out when no basket was given.
    pub dose_max_g: Option<f64>,
    /// Depth of the tamped, dry bed; left out when no diameter was given.
    pub tamped_depth_mm: Option<f64>,
    /// Time of one brew.
    pub shot_time_window_s: TimeWindow,
    /// Temperature to brew at, reachable at the place.
    pub brew_temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub brew_temperature_f: f64,
    /// Temperature at which water boils at the place, in an open vessel.
    pub boiling_point_c: f64,
    /// The same in degrees Fahrenheit.
    pub boiling_point_f: f64,
    /// Stages of the pressure; espresso only.
    pub pressure_profile: Option<PressureStages>,
    /// Strength that a yield of 18 to 22 % gives at this ratio; left out when no brew has it.
    pub tds_window_percent: Option<StrengthWindow>,
    /// Milk of one serving, cold; left out for a drink without milk.
    pub milk_g: Option<f64>,
    /// Volume of that milk, cold.
    pub milk_ml: Option<f64>,
    /// Steam that condenses in the milk of one serving.
    pub steam_condensed_g: Option<f64>,
    /// Volume of the steamed milk of one serving with its condensate and its air.
    pub foam_ml: Option<f64>,
    /// Temperature to steam the milk to.
    pub milk_final_temperature_c: Option<f64>,
    /// The same in degrees Fahrenheit.
    pub milk_final_temperature_f: Option<f64>,
    /// Hot water added to one serving; left out for a drink without.
    pub added_water_g: Option<f64>,
    /// Volume of one serving, a gram of beverage or water taken as a millilitre as the trade
    /// does, crema not counted; left out when the milk cannot be steamed as asked.
    pub drink_volume_ml: Option<f64>,
    /// Whether one serving fits into the cup up to its brim; left out when no cup was given.
    pub fits_cup: Option<bool>,
    /// Room left in the cup, negative when the drink runs over.
    pub cup_room_ml: Option<f64>,
    /// Days from roast to brew; left out without `roast_date`.
    pub bean_age_days: Option<f64>,
    /// Whether the beans are inside their window; left out without `roast_date`.
    pub beans_in_window: Option<bool>,
    /// Cost of one serving; left out when no price was given.
    pub cost: Option<Cost>,
    /// Allergens of the recipe itself.
    pub allergens: Vec<Allergen>,
    /// All servings together.
    pub totals: Totals,
    /// What could not be met, and why; empty when everything was.
    pub not_met: Vec<NotMet>,
    /// The codes of `not_met` joined by `;`, for a table; left out when everything was met.
    pub not_met_codes: Option<String>,
    /// Fields that were given and that this drink has no use for.
    pub not_used: Vec<Cow<'static, str>>,
}

/// Shortest and longest time of a brew; common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, ToSchema)]
pub struct TimeWindow {
    /// Shortest time.
    #[schema(extensions(("x-unit" = json!("s"))))]
    pub low: f64,
    /// Longest time.
    #[schema(extensions(("x-unit" = json!("s"))))]
    pub high: f64,
    /// Whether the time runs from pump on, or from the first water, and so holds the
    /// pre-infusion or the bloom.
    pub includes_preinfusion: bool,
}

/// Least and greatest strength.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct StrengthWindow {
    /// Strength at a yield of 18 %.
    #[schema(extensions(("x-unit" = json!("%"))))]
    pub low: f64,
    /// Strength at a yield of 22 %.
    #[schema(extensions(("x-unit" = json!("%"))))]
    pub high: f64,
}

/// Pressure over time, linear between the points and held after the last.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PressureStages {
    /// Time from pump on.
    pub time_s: Vec<f64>,
    /// Pressure, as the machine's gauge shows it.
    pub pressure_bar: Vec<f64>,
}

/// What beans and milk cost, without rounding.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Cost {
    /// Beans, with what is wasted of them; left out without their price.
    pub beans: Option<f64>,
    /// Milk; left out without its price and for a drink without milk.
    pub milk: Option<f64>,
    /// Both together; left out when a price is missing.
    pub total: Option<f64>,
    /// Currency of the prices, when it was given.
    pub currency: Option<CurrencyCode>,
    /// Decimals of the minor unit of the currency.
    pub minor_units: Option<u16>,
    /// The total rounded to the minor unit.
    pub total_text: Option<String>,
}

/// An allergen that a recipe holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Allergen {
    /// Milk.
    Milk,
}

/// All servings together.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
pub struct Totals {
    /// Cups.
    pub servings: u32,
    /// Baskets, over all espresso.
    pub baskets_pulled: u32,
    /// Dry coffee.
    pub dose_g: f64,
    /// Beans to take, with what is wasted of them.
    pub beans_g: f64,
    /// Beverage.
    pub beverage_mass_g: f64,
    /// Brew water.
    pub water_mass_g: f64,
    /// Milk, cold.
    pub milk_g: f64,
    /// Hot water added to the cups.
    pub added_water_g: f64,
    /// What beans and milk cost; left out when no price was given.
    pub cost: Option<Cost>,
}

/// Something that could not be met.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct NotMet {
    /// Stable code.
    pub code: NotMetCode,
    /// Why, in words and numbers.
    pub detail: String,
}

/// Stable code of a shortfall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum NotMetCode {
    /// The dose is outside the range of the basket; the nearest end is in the recipe.
    DoseOutsideBasket,
    /// Half a basket is left over.
    HalfBasketLeft,
    /// Water does not reach the brew temperature; the nearest one is in the recipe.
    TemperatureNotReachable,
    /// No strength gives a yield of 18 to 22 % at this ratio.
    StrengthOutOfReach,
    /// The milk is to be hotter than the steam.
    MilkHotterThanSteam,
    /// The milk is to be hotter than boiling at the place.
    MilkTemperatureNotReachable,
    /// The milk cannot be steamed for another reason.
    MilkNotSteamed,
    /// The drink does not fit into the cup.
    CupTooSmall,
    /// Whether the drink fits the cup is not known, since its milk cannot be steamed.
    CupNotChecked,
    /// The beans are fresher or older than their window.
    BeansOutsideWindow,
    /// A price is missing, so that there is no total.
    CostIncomplete,
}

impl NotMetCode {
    /// The code as it stands in a body.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::DoseOutsideBasket => "dose_outside_basket",
            Self::HalfBasketLeft => "half_basket_left",
            Self::TemperatureNotReachable => "temperature_not_reachable",
            Self::StrengthOutOfReach => "strength_out_of_reach",
            Self::MilkHotterThanSteam => "milk_hotter_than_steam",
            Self::MilkTemperatureNotReachable => "milk_temperature_not_reachable",
            Self::MilkNotSteamed => "milk_not_steamed",
            Self::CupTooSmall => "cup_too_small",
            Self::CupNotChecked => "cup_not_checked",
            Self::BeansOutsideWindow => "beans_outside_window",
            Self::CostIncomplete => "cost_incomplete",
        }
    }
}
