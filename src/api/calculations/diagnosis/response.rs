//! What may be the cause, and what to try first.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// What may be the cause, and what to try first; common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DiagnosisResponse {
    /// Every cause that something speaks for or against, the likeliest first.
    pub causes: Vec<Cause>,
    /// What to try first: one change at a time.
    pub try_first: TryFirst,
    /// Tastes that speak against one another, and what was made of them.
    pub contradictions: Vec<Contradiction>,
}

/// A cause that something speaks for or against.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Cause {
    /// Stable code.
    pub code: CauseCode,
    /// How likely it is; no probability.
    pub likelihood: Likelihood,
    /// What speaks for and against it.
    pub evidence: Vec<Evidence>,
}

/// How likely a cause is; no probability.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Likelihood {
    /// A measurement says so, or tastes that go with it and none that go against it.
    Likely,
    /// A taste that may go with it, or evidence on both sides.
    Possible,
    /// More speaks against it than for it.
    Unlikely,
}

/// Something that speaks for or against a cause.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Evidence {
    /// Word or field of the request; `sour_and_bitter` for the two together.
    pub from: String,
    /// Whether it was tasted or measured.
    pub kind: EvidenceKind,
    /// Whether it speaks for the cause; otherwise against it.
    pub supports: bool,
    /// The same in words.
    pub detail: String,
}

/// Whether it was tasted or measured; what was measured outweighs every taste.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum EvidenceKind {
    /// Tasted.
    Taste,
    /// Measured.
    Measurement,
}

/// A cause of what is wrong with an espresso. In this order one is tried before another that
/// is as likely.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CauseCode {
    /// Water runs through parts of the bed only.
    UnevenExtraction,
    /// Water that is too cool.
    WaterTooCool,
    /// Water that is too hot.
    WaterTooHot,
    /// Beans that still give off much gas.
    BeansTooFresh,
    /// Beans past their window.
    BeansTooOld,
    /// Too little of the coffee is dissolved.
    UnderExtraction,
    /// Too much of the coffee is dissolved.
    OverExtraction,
    /// The shot runs too fast.
    ShotTooFast,
    /// The shot runs too slowly.
    ShotTooSlow,
    /// Too little dissolved in the cup.
    LowStrength,
    /// Too much dissolved in the cup.
    HighStrength,
}

impl CauseCode {
    pub(super) const ALL: [Self; 11] = [
        Self::UnevenExtraction,
        Self::WaterTooCool,
        Self::WaterTooHot,
        Self::BeansTooFresh,
        Self::BeansTooOld,
        Self::UnderExtraction,
        Self::OverExtraction,
        Self::ShotTooFast,
        Self::ShotTooSlow,
        Self::LowStrength,
        Self::HighStrength,
    ];

    /// The code in an answer.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::UnevenExtraction => "uneven_extraction",
            Self::WaterTooCool => "water_too_cool",
            Self::WaterTooHot => "water_too_hot",
            Self::BeansTooFresh => "beans_too_fresh",
            Self::BeansTooOld => "beans_too_old",
            Self::UnderExtraction => "under_extraction",
            Self::OverExtraction => "over_extraction",
            Self::ShotTooFast => "shot_too_fast",
            Self::ShotTooSlow => "shot_too_slow",
            Self::LowStrength => "low_strength",
            Self::HighStrength => "high_strength",
        }
    }
}

/// One change to try.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TryFirst {
    /// What to change.
    pub change: Change,
    /// Which way.
    pub direction: ChangeDirection,
    /// Why, in words.
    pub why: String,
}

/// What to change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// The grind.
    GrindSetting,
    /// Beverage mass over dose.
    BrewRatio,
    /// Temperature of the brew water.
    BrewTemperature,
    /// How the bed is distributed and tamped.
    BedPreparation,
    /// The beans.
    Beans,
    /// Nothing.
    Nothing,
}

/// Which way to change it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ChangeDirection {
    /// Finer.
    Finer,
    /// Coarser.
    Coarser,
    /// Higher.
    Higher,
    /// Lower.
    Lower,
    /// More even.
    MoreEven,
    /// Longer rested.
    Older,
    /// Fresher.
    Fresher,
    /// As it is.
    Keep,
}

/// Tastes that speak against one another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Contradiction {
    /// Stable code.
    pub code: ContradictionCode,
    /// What was made of it, in words.
    pub detail: String,
}

/// Tastes, or tastes and measurements, that speak against one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ContradictionCode {
    /// Sour and bitter together.
    SourAndBitter,
    /// Balanced beside tastes that are not.
    BalancedBesideOthers,
}
