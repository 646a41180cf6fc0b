//! The request of `oven-drying`, its bounds and its rules.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::brew_kind::BrewKind;
use crate::api::budget::COVERAGE;
use crate::api::rule::Rule;
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;

/// Weighings of one dish or of several, and the brew that they are to tell of.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct OvenDryingRequest {
    /// What was dried. Default: `beverage`.
    pub sample: Option<DriedSample>,
    /// Dish, empty.
    pub tare_mass_g: Option<f64>,
    /// Dish with the sample before drying.
    pub wet_mass_g: Option<f64>,
    /// Dish with the sample after drying.
    pub dry_mass_g: Option<f64>,
    /// Dishes of replicates, empty.
    #[validate(length(min = 2, max = 100))]
    pub tare_masses_g: Option<Vec<f64>>,
    /// The same dishes with their samples before drying, in the same order.
    #[validate(length(min = 2, max = 100))]
    pub wet_masses_g: Option<Vec<f64>>,
    /// The same dishes with their samples after drying, in the same order.
    #[validate(length(min = 2, max = 100))]
    pub dry_masses_g: Option<Vec<f64>>,
    /// What an empty control dish gained from its first weighing to the one after drying; it is
    /// taken off the dry masses. Default 0.
    pub control_dish_change_g: Option<f64>,
    /// Whether the beverage was filtered before it was dried.
    pub sample_filtered: Option<bool>,
    /// How the coffee was brewed. Default: `espresso`.
    pub brew_kind: Option<BrewKind>,
    /// Dry coffee, as weighed, for the yield.
    pub dose_g: Option<f64>,
    /// Beverage in the cup, for the yield from a dried beverage.
    pub beverage_mass_g: Option<f64>,
    /// Brew water, for the yield from a dried beverage of an immersion brew.
    pub water_mass_g: Option<f64>,
    /// All of the spent grounds, wet, when the dish held a part of them.
    pub spent_grounds_mass_g: Option<f64>,
    /// Strength of the liquid that the spent grounds hold, to undo its drying: that of the brew
    /// for immersion, not known for percolation.
    pub tds_percent: Option<f64>,
    /// Water in the dose.
    pub coffee_moisture_percent: Option<f64>,
    /// Carbon dioxide in the dose.
    pub coffee_co2_percent: Option<f64>,
    /// Standard uncertainty of each weighing of a dish; the same for all replicates.
    pub mass_uncertainty_g: Option<f64>,
    /// Half-width of a rectangular distribution in its place, such as half a scale division.
    pub mass_half_width_g: Option<f64>,
    /// Standard uncertainty of the dose.
    pub dose_uncertainty_g: Option<f64>,
    /// Half-width of a rectangular distribution of the dose.
    pub dose_half_width_g: Option<f64>,
    /// Standard uncertainty of the beverage, or of all of the spent grounds.
    pub brew_mass_uncertainty_g: Option<f64>,
    /// Half-width of a rectangular distribution in its place.
    pub brew_mass_half_width_g: Option<f64>,
    /// Probability that the expanded uncertainty covers. Default 0.95.
    pub coverage_probability: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// What was dried.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum DriedSample {
    /// Brewed coffee: what stays are its solids.
    #[default]
    Beverage,
    /// Spent grounds: what stays was not extracted.
    SpentGrounds,
}

/// Most dishes of one sample.
const MOST_DISHES: usize = 100;
/// A dish on a balance, with or without a sample.
const DISH: Range = Range::new("mass of a dish", 0.001, 10_000.0, "g");
/// What an empty dish gains or loses in an oven.
const DRIFT: Range = Range::new("change of a control dish", -1.0, 1.0, "g");
/// Standard uncertainty or half-width of a mass.
const SPREAD: Range = Range::new("uncertainty of a mass", 0.0, 1_000.0, "g");

/// Range of every number.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("tare_mass_g", DISH),
    Bound::new("wet_mass_g", DISH),
    Bound::new("dry_mass_g", DISH),
    Bound::list("tare_masses_g", DISH, 2, MOST_DISHES),
    Bound::list("wet_masses_g", DISH, 2, MOST_DISHES),
    Bound::list("dry_masses_g", DISH, 2, MOST_DISHES),
    Bound::new("control_dish_change_g", DRIFT),
    Bound::new("dose_g", Mass::DOSE),
    Bound::new("beverage_mass_g", Mass::LIQUID),
    Bound::new("water_mass_g", Mass::LIQUID),
    Bound::new("spent_grounds_mass_g", Mass::LIQUID),
    Bound::new("tds_percent", MassFraction::STRENGTH_PERCENT),
    Bound::new("coffee_moisture_percent", MassFraction::VOLATILE_PERCENT),
    Bound::new("coffee_co2_percent", MassFraction::VOLATILE_PERCENT),
    Bound::new("mass_uncertainty_g", SPREAD),
    Bound::new("mass_half_width_g", SPREAD),
    Bound::new("dose_uncertainty_g", SPREAD),
    Bound::new("dose_half_width_g", SPREAD),
    Bound::new("brew_mass_uncertainty_g", SPREAD),
    Bound::new("brew_mass_half_width_g", SPREAD),
    Bound::new("coverage_probability", COVERAGE),
];

const ONE: [&str; 3] = ["tare_mass_g", "wet_mass_g", "dry_mass_g"];
const SEVERAL: [&str; 3] = ["tare_masses_g", "wet_masses_g", "dry_masses_g"];

/// What must, or may not, be given together.
pub(super) const RULES: &[Rule] = &[
    Rule::ExactlyOne(&[ONE[0], SEVERAL[0]]),
    Rule::ExactlyOne(&[ONE[1], SEVERAL[1]]),
    Rule::ExactlyOne(&[ONE[2], SEVERAL[2]]),
    Rule::Needs(ONE[0], &[ONE[1], ONE[2]]),
    Rule::Needs(SEVERAL[0], &[SEVERAL[1], SEVERAL[2]]),
    Rule::Needs("beverage_mass_g", &["dose_g"]),
    Rule::Needs("water_mass_g", &["dose_g"]),
    Rule::Needs("spent_grounds_mass_g", &["dose_g"]),
    Rule::Needs("tds_percent", &["dose_g"]),
    Rule::AtMostOne(&["mass_uncertainty_g", "mass_half_width_g"]),
    Rule::AtMostOne(&["dose_uncertainty_g", "dose_half_width_g"]),
    Rule::AtMostOne(&["brew_mass_uncertainty_g", "brew_mass_half_width_g"]),
    Rule::Needs("dose_uncertainty_g", &["dose_g"]),
    Rule::Needs("dose_half_width_g", &["dose_g"]),
    Rule::NeedsOneOf(
        "brew_mass_uncertainty_g",
        &["beverage_mass_g", "spent_grounds_mass_g"],
    ),
    Rule::NeedsOneOf(
        "brew_mass_half_width_g",
        &["beverage_mass_g", "spent_grounds_mass_g"],
    ),
];
