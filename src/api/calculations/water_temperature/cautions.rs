//! What to mind about the water at a place.

use super::WaterTemperatureResponse;
use crate::api::caution::{Caution, CautionCode, SCALDS_FROM_C};
use crate::api::place::{KnownBy, Place, WEATHER_SPREAD_HPA};
use crate::maths::quantity::GaugePressure;

/// Altitude above which a reduction to sea level is uncertain, m. `[wmo8]`, from memory
const REDUCTION_UNCERTAIN_ABOVE: f64 = 750.0;

/// Everything to mind about an answer.
pub(super) fn of(
    place: &Place,
    gauge: Option<GaugePressure>,
    response: &WaterTemperatureResponse,
) -> Vec<Caution> {
    let height_m = place.known.height().map(|height| height.metres);
    let (target, boiling) = (response.target_temperature_c, response.boiling_point_c);
    let is_reduced = matches!(place.known, KnownBy::SeaLevel(..));
    let raised = [
        (target >= SCALDS_FROM_C).then(|| {
            Caution::from(CautionCode::HotWater)
                .with("target_temperature_c", target)
                .with("scalds_from_c", SCALDS_FROM_C)
        }),
        (!response.target_reachable_open).then(|| {
            Caution::from(CautionCode::Superheated)
                .with("target_temperature_c", target)
                .with("boiling_point_c", boiling)
                .with("flash_percent", response.flash_percent)
        }),
        gauge.map(|gauge| {
            Caution::from(CautionCode::PressureVessel).with("brew_pressure_bar", gauge.bar())
        }),
        place.high_altitude_caution(),
        height_m
            .filter(|m| is_reduced && *m > REDUCTION_UNCERTAIN_ABOVE)
            .map(|m| Caution::from(CautionCode::SeaLevelReduction).with("altitude_m", m)),
        response.boiling_point_uncertainty_c.map(|uncertainty| {
            Caution::from(CautionCode::PressureFromAltitude)
                .with("weather_spread_hpa", WEATHER_SPREAD_HPA)
                .with("boiling_point_uncertainty_c", uncertainty)
        }),
    ];
    raised.into_iter().flatten().collect()
}
