//! What to mind about steam, milk and those who drink it.

use super::balance::Balance;
use crate::api::caution::{Caution, CautionCode, SCALDS_FROM_C};

/// Above this a drink is very hot, °C. `[iarc2018]`
const VERY_HOT_ABOVE_C: f64 = 65.0;
/// Warmest that milk is held cold, °C. `[foodcode]`
const COLD_HOLDING_C: f64 = 5.0;

/// Whether the drink is very hot.
pub(super) fn is_very_hot(balance: &Balance) -> bool {
    balance.milk.end.celsius() > VERY_HOT_ABOVE_C
}

/// Everything to mind about an answer.
pub(super) fn of(balance: &Balance) -> Vec<Caution> {
    let milk = &balance.milk;
    let (start, end) = (milk.start.celsius(), milk.end.celsius());
    let hot = |code: CautionCode| Caution::from(code).with("final_temperature_c", end);
    let is_unknown = milk.composition.is_none() && !milk.has_own_capacity;
    let raised = [
        Some(hot(CautionCode::Burn).with("scalds_from_c", SCALDS_FROM_C)),
        Some(
            Caution::from(CautionCode::PressureVessel)
                .with("pressure_bar", balance.boiler.gauge.bar()),
        ),
        is_very_hot(balance)
            .then(|| hot(CautionCode::VeryHotDrink).with("very_hot_above_c", VERY_HOT_ABOVE_C)),
        (end >= SCALDS_FROM_C).then(|| hot(CautionCode::ChildServing)),
        Some(
            Caution::from(CautionCode::ColdHolding)
                .with("start_temperature_c", start)
                .with("cold_holding_c", COLD_HOLDING_C),
        ),
        Some(Caution::from(CautionCode::DoNotResteam)),
        Some(Caution::from(CautionCode::Allergens)),
        Some(Caution::from(CautionCode::LocalFoodCode)),
        is_unknown.then(|| Caution::from(CautionCode::MilkUnknown)),
        balance.place.high_altitude_caution(),
    ];
    raised.into_iter().flatten().collect()
}
