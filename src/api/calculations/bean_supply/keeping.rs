//! What storage and grinding do to the coffee of a request.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::BeanSupplyRequest;
use crate::api::both_scales::BothScales;
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::maths::chemistry::rates::q10_of;
use crate::maths::quantity::Temperature;
use crate::maths::supply::degassing::{CO2_DIFFUSIVITY, gas_left};
use crate::maths::supply::storage::{
    ACTIVATION_ENERGY_KJ_PER_MOL, ageing_factor, equivalent_age_days,
};

/// Temperature to compare with when none is given, °C: a room. `[freshness-practice]`
const ROOM_C: f64 = 20.0;

/// Carbon dioxide left in ground coffee, as a share of what it held when it was ground.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GasLeft {
    /// With the highest published diffusivity.
    #[schema(extensions(("x-unit" = json!("%"))))]
    pub low: f64,
    /// With the lowest published diffusivity.
    #[schema(extensions(("x-unit" = json!("%"))))]
    pub high: f64,
}

/// Storage at one temperature against another.
#[derive(Clone, Copy)]
pub(super) struct Storage {
    pub(super) storage: BothScales,
    pub(super) reference: BothScales,
    pub(super) ageing_factor: f64,
    pub(super) equivalent_age_days: f64,
    pub(super) q10: f64,
}

impl Storage {
    /// The storage of a request; none when it names no temperature.
    ///
    /// # Errors
    /// A [`Problem`] at the temperature for which no energy is published.
    pub(super) fn of(request: &BeanSupplyRequest, age_days: f64) -> Result<Option<Self>, Problem> {
        let storage = BothScales::given(
            ("storage_temperature_c", request.storage_temperature_c),
            ("storage_temperature_f", request.storage_temperature_f),
        )?;
        let Some(storage) = storage else {
            return Ok(None);
        };
        let reference = BothScales::given(
            ("reference_temperature_c", request.reference_temperature_c),
            ("reference_temperature_f", request.reference_temperature_f),
        )?;
        let reference = match reference {
            Some(reference) => reference,
            None => Temperature::from_celsius(ROOM_C)?.into(),
        };
        let factor = ageing_factor(storage.temperature, reference.temperature)
            .at(storage.field("storage_temperature_c", "storage_temperature_f"))?;
        Ok(Some(Self {
            storage,
            reference,
            ageing_factor: factor,
            equivalent_age_days: equivalent_age_days(&[(factor, age_days)]),
            q10: q10_of(ACTIVATION_ENERGY_KJ_PER_MOL, reference.temperature)?,
        }))
    }
}

/// The gas left in the ground coffee of a request; none when it names none.
///
/// # Errors
/// None for a request inside its bounds.
pub(super) fn gas(request: &BeanSupplyRequest) -> Result<Option<GasLeft>, Problem> {
    let (Some(diameter_um), Some(hours)) =
        (request.grind_diameter_um, request.since_grinding_hours)
    else {
        return Ok(None);
    };
    let left = |diffusivity| {
        gas_left(diffusivity, 3600.0 * hours, 0.5e-6 * diameter_um)
            .map(|share| 100.0 * share)
            .at("grind_diameter_um")
    };
    Ok(Some(GasLeft {
        low: left(CO2_DIFFUSIVITY.max)?,
        high: left(CO2_DIFFUSIVITY.min)?,
    }))
}
