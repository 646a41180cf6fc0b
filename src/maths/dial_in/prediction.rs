//! What the fit expects of a shot, and how far off that may be.

use super::fit::{DISSOLVED, Fit, PUCK_SPREAD, READINGS, TIME_S, as_readings, sensitivities};
use super::shot::{Modelled, PulledShot, Recipe};
use super::unknowns::{COUNT, PERMEABILITY, PERMEABILITY_SPREAD};
use crate::maths::error::MathsError;
use crate::maths::range::Range;
use crate::maths::uncertainty::normal;

/// Probabilities that an interval may be asked for.
pub const COVERAGE: Range = Range::new("coverage probability", 0.5, 0.99, "1");
/// Factor of the spread of strength and yield where the grind lies outside of those tried. Under
/// other physics than the model's, nominal intervals of 90 % held 75 to 78 % in trials with
/// synthetic shots: 1.645 standard deviations were really 1.15 to 1.23, so the spread is too small
/// by 1.34 to 1.43.
const OTHER_GRIND: f64 = 1.5;
/// The same where dose, ratio, temperature, basket or profile differ from those of the shots:
/// 58 % held, which is 0.806 standard deviations, so the spread is too small by 2.04.
const OTHER_RECIPE: f64 = 2.04;
/// Dose and ratio that count as the same, relative.
const SAME: f64 = 0.03;
/// Temperature that counts as the same, °C.
const SAME_C: f64 = 1.0;
/// Basket that counts as the same, mm.
const SAME_MM: f64 = 0.6;

/// A value and the interval that holds the next reading of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// What is expected.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// The same of another quantity that is in proportion.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            low: self.low * factor,
            high: self.high * factor,
        }
    }
}

/// What is expected of the next shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prediction {
    /// Pump on to pump off.
    pub shot_time_s: Interval,
    /// Dissolved solids over beverage; only where a strength was read.
    pub dissolved_fraction: Option<Interval>,
    /// Dissolved solids over dose; only where a strength was read.
    pub extraction_fraction: Option<Interval>,
    /// Pump on to the first drop.
    pub first_drop_s: Interval,
    /// Standard deviation of the logarithm of the shot time, by what it is made of.
    pub ln_time_spread: Spread,
    /// Standard deviations from the value to either end.
    pub coverage_factor: f64,
}

/// A standard deviation and what it is made of, in quadrature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// What the shots leave open of the unknowns.
    pub unknowns: f64,
    /// The next puck.
    pub puck: f64,
    /// Reading it.
    pub reading: f64,
    /// A factor of at least one on all, where the readings scatter or the model is far from home.
    pub widening: f64,
}

impl Spread {
    /// All together.
    #[must_use]
    pub fn whole(&self) -> f64 {
        let sum = self.unknowns * self.unknowns + self.puck * self.puck;
        self.widening * libm::sqrt(sum + self.reading * self.reading)
    }
}

impl Fit {
    /// What is expected of a shot: the posterior by linear propagation, the next puck and the
    /// reading together; none when it was cancelled. `expected_s` says how long the shot is
    /// simulated, `shots` are those of the fit.
    ///
    /// # Errors
    /// What the simulation finds wrong, [`MathsError::OutOfRange`] for a coverage outside
    /// [`COVERAGE`].
    pub fn prediction(
        &self,
        (recipe, expected_s): (&Recipe, f64),
        shots: &[PulledShot],
        coverage_probability: f64,
        cancel: &dyn Fn() -> bool,
    ) -> Result<Option<Prediction>, MathsError> {
        let k = normal::two_sided_quantile(COVERAGE.check(coverage_probability)?)?;
        let readings = |at: &_| {
            let modelled = Modelled::of(recipe, (at, &self.anchored), expected_s, cancel)?;
            Ok(modelled.as_ref().map(as_readings))
        };
        let Some((here, rises)) = sensitivities(&self.posterior.mode, readings)? else {
            return Ok(None);
        };
        let spread = |reading| self.spread(reading, here[0], &rises, widening(recipe, shots));
        let symmetric = |reading: usize| {
            let (value, half) = (here[reading], k * spread(reading).whole());
            Interval {
                value,
                low: (value - half).max(0.0),
                high: value + half,
            }
        };
        let dissolved = self.has_strength.then(|| symmetric(1));
        let ln_time_spread = spread(0);
        let apart = libm::exp(k * ln_time_spread.whole());
        let time_s = libm::exp(here[0]);
        Ok(Some(Prediction {
            shot_time_s: Interval {
                value: time_s,
                low: time_s / apart,
                high: time_s * apart,
            },
            dissolved_fraction: dissolved,
            extraction_fraction: dissolved.map(|interval| interval.times(recipe.brew_ratio())),
            first_drop_s: symmetric(2),
            ln_time_spread,
            coverage_factor: k,
        }))
    }

    /// Spread of one reading.
    fn spread(
        &self,
        reading: usize,
        ln_time: f64,
        rises: &[[f64; READINGS]; COUNT],
        widening: f64,
    ) -> Spread {
        let covariance = &self.posterior.covariance;
        let mut variance = 0.0;
        for (row, rise) in covariance.iter().zip(rises) {
            let along = row.iter().zip(rises);
            let product = along.fold(0.0, |sum, (c, other)| sum + c * other[reading]);
            variance += rise[reading] * product;
        }
        let puck = PUCK_SPREAD / PERMEABILITY_SPREAD;
        Spread {
            unknowns: libm::sqrt(variance.max(0.0)),
            puck: (puck * rises[PERMEABILITY][reading]).abs(),
            reading: match reading {
                0 => TIME_S / libm::exp(ln_time),
                1 => DISSOLVED,
                _ => TIME_S,
            },
            widening: self.scatter * if reading == 1 { widening } else { 1.0 },
        }
    }
}

/// Factor of the spread of the strength, by how far a recipe is from the shots.
fn widening(recipe: &Recipe, shots: &[PulledShot]) -> f64 {
    if !shots.iter().any(|shot| is_alike(&shot.recipe, recipe)) {
        OTHER_RECIPE
    } else if is_outside(recipe.setting, shots) {
        OTHER_GRIND
    } else {
        1.0
    }
}

/// Whether a setting lies outside of those of the shots.
#[must_use]
pub(super) fn is_outside(setting: f64, shots: &[PulledShot]) -> bool {
    let settings = shots.iter().map(|shot| shot.recipe.setting);
    let lowest = settings.clone().fold(f64::INFINITY, f64::min);
    let highest = settings.fold(f64::NEG_INFINITY, f64::max);
    !(lowest <= setting && setting <= highest)
}

/// Whether two recipes differ in nothing but the grind, as near as recipes are kept.
#[must_use]
pub(super) fn is_alike(a: &Recipe, b: &Recipe) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= SAME * b;
    let apart_c = (a.water_temperature.celsius() - b.water_temperature.celsius()).abs();
    let apart_mm = (a.basket_diameter.millimetres() - b.basket_diameter.millimetres()).abs();
    near(a.dose.grams(), b.dose.grams())
        && near(a.brew_ratio(), b.brew_ratio())
        && apart_c <= SAME_C
        && apart_mm <= SAME_MM
        && a.pressure_profile == b.pressure_profile
}

impl PulledShot {
    /// Whether a recipe's setting lies outside of those of the shots.
    #[must_use]
    pub fn is_beyond(recipe: &Recipe, shots: &[Self]) -> bool {
        is_outside(recipe.setting, shots)
    }

    /// Whether no shot was pulled by a recipe that differs in nothing but the grind.
    #[must_use]
    pub fn is_another_recipe(recipe: &Recipe, shots: &[Self]) -> bool {
        !shots.iter().any(|shot| is_alike(&shot.recipe, recipe))
    }
}
