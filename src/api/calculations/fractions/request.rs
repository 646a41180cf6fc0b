//! The request of `fractions` and its bounds.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;
use crate::maths::refraction::coffee::SOLIDS_PER_BRIX_RANGE;

/// A shot caught in slices.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FractionsRequest {
    /// Dry coffee.
    pub dose_g: f64,
    /// The slices, in the order in which they came out; together the whole shot.
    #[validate(length(min = 1, max = 500))]
    #[schema(min_items = 1, max_items = 500)]
    pub slices: Vec<ShotSlice>,
    /// Coffee solids by percent on the sugar scale, for slices read there. Default 0.825, the
    /// middle of what is published (0.79 to 0.86); the customary value is 0.85.
    pub solids_per_brix: Option<f64>,
    /// Brew water; only held against the beverage.
    pub water_mass_g: Option<f64>,
    /// Strength of the cup to look for.
    pub target_tds_percent: Option<f64>,
    /// Yield to look for.
    pub target_extraction_yield_percent: Option<f64>,
    /// Beverage to look for.
    pub target_beverage_mass_g: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// One slice; exactly one of the two readings.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShotSlice {
    /// Mass of the slice.
    pub mass_g: f64,
    /// Strength of the slice.
    pub tds_percent: Option<f64>,
    /// Reading of the slice on the sugar scale, corrected for zero and temperature.
    pub brix_percent: Option<f64>,
}

/// A slice of a shot.
const SLICE: Range = Range::new("mass of a slice", 0.001, 10_000.0, "g");
/// Readings of a slice; the first drops of an espresso reach 30 %.
const BRIX: Range = Range::new("reading on the sugar scale", 0.0, 40.0, "%");
/// Strength of a slice; the first drops are the strongest of all coffee.
const STRENGTH: Range = MassFraction::STRENGTH_PERCENT;
/// Yields to look for.
const AIM_YIELD: Range = Range::new("target yield", 0.0, 35.0, "%");

/// Range of every number.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("dose_g", Mass::DOSE),
    Bound::new("mass_g", SLICE),
    Bound::new("tds_percent", STRENGTH),
    Bound::new("brix_percent", BRIX),
    Bound::new("solids_per_brix", SOLIDS_PER_BRIX_RANGE),
    Bound::new("water_mass_g", Mass::LIQUID),
    Bound::new("target_tds_percent", STRENGTH),
    Bound::new("target_extraction_yield_percent", AIM_YIELD),
    Bound::new("target_beverage_mass_g", Mass::LIQUID),
];
