//! Published brewing-water profiles: dated data sets, none of them a constant of the service.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

/// Id of a published brewing-water profile, by publication and year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum WaterProfileId {
    /// The trade body's standard for brewing water, revision of 2009.
    Scaa2009,
    /// A later edition of 2018, known at second hand only.
    Sca2018,
}

/// A quantity that a profile limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ProfileQuantity {
    /// Total chlorine, mg/L.
    TotalChlorineMgPerL,
    /// Dissolved solids, mg/L.
    WaterTdsMgPerL,
    /// Calcium hardness, mg/L as calcium carbonate.
    CalciumHardnessMgPerLCaco3,
    /// Alkalinity, mg/L as calcium carbonate.
    AlkalinityMgPerLCaco3,
    /// pH.
    Ph,
    /// Sodium, mg/L.
    SodiumMgPerL,
}

/// Limits of one quantity in a profile.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct ProfileLimit {
    /// What is limited; its unit stands in its name.
    pub quantity: ProfileQuantity,
    /// Smallest value; the answers say how it was set where the profile gives a target alone.
    pub low: f64,
    /// Largest value.
    pub high: f64,
    /// Value to aim at; left out where the profile gives a range alone.
    pub target: Option<f64>,
    /// Whether the profile prints the range itself. Otherwise it says "at or near" the target, and
    /// a quarter of the target to either side is taken (assumed, no source).
    pub is_range_published: bool,
}

/// A published brewing-water profile.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct WaterProfile {
    /// Id, by publication and year.
    pub id: WaterProfileId,
    /// What it is.
    pub title: &'static str,
    /// Its limits.
    pub limits: &'static [ProfileLimit],
    /// Id of its source.
    pub source: &'static str,
    /// How it is known.
    pub known: &'static str,
}

/// Share of a target that "at or near" it allows to either side; assumed, no source.
const NEAR: f64 = 0.25;

const fn range(
    quantity: ProfileQuantity,
    low: f64,
    target: Option<f64>,
    high: f64,
) -> ProfileLimit {
    ProfileLimit {
        quantity,
        low,
        high,
        target,
        is_range_published: true,
    }
}

const fn near(quantity: ProfileQuantity, target: f64) -> ProfileLimit {
    ProfileLimit {
        quantity,
        low: target * (1.0 - NEAR),
        high: target * (1.0 + NEAR),
        target: Some(target),
        is_range_published: false,
    }
}

use ProfileQuantity as Q;

/// All profiles.
pub static ALL: [WaterProfile; 2] = [
    WaterProfile {
        id: WaterProfileId::Scaa2009,
        title: "Trade body's standard for brewing water, revision of 2009",
        limits: &[
            range(Q::TotalChlorineMgPerL, 0.0, Some(0.0), 0.0),
            range(Q::WaterTdsMgPerL, 75.0, Some(150.0), 250.0),
            range(Q::CalciumHardnessMgPerLCaco3, 17.0, Some(68.0), 85.0),
            near(Q::AlkalinityMgPerLCaco3, 40.0),
            range(Q::Ph, 6.5, Some(7.0), 7.5),
            near(Q::SodiumMgPerL, 10.0),
        ],
        source: "scaa-water",
        known: "limits read on the association's own page; year of the revision from memory",
    },
    WaterProfile {
        id: WaterProfileId::Sca2018,
        title: "Later edition of the trade body's recommendation, 2018",
        limits: &[
            range(Q::CalciumHardnessMgPerLCaco3, 50.0, None, 175.0),
            range(Q::AlkalinityMgPerLCaco3, 40.0, None, 70.0),
            range(Q::Ph, 6.0, None, 8.0),
        ],
        source: "sca-water",
        known: "read on a secondary page, weakly; year from memory",
    },
];

/// The profile with an id.
pub(crate) const fn of(id: WaterProfileId) -> &'static WaterProfile {
    match id {
        WaterProfileId::Scaa2009 => &ALL[0],
        WaterProfileId::Sca2018 => &ALL[1],
    }
}
