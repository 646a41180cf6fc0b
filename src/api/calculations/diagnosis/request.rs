//! What a shot tastes of, and what of it was measured.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

/// An espresso as it tastes, and what was measured of it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DiagnosisRequest {
    /// What it tastes of; a word said twice counts once.
    #[schema(min_items = 1, max_items = 20)]
    pub tastes: Vec<Taste>,
    /// Dissolved solids over dose.
    pub extraction_yield_percent: Option<f64>,
    /// Strength of the beverage.
    pub tds_percent: Option<f64>,
    /// Beverage mass over dose.
    pub brew_ratio: Option<f64>,
    /// From pump on to pump off.
    pub shot_time_s: Option<f64>,
    /// From pump on to the first drop.
    pub first_drop_s: Option<f64>,
    /// Temperature of the brew water.
    pub brew_temperature_c: Option<f64>,
    /// Days since the roast.
    pub bean_age_days: Option<f64>,
    /// How evenly the shot ran, as `shot-readings` answers it: 1 wholly, 0 not at all. Below 0.85
    /// counts as uneven here (a choice of ours); a flow that doubles at once halfway has 0.83.
    pub evenness: Option<f64>,
    /// Whether the answer shows how the causes were weighed.
    pub workings: Option<bool>,
}

/// A taste.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Taste {
    /// Sharp and acid, without sweetness.
    Sour,
    /// Bitter beyond what the roast brings.
    Bitter,
    /// Dry and rough on the tongue.
    Astringent,
    /// Without body.
    Thin,
    /// Rough and unpleasant altogether.
    Harsh,
    /// Salty.
    Salty,
    /// Nothing stands out.
    Balanced,
}

impl Taste {
    /// The word in a request.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Sour => "sour",
            Self::Bitter => "bitter",
            Self::Astringent => "astringent",
            Self::Thin => "thin",
            Self::Harsh => "harsh",
            Self::Salty => "salty",
            Self::Balanced => "balanced",
        }
    }
}
