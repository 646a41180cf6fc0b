//! How a water stands to a published profile.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::{BrewingWaterRequest, BrewingWaterResponse};
use crate::api::water::profiles::{self, ProfileLimit, ProfileQuantity, WaterProfileId};

/// One quantity against its limits in the profile.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ProfileCheck {
    /// What is checked; its unit stands in its name.
    pub quantity: ProfileQuantity,
    /// Value of this water.
    pub value: f64,
    /// Smallest value of the profile. Where it says "at or near" a target, a quarter of the
    /// target to either side is taken (assumed, no source).
    pub low: f64,
    /// Largest value of the profile.
    pub high: f64,
    /// Value to aim at; left out where the profile gives a range alone.
    pub target: Option<f64>,
    /// Whether the value lies inside, ends included.
    pub met: bool,
}

/// Every quantity of the profile that is known, and those that are not.
pub(super) fn check(
    id: WaterProfileId,
    request: &BrewingWaterRequest,
    response: &BrewingWaterResponse,
) -> (Vec<ProfileCheck>, Vec<ProfileQuantity>) {
    let (mut checked, mut missing) = (Vec::new(), Vec::new());
    for limit in profiles::of(id).limits {
        match value(limit.quantity, request, response) {
            Some(value) => checked.push(held(limit, value)),
            None => missing.push(limit.quantity),
        }
    }
    (checked, missing)
}

fn held(limit: &ProfileLimit, value: f64) -> ProfileCheck {
    ProfileCheck {
        quantity: limit.quantity,
        value,
        low: limit.low,
        high: limit.high,
        target: limit.target,
        met: limit.low <= value && value <= limit.high,
    }
}

fn value(
    quantity: ProfileQuantity,
    request: &BrewingWaterRequest,
    response: &BrewingWaterResponse,
) -> Option<f64> {
    match quantity {
        ProfileQuantity::TotalChlorineMgPerL => request.total_chlorine_mg_per_l,
        ProfileQuantity::WaterTdsMgPerL => response.water_tds_mg_per_l,
        ProfileQuantity::CalciumHardnessMgPerLCaco3 => {
            response.calcium_hardness.map(|h| h.mg_per_l_caco3)
        }
        ProfileQuantity::AlkalinityMgPerLCaco3 => response.alkalinity.map(|a| a.mg_per_l_caco3),
        ProfileQuantity::Ph => request.ph,
        ProfileQuantity::SodiumMgPerL => request.sodium_mg_per_l,
    }
}
