//! What to mind about a drink, besides what the other calculations said.

use super::order::Order;
use crate::api::caution::{Caution, CautionCode, SCALDS_FROM_C};

/// Adds what only the whole drink raises.
pub(super) fn add(order: &mut Order<'_>, brew_c: f64, has_milk: bool) {
    if brew_c >= SCALDS_FROM_C {
        let served = Caution::from(CautionCode::ServedHot)
            .with("brew_temperature_c", brew_c)
            .with("scalds_from_c", SCALDS_FROM_C);
        order.add_caution(served);
    }
    if has_milk {
        order.add_caution(CautionCode::Scald.into());
    }
    order.add_caution(CautionCode::RecipeAllergens.into());
    order.add_caution(CautionCode::LocalFoodCode.into());
}
