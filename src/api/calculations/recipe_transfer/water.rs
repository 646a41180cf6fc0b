//! The brew temperature that can be reached at the new place.

use super::inner::blamed;
use super::request::{BrewSetUp, RecipeToCarry};
use crate::api::both_scales::BothScales;
use crate::api::calculation::Call;
use crate::api::calculations::water_temperature::WaterTemperature;
use crate::api::calculations::water_temperature::WaterTemperatureRequest;
use crate::api::calculations::water_temperature::WaterTemperatureResponse;
use crate::api::compose::answer_of;
use crate::api::problem::Problem;
use crate::api::provenance::Answer;

/// The brew water on the new set-up.
pub(super) struct Water {
    /// Temperature of the recipe, °C.
    pub(super) wanted_c: f64,
    /// Temperature that is used, °C and °F.
    pub(super) carried_c: f64,
    pub(super) carried_f: f64,
    /// Pressure that holds the water, bar; none for an open kettle.
    pub(super) under_bar: Option<f64>,
    /// What the place says of the temperature used, where it is known.
    pub(super) place: Option<Answer<WaterTemperatureResponse>>,
}

impl Water {
    /// Whether the recipe's own temperature is reached; unknown without a place.
    pub(super) fn is_reachable(&self) -> Option<bool> {
        let is_as_wanted = self.wanted_c.total_cmp(&self.carried_c).is_eq();
        self.place.as_ref().map(|_| is_as_wanted)
    }
}

/// The brew water on the new set-up.
pub(super) fn water(
    to: &BrewSetUp,
    recipe: &RecipeToCarry,
    under_bar: Option<f64>,
    (call, workings): (&Call<'_>, Option<bool>),
) -> Result<Water, Problem> {
    let (celsius, fahrenheit) = recipe.temperature();
    if to.altitude_m.is_none() && to.altitude_ft.is_none() {
        let wanted = BothScales::given(
            ("recipe/brew_temperature_c", celsius),
            ("recipe/brew_temperature_f", fahrenheit),
        )?;
        let wanted = wanted.ok_or_else(|| Problem::internal("a recipe without a temperature"))?;
        return Ok(Water {
            wanted_c: wanted.celsius(),
            carried_c: wanted.celsius(),
            carried_f: wanted.fahrenheit,
            under_bar,
            place: None,
        });
    }
    let asked = |target_temperature_c, target_temperature_f| {
        let request = WaterTemperatureRequest {
            altitude_m: to.altitude_m,
            altitude_ft: to.altitude_ft,
            target_temperature_c,
            target_temperature_f,
            brew_pressure_bar: under_bar,
            workings,
            ..WaterTemperatureRequest::default()
        };
        answer_of::<WaterTemperature>(&request, call).map_err(|p| blamed(p, &FIELDS))
    };
    let wanted = asked(celsius, fahrenheit)?;
    let carried = match reachable(&wanted.result) {
        None => wanted.clone(),
        Some(highest_c) => asked(Some(highest_c), None)?,
    };
    Ok(Water {
        wanted_c: wanted.result.target_temperature_c,
        carried_c: carried.result.target_temperature_c,
        carried_f: carried.result.target_temperature_f,
        under_bar,
        place: Some(carried),
    })
}

const FIELDS: [(&str, &str); 5] = [
    ("/altitude_m", "/to/altitude_m"),
    ("/altitude_ft", "/to/altitude_ft"),
    ("/target_temperature_c", "/recipe/brew_temperature_c"),
    ("/target_temperature_f", "/recipe/brew_temperature_f"),
    ("/brew_pressure_bar", "/to/brew_pressure_bar"),
];

/// The temperature to take instead, where the one wanted is out of reach: as far below boiling
/// as the answer puts an open kettle.
fn reachable(wanted: &WaterTemperatureResponse) -> Option<f64> {
    if wanted.target_reachable_open || wanted.target_reachable_under_pressure == Some(true) {
        return None;
    }
    let kettle_c = wanted.recommended_open_kettle_temperature_c;
    let margin = wanted.boiling_point_c - kettle_c;
    let under = wanted.boiling_point_under_pressure_c;
    Some(under.map_or(kettle_c, |under| under - margin))
}
