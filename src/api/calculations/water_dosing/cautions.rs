//! What to mind about dosed water.

use super::{WaterDosingRequest, WaterDosingResponse};
use crate::api::caution::{Caution, CautionCode};
use crate::api::water::{CHLORIDE_FROM, SODIUM_NEAR};

/// Everything to mind about an answer.
pub(super) fn of(request: &WaterDosingRequest, response: &WaterDosingResponse) -> Vec<Caution> {
    let (water, added) = (&response.water, &response.added);
    let sodium = water.sodium_mg_per_l.or(added.sodium_mg_per_l);
    let has_salty = added.sodium_mg_per_l > Some(0.0) && sodium > Some(SODIUM_NEAR);
    let has_exceeded = response
        .exceeded
        .as_ref()
        .is_some_and(|all| !all.is_empty());
    let side = Caution::from(CautionCode::SideIons);
    let chloride = water.chloride_mg_per_l.or(added.chloride_mg_per_l);
    let raised = [
        Some(CautionCode::FoodGradeSalts.into()),
        request
            .concentrate_dose_ml
            .map(|_| CautionCode::LabelConcentrates.into()),
        (!response.missed.is_empty()).then(|| CautionCode::TargetMissed.into()),
        (has_salty || has_exceeded).then(|| match sodium {
            Some(sodium) => side.with("sodium_mg_per_l", sodium),
            None => side,
        }),
        chloride.filter(|c| *c >= CHLORIDE_FROM).map(|c| {
            Caution::from(CautionCode::ChlorideCorrosion)
                .with("chloride_mg_per_l", c)
                .with("from_mg_per_l", CHLORIDE_FROM)
        }),
    ];
    raised.into_iter().flatten().collect()
}
