//! A recipe and two set-ups, and what is known of each of them.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::calculations::shot_simulation::ProfileRequest;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::quantity::GaugePressure;
use crate::maths::simulation::PressureProfile;

/// A recipe, the set-up that it was made on, and the one that it goes to.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RecipeTransferRequest {
    /// The set-up that the recipe was made on.
    pub from: BrewSetUp,
    /// The set-up that it goes to. What only one of the two set-ups names is the same in both,
    /// but for `brew_pressure_bar`, and for a stamped dose where the diameters differ.
    pub to: BrewSetUp,
    /// The recipe.
    pub recipe: RecipeToCarry,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Basket, place, machine, grind and cup, as far as they are known.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BrewSetUp {
    /// Inner diameter of the basket.
    pub basket_diameter_mm: Option<f64>,
    /// Dose stamped on the basket.
    pub rated_dose_g: Option<f64>,
    /// Altitude of the place above mean sea level.
    pub altitude_m: Option<f64>,
    /// Altitude of the place above mean sea level.
    pub altitude_ft: Option<f64>,
    /// Most pressure under which the water is held and pressed through the coffee, above the
    /// air around it, as a machine's gauge shows it. Left out: an open kettle, unless the recipe
    /// has a pressure profile.
    pub brew_pressure_bar: Option<f64>,
    /// Diameter of the coarse grains; where it is known the shot time is simulated.
    pub grind_diameter_um: Option<f64>,
    /// Volume of the cup up to its rim.
    pub cup_ml: Option<f64>,
}

/// What is brewed.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RecipeToCarry {
    /// Dry coffee.
    pub dose_g: f64,
    /// Beverage in the cup.
    pub beverage_mass_g: Option<f64>,
    /// From pump on to pump off.
    pub shot_time_s: Option<f64>,
    /// Temperature of the brew water. Default 93 (common practice, no source).
    pub brew_temperature_c: Option<f64>,
    /// Temperature of the brew water, in degrees Fahrenheit.
    pub brew_temperature_f: Option<f64>,
    /// Strength of the beverage, which the carried recipe keeps as its aim.
    pub tds_percent: Option<f64>,
    /// Pressure of the pump over time. Where it is left out, a machine is taken to hold its
    /// `brew_pressure_bar` all the time.
    pub pressure_profile: Option<ProfileRequest>,
}

/// Target when the recipe names none, °C; common practice, no source.
const USUAL_TEMPERATURE: f64 = 93.0;

impl RecipeToCarry {
    /// The temperature as it was given, in degrees Celsius or Fahrenheit; one of the two.
    pub(super) fn temperature(&self) -> (Option<f64>, Option<f64>) {
        match self.brew_temperature_f {
            Some(fahrenheit) => (None, Some(fahrenheit)),
            None => (
                Some(self.brew_temperature_c.unwrap_or(USUAL_TEMPERATURE)),
                None,
            ),
        }
    }
}

/// Highest pressure of a profile, bar.
pub(super) fn peak(profile: &ProfileRequest) -> f64 {
    profile.pressure_bar.iter().copied().fold(0.0, f64::max)
}

impl RecipeTransferRequest {
    /// Refuses what bounds cannot express, all at once.
    pub(super) fn check(&self) -> Result<(), Problem> {
        let recipe = &self.recipe;
        let mut faults = Vec::new();
        for (place, set_up) in [("from", &self.from), ("to", &self.to)] {
            let both = (set_up.altitude_m, set_up.altitude_ft);
            faults.extend(twice(both, place, ["altitude_m", "altitude_ft"]));
        }
        let both = (recipe.brew_temperature_c, recipe.brew_temperature_f);
        let names = ["brew_temperature_c", "brew_temperature_f"];
        faults.extend(twice(both, "recipe", names));
        if let Some(profile) = &recipe.pressure_profile {
            faults.extend(profile_faults(profile));
        }
        if faults.is_empty() {
            Ok(())
        } else {
            Err(Problem::invalid(faults))
        }
    }

    /// Both set-ups, each with what only the other one names.
    pub(super) fn set_ups(&self) -> (BrewSetUp, BrewSetUp) {
        (
            completed(&self.from, &self.to),
            completed(&self.to, &self.from),
        )
    }
}

/// The faults of two fields that say the same thing in two units.
fn twice(both: (Option<f64>, Option<f64>), place: &str, names: [&str; 2]) -> Vec<Fault> {
    if both.0.is_none() || both.1.is_none() {
        return Vec::new();
    }
    let detail = format!("give at most one of `{}` and `{}`", names[0], names[1]);
    let fault = |name| {
        Fault::new(
            format!("/{place}/{name}"),
            FaultCode::Contradictory,
            detail.clone(),
        )
    };
    names.into_iter().map(fault).collect()
}

fn profile_faults(profile: &ProfileRequest) -> Vec<Fault> {
    let ProfileRequest {
        time_s,
        pressure_bar,
    } = profile;
    if time_s.len() != pressure_bar.len() {
        let (times, pressures) = (time_s.len(), pressure_bar.len());
        return vec![Fault::new(
            "/recipe/pressure_profile/pressure_bar",
            FaultCode::Inconsistent,
            format!("{pressures} pressures stand against {times} times"),
        )];
    }
    let points = time_s.iter().zip(pressure_bar);
    let points: Result<Vec<_>, _> = points
        .map(|(time, bar)| Ok((*time, GaugePressure::from_bar(*bar)?)))
        .collect();
    let profile = points
        .and_then(|points| PressureProfile::new(&points))
        .at("recipe/pressure_profile/time_s");
    profile.err().map_or_else(Vec::new, |e| e.faults().to_vec())
}

/// A set-up with what only the other one names.
fn completed(own: &BrewSetUp, other: &BrewSetUp) -> BrewSetUp {
    let is_same_basket = match (own.basket_diameter_mm, other.basket_diameter_mm) {
        (Some(own), Some(other)) => own.total_cmp(&other).is_eq(),
        (None, _) | (_, None) => true,
    };
    let has_place = own.altitude_m.is_some() || own.altitude_ft.is_some();
    let place = if has_place { own } else { other };
    BrewSetUp {
        basket_diameter_mm: own.basket_diameter_mm.or(other.basket_diameter_mm),
        rated_dose_g: own
            .rated_dose_g
            .or(other.rated_dose_g.filter(|_| is_same_basket)),
        altitude_m: place.altitude_m,
        altitude_ft: place.altitude_ft,
        brew_pressure_bar: own.brew_pressure_bar,
        grind_diameter_um: own.grind_diameter_um.or(other.grind_diameter_um),
        cup_ml: own.cup_ml.or(other.cup_ml),
    }
}
