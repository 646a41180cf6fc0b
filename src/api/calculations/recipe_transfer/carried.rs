//! The recipe carried over part by part, each by the calculation that knows it.

use super::basket::{Baskets, Ratios, baskets, ratios};
use super::request::{BrewSetUp, RecipeToCarry, RecipeTransferRequest, peak};
use super::shot_time::{Shot, Simulated, simulated};
use super::water::{Water, water};
use crate::api::calculation::Call;
use crate::api::calculations::shot_simulation::ProfileRequest;
use crate::api::problem::Problem;

/// Everything that the answer is told from.
pub(super) struct Carried<'r> {
    pub(super) recipe: &'r RecipeToCarry,
    pub(super) from: BrewSetUp,
    pub(super) to: BrewSetUp,
    pub(super) dose_g: f64,
    pub(super) baskets: Option<Baskets>,
    pub(super) ratios: Option<Ratios>,
    pub(super) water: Water,
    /// The recipe's profile as the new machine gives it.
    pub(super) profile: Option<ProfileRequest>,
}

impl<'r> Carried<'r> {
    /// The recipe on the new set-up, without its shot time.
    pub(super) fn of(request: &'r RecipeTransferRequest, call: &Call<'_>) -> Result<Self, Problem> {
        let recipe = &request.recipe;
        let (from, to) = request.set_ups();
        let asked = (call, request.workings);
        let baskets = baskets((&from, &to), recipe, asked)?;
        let dose_g = baskets.as_ref().map_or(recipe.dose_g, |b| b.dose_g);
        let ratios = ratios(recipe, dose_g, asked)?;
        let profile = held_down(recipe, &from, &to);
        let under_bar = to
            .brew_pressure_bar
            .or_else(|| profile.as_ref().map(peak))
            .filter(|bar| 0.0 < *bar);
        let water = water(&to, recipe, under_bar, asked)?;
        Ok(Self {
            recipe,
            from,
            to,
            dose_g,
            baskets,
            ratios,
            water,
            profile,
        })
    }

    /// Beverage on the new set-up.
    pub(super) fn beverage_mass_g(&self) -> Option<f64> {
        self.ratios.as_ref().map(|ratios| ratios.beverage_mass_g)
    }

    /// Pressure over time on the two set-ups, as far as it is known.
    pub(super) fn profiles(&self) -> (Option<ProfileRequest>, Option<ProfileRequest>) {
        let level = |bar: Option<f64>| {
            bar.map(|bar| ProfileRequest {
                time_s: vec![0.0],
                pressure_bar: vec![bar],
            })
        };
        let bar = (self.from.brew_pressure_bar, self.to.brew_pressure_bar);
        let old = self.recipe.pressure_profile.clone();
        (
            old.or_else(|| level(bar.0.or(bar.1))),
            self.profile.clone().or_else(|| level(bar.1)),
        )
    }

    /// Both shots as simulated, or why there are none.
    pub(super) fn simulated(&self, call: &Call<'_>) -> Result<Simulated, Problem> {
        let (old, new) = self.profiles();
        let old = Shot {
            dose_g: self.recipe.dose_g,
            beverage_mass_g: self.recipe.beverage_mass_g,
            temperature_c: self.water.wanted_c,
            profile: old,
        };
        let new = Shot {
            dose_g: self.dose_g,
            beverage_mass_g: self.beverage_mass_g(),
            temperature_c: self.water.carried_c,
            profile: new,
        };
        simulated(&[(old, &self.from), (new, &self.to)], call)
    }
}

/// The recipe's profile with no more pressure than the new machine gives. Where both machines
/// give the same, the profile stays as it is.
fn held_down(recipe: &RecipeToCarry, from: &BrewSetUp, to: &BrewSetUp) -> Option<ProfileRequest> {
    let profile = recipe.pressure_profile.clone()?;
    let is_same = from.brew_pressure_bar == to.brew_pressure_bar;
    let Some(most) = to.brew_pressure_bar.filter(|_| !is_same) else {
        return Some(profile);
    };
    let pressure_bar = profile.pressure_bar.iter().map(|bar| bar.min(most));
    Some(ProfileRequest {
        pressure_bar: pressure_bar.collect(),
        time_s: profile.time_s,
    })
}
