//! What to mind about a water.

use super::analysis::Analysis;
use super::response::SolidsFrom;
use super::{BrewingWaterRequest, BrewingWaterResponse};
use crate::api::caution::{Caution, CautionCode};
use crate::api::water::CHLORIDE_FROM;
use crate::maths::chemistry::equilibrium::CALCITE_FITTED;

/// Conductivity below which level probes may fail, µS/cm; common practice, no source.
const PROBE_BLIND_BELOW: f64 = 100.0;
/// Hardness below which a water is very soft, mg/L as calcium carbonate; assumed, no source.
const VERY_SOFT_BELOW: f64 = 30.0;
/// Ion balance that deserves doubt, percent; common practice, no source.
const BALANCE_OFF_ABOVE: f64 = 10.0;
/// Temperature from which boiler water is under pressure, °C.
const BOILS_ABOVE: f64 = 100.0;

/// Everything to mind about an answer.
pub(super) fn of(
    request: &BrewingWaterRequest,
    analysis: &Analysis,
    response: &BrewingWaterResponse,
) -> Vec<Caution> {
    let cycles = request.boiler_cycles_of_concentration.unwrap_or(1.0);
    let chloride = request.chloride_mg_per_l.map(|chloride| chloride * cycles);
    let has_bound = analysis.is_calcium_bound && response.scale_bound_mg_per_l.is_some();
    let is_from_meter = response.water_tds_from == Some(SolidsFrom::Conductivity);
    let raised = [
        soft(request, response),
        chloride.filter(|c| *c >= CHLORIDE_FROM).map(|c| {
            Caution::from(CautionCode::ChlorideCorrosion)
                .with("chloride_mg_per_l", c)
                .with("from_mg_per_l", CHLORIDE_FROM)
        }),
        extrapolated(request, response),
        heated(request, response),
        has_bound.then(|| CautionCode::CalciumFromHardness.into()),
        response
            .tds_factor
            .filter(|_| is_from_meter)
            .map(|f| Caution::from(CautionCode::TdsConvention).with("tds_factor", f)),
        balance(response),
        request
            .boiler_temperature_c
            .filter(|t| *t > BOILS_ABOVE)
            .map(|t| Caution::from(CautionCode::PressureVessel).with("boiler_temperature_c", t)),
    ];
    raised.into_iter().flatten().collect()
}

fn soft(request: &BrewingWaterRequest, response: &BrewingWaterResponse) -> Option<Caution> {
    let caution = Caution::from(CautionCode::LevelProbeLowMineral);
    if let Some(meter) = request.conductivity_us_per_cm {
        return (meter < PROBE_BLIND_BELOW).then(|| {
            caution
                .with("conductivity_us_per_cm", meter)
                .with("below", PROBE_BLIND_BELOW)
        });
    }
    let hardness = response.total_hardness?.mg_per_l_caco3;
    (hardness < VERY_SOFT_BELOW).then(|| {
        caution
            .with("total_hardness_mg_per_l_caco3", hardness)
            .with("below", VERY_SOFT_BELOW)
    })
}

fn extrapolated(request: &BrewingWaterRequest, response: &BrewingWaterResponse) -> Option<Caution> {
    let water = response
        .saturation_index
        .map(|_| response.water_temperature_c);
    let boiler = response
        .boiler_saturation_index
        .and(request.boiler_temperature_c);
    let hottest = water.into_iter().chain(boiler).fold(f64::MIN, f64::max);
    (hottest > CALCITE_FITTED.max).then(|| {
        Caution::from(CautionCode::Extrapolated)
            .with("temperature_c", hottest)
            .with("fitted_to_c", CALCITE_FITTED.max)
    })
}

fn heated(request: &BrewingWaterRequest, response: &BrewingWaterResponse) -> Option<Caution> {
    response.boiler_saturation_index?;
    if request.boiler_ph.is_some() {
        return None;
    }
    let caution = Caution::from(CautionCode::PhWhenHeated);
    Some(match request.ph {
        Some(ph) => caution.with("ph", ph),
        None => caution,
    })
}

fn balance(response: &BrewingWaterResponse) -> Option<Caution> {
    let percent = response.ion_balance_percent?;
    let code = if response.ions_not_known.is_some() {
        CautionCode::IonBalanceIncomplete
    } else if libm::fabs(percent) > BALANCE_OFF_ABOVE {
        CautionCode::IonBalanceOff
    } else {
        return None;
    };
    Some(Caution::from(code).with("ion_balance_percent", percent))
}
