//! The request of `targets`, its bounds and its rules.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::brew_kind::BrewKind;
use crate::api::rule::Rule;
use crate::maths::extraction::beverage_density::CUP_TEMPERATURE;
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;
use crate::maths::ratio;

/// A strength and a yield that are wanted, and one mass or volume to begin with.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TargetsRequest {
    /// How the coffee is brewed: `espresso` (the default) and `filter` are percolation,
    /// `immersion` is steeping.
    pub brew_kind: Option<BrewKind>,
    /// Strength wanted of what is in the cup.
    pub target_tds_percent: f64,
    /// Yield wanted, of the dose as weighed.
    pub target_extraction_yield_percent: f64,
    /// Dry coffee.
    pub dose_g: Option<f64>,
    /// Beverage before any bypass water is added.
    pub beverage_mass_g: Option<f64>,
    /// All that is in the cup, bypass water included.
    pub final_beverage_mass_g: Option<f64>,
    /// Volume of all that is in the cup, without foam.
    pub cup_ml: Option<f64>,
    /// Temperature at which the volume counts. Default 20.
    pub beverage_temperature_c: Option<f64>,
    /// Strength of the brew before bypass water. Default: that of the cup.
    pub brew_tds_percent: Option<f64>,
    /// Beverage before bypass water over dose, in place of `brew_tds_percent`.
    pub brew_ratio: Option<f64>,
    /// Brew water over dose, in place of `brew_tds_percent`.
    pub water_ratio: Option<f64>,
    /// Brew water less beverage, over dose, as weighed. Default by `brew_kind`: 1.0 for
    /// espresso, 2.0 for filter and immersion (common practice, no source).
    pub retained_ratio: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Strengths that can be aimed at.
const AIM_TDS: Range = Range::new("target strength", 0.01, 30.0, "%");
/// Yields that can be asked for; above 30 % there is a caution, above 35 % a rule refuses.
const AIM_YIELD: Range = Range::new("target yield", 0.1, 100.0, "%");
/// Volumes of a cup or a batch.
pub(super) const CUP_ML: Range = Range::new("cup volume", 0.1, 100_000.0, "mL");

/// Range of every number.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("target_tds_percent", AIM_TDS),
    Bound::new("target_extraction_yield_percent", AIM_YIELD),
    Bound::new("dose_g", Mass::DOSE),
    Bound::new("beverage_mass_g", Mass::LIQUID),
    Bound::new("final_beverage_mass_g", Mass::LIQUID),
    Bound::new("cup_ml", CUP_ML),
    Bound::new("beverage_temperature_c", CUP_TEMPERATURE),
    Bound::new("brew_tds_percent", MassFraction::STRENGTH_PERCENT),
    Bound::new("brew_ratio", ratio::BREW_RATIO),
    Bound::new("water_ratio", ratio::WATER_RATIO),
    Bound::new("retained_ratio", ratio::RETAINED_RATIO),
];

/// What must, or may not, be given together.
pub(super) const RULES: &[Rule] = &[
    Rule::ExactlyOne(&[
        "dose_g",
        "beverage_mass_g",
        "final_beverage_mass_g",
        "cup_ml",
    ]),
    Rule::AtMostOne(&["brew_tds_percent", "brew_ratio", "water_ratio"]),
];
