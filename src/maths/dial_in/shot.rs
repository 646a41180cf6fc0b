//! A shot by its recipe, as it was pulled and as the fast model has it.

use super::unknowns::{Anchored, Unknowns};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Length, Mass, Temperature};
use crate::maths::range::Range;
use crate::maths::simulation::{
    Bed, Outcome, PressureProfile, Resolution, Shot, flow::flux, run_bed,
};

/// Cells of the fast model; more for a deep bed of fine grains, up to [`MOST_CELLS`].
const CELLS: f64 = 30.0;
/// Cells of the fast model at most.
pub const MOST_CELLS: u32 = 60;
/// Diffusion modes of the fast model.
const MODES: u32 = 4;
/// Shortest time step of the fast model, s.
const STEP_S: f64 = 0.5;
/// Time steps of one run at most, besides one for each cell.
pub const MOST_STEPS: u32 = 300;
/// Shots that take longer than this times what is expected are not simulated to their end.
const PATIENCE: f64 = 2.5;
/// And not within these first seconds of a slow shot.
const PATIENCE_S: f64 = 20.0;
/// The longest shot time that is told from an endless one, s.
const LONGEST_S: f64 = 1e4;

/// What is set before a shot is pulled, and the beverage at which it is stopped.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// The grinder's setting.
    pub setting: f64,
    /// Dry coffee; inside [`Shot::DOSE`].
    pub dose: Mass,
    /// Inner diameter of the basket.
    pub basket_diameter: Length,
    /// Beverage in the cup; inside [`Shot::TARGET_BEVERAGE`].
    pub beverage: Mass,
    /// Temperature of the water; inside [`Shot::WATER_TEMPERATURE`].
    pub water_temperature: Temperature,
    /// Gauge pressure over time.
    pub pressure_profile: PressureProfile,
}

impl Recipe {
    /// Times from pump on to pump off that shots are fitted with.
    pub const SHOT_TIME: Range = Range::new("shot time", 3.0, 180.0, "s");

    /// Beverage over dose.
    #[must_use]
    pub fn brew_ratio(&self) -> f64 {
        self.beverage.grams() / self.dose.grams()
    }
}

/// A shot that was pulled, and what was read of it.
#[derive(Debug, Clone, PartialEq)]
pub struct PulledShot {
    /// What was set, and the beverage weighed.
    pub recipe: Recipe,
    /// Pump on to pump off, s; inside [`Recipe::SHOT_TIME`].
    pub shot_time_s: f64,
    /// Dissolved solids over beverage, mass fraction.
    pub dissolved_fraction: Option<f64>,
    /// Pump on to the first drop, s.
    pub first_drop_s: Option<f64>,
}

/// What the model says of a shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Modelled {
    /// Logarithm of the time to the beverage, in s.
    pub ln_time: f64,
    /// Dissolved solids over beverage, mass fraction.
    pub dissolved_fraction: f64,
    /// Pump on to the first drop, s.
    pub first_drop_s: f64,
}

impl Modelled {
    /// A shot by the fast model; none when it was cancelled. `expected_s` says how long to wait
    /// for the beverage; a shot that takes much longer is put down by Darcy's law.
    ///
    /// # Errors
    /// What [`run_bed`] finds wrong.
    pub fn of(
        recipe: &Recipe,
        (unknowns, anchored): (&Unknowns, &Anchored),
        expected_s: f64,
        cancel: &dyn Fn() -> bool,
    ) -> Result<Option<Self>, MathsError> {
        let duration_s = (PATIENCE * expected_s + PATIENCE_S).min(Shot::DURATION.max);
        let shot = Shot {
            dose: recipe.dose,
            basket_diameter: recipe.basket_diameter,
            grind_diameter_um: anchored.modelled_grind_um(recipe.setting, unknowns),
            water_temperature: recipe.water_temperature,
            pressure_profile: recipe.pressure_profile.clone(),
            target_beverage: recipe.beverage,
            duration_s,
            sample_times_s: Vec::new(),
        };
        let bed = Bed::new(&shot, &anchored.parameters(unknowns)?)?;
        let outcome = run_bed(&bed, &shot, resolution(&bed, duration_s), cancel)?;
        // a short shot ends before it asks
        if cancel() {
            return Ok(None);
        }
        let endless = || endless(&bed, &shot);
        Ok(Some(Self {
            ln_time: match outcome.time_to_target_s {
                Some(time_s) => libm::log(time_s),
                None => endless()?,
            },
            dissolved_fraction: dissolved(&outcome),
            first_drop_s: outcome.first_drop_s.unwrap_or(duration_s),
        }))
    }
}

fn resolution(bed: &Bed, duration_s: f64) -> Resolution {
    let smooth = libm::ceil(bed.depth_m / (2.0 * bed.dispersivity_m));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 30 and 60"
    )]
    let cells = smooth.clamp(CELLS, f64::from(MOST_CELLS)) as u32;
    Resolution {
        cells,
        modes: MODES,
        step_s: STEP_S.max(duration_s / f64::from(MOST_STEPS)),
    }
}

fn dissolved(outcome: &Outcome) -> f64 {
    let cup = outcome.at_target.unwrap_or(outcome.end);
    cup.dissolved_fraction
}

/// Logarithm of the time of a shot that did not end: half the wetting and all the beverage at
/// the steady flux of the unextracted bed. Coarse, but it falls as permeability grows, which is
/// what leads a fit back.
fn endless(bed: &Bed, shot: &Shot) -> Result<f64, MathsError> {
    let pressure_pa = shot.pressure_profile.highest_pa();
    let flux_m_per_s = flux(bed, pressure_pa, bed.viscosity_pa_s * bed.depth_m)?;
    let beverage_kg_per_m2 = shot.target_beverage.grams() * 1e-3 / bed.area_m2;
    let column_m =
        0.5 * bed.wetting * bed.depth_m + beverage_kg_per_m2 / bed.water_density_kg_per_m3;
    let time_s = column_m / flux_m_per_s.max(column_m / LONGEST_S);
    Ok(libm::log(time_s.max(shot.duration_s)))
}
