//! What a list of shots says about how alike they are.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::request::ShotQuantity;

/// How alike the shots are, and what to tighten first.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ConsistencyResponse {
    /// Shots in the list.
    pub shot_count: usize,
    /// Probability with which the intervals hold the true value.
    pub coverage_probability: f64,
    /// Every quantity that at least two shots tell.
    pub quantities: QuantitiesMade,
    /// What to tighten first; left out where too few shots tell of yield, beverage or time.
    pub tighten_first: Option<TightenFirst>,
    /// What was left out, and why.
    pub left_out: Vec<LeftOut>,
}

/// The quantities of the shots; one that fewer than two shots tell is left out.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
pub struct QuantitiesMade {
    /// Dry coffee.
    pub dose_g: Option<QuantityMade>,
    /// Beverage in the cup.
    pub beverage_mass_g: Option<QuantityMade>,
    /// Beverage mass over dose.
    pub brew_ratio: Option<QuantityMade>,
    /// Shot time.
    pub shot_time_s: Option<QuantityMade>,
    /// Strength of the beverage.
    pub tds_percent: Option<QuantityMade>,
    /// Dissolved solids over dose.
    pub extraction_yield_percent: Option<QuantityMade>,
}

/// One quantity over all shots that tell it; numbers in the unit of its name.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct QuantityMade {
    /// Shots that tell it.
    pub count: usize,
    /// Arithmetic mean.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub mean: f64,
    /// Standard deviation of one shot.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub spread: f64,
    /// Lower end of the interval that holds the true standard deviation.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub spread_low: f64,
    /// Upper end of that interval.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub spread_high: f64,
    /// Standard deviation over mean; left out where the mean is zero.
    pub relative_spread_percent: Option<f64>,
    /// Smallest value.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub smallest: f64,
    /// Largest value.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub largest: f64,
    /// Limits of a steady process; left out for fewer than three shots.
    pub limits: Option<StatisticalLimits>,
    /// Change over the shots in order; left out for fewer than three shots or alike ones.
    pub drift: Option<DriftMade>,
    /// How much of the spread the dose and each label explain.
    pub share_explained: Vec<ShareExplained>,
}

/// Limits inside which nearly all shots of a steady process lie: three standard deviations, as
/// neighbours tell them, on either side of the mean. They say nothing of what is wanted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct StatisticalLimits {
    /// Mean of the shots.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub centre: f64,
    /// Lower limit; below zero where the spread is large against the mean.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub lower: f64,
    /// Upper limit.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub upper: f64,
    /// Mean of the absolute differences of neighbours.
    #[schema(extensions(("x-unit" = json!("that of the quantity"))))]
    pub mean_moving_range: f64,
    /// Places in `shots`, counted from 0, of those outside the limits: look at these first.
    pub outside: Vec<usize>,
}

/// A straight line through the shots in order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DriftMade {
    /// Change from one shot to the next.
    #[schema(extensions(("x-unit" = json!("that of the quantity, per shot"))))]
    pub change_per_shot: f64,
    /// Lower end of the interval of the change.
    #[schema(extensions(("x-unit" = json!("that of the quantity, per shot"))))]
    pub low: f64,
    /// Upper end of the interval of the change.
    #[schema(extensions(("x-unit" = json!("that of the quantity, per shot"))))]
    pub high: f64,
    /// Probability of at least as steep a line where nothing drifts.
    pub p_value: f64,
    /// Whether the interval leaves out zero.
    pub is_clear: bool,
    /// Share of the spread that the line explains.
    pub share_percent: f64,
    /// The same adjusted for the freedom that the line had; not below zero.
    pub adjusted_share_percent: f64,
}

/// How much of a spread one thing explains. Shares of several things may overlap and do not add
/// up.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ShareExplained {
    /// What explains it.
    pub by: ExplainedBy,
    /// Share of the spread: R squared by the dose, eta squared by a label. From few shots it is
    /// too large.
    pub share_percent: f64,
    /// The same corrected for what is explained by chance: adjusted R squared, omega squared;
    /// not below zero.
    pub adjusted_share_percent: f64,
    /// Probability of at least as large a share where nothing is explained.
    pub p_value: f64,
    /// Shots that tell both.
    pub count: usize,
    /// Different labels among them; left out for the dose.
    pub groups: Option<usize>,
}

/// What may explain a spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ExplainedBy {
    /// The dose, by a straight line.
    Dose,
    /// Who made the shot.
    Barista,
    /// The grinder.
    Grinder,
    /// The group of the machine.
    Group,
    /// The day.
    Day,
}

/// What to tighten first.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TightenFirst {
    /// What stands out.
    pub code: TightenCode,
    /// The quantity whose spread was looked at: the yield, otherwise the beverage, otherwise
    /// the time.
    pub quantity: ShotQuantity,
    /// Share of its spread that is explained, corrected for chance.
    pub adjusted_share_percent: Option<f64>,
    /// What to do, in words; common practice, no source.
    pub detail: String,
}

/// What stands out in a spread: the largest share among those that are clear, with the level of
/// the test divided by how many were looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum TightenCode {
    /// The dose.
    Dose,
    /// The hands differ.
    Barista,
    /// The grinders differ.
    Grinder,
    /// The groups differ.
    Group,
    /// The days differ.
    Day,
    /// The shots drift.
    Drift,
    /// Nothing that was recorded explains it.
    ShotToShot,
    /// All shots are alike.
    Nothing,
}

/// Something that was left out.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LeftOut {
    /// The quantity.
    pub quantity: ShotQuantity,
    /// What of it.
    pub statistic: Statistic,
    /// By what, where it is about a share.
    pub by: Option<ExplainedBy>,
    /// Why.
    pub code: LeftOutCode,
    /// The same in words.
    pub detail: String,
}

/// A part of the answer about one quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Statistic {
    /// Everything about the quantity.
    All,
    /// `limits`.
    Limits,
    /// `drift`.
    Drift,
    /// An entry of `share_explained`.
    ShareExplained,
}

/// Why something was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum LeftOutCode {
    /// Too few shots tell it.
    TooFewShots,
    /// All values are alike, so that there is nothing to explain.
    AllAlike,
    /// All doses are alike, or all shots stand under one label.
    OneGroup,
    /// Every shot stands under a label of its own.
    OneShotPerGroup,
}
