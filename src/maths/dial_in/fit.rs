//! The fit: which unknowns the shots pulled so far speak for.

use super::dial::Dial;
use super::shot::{Modelled, PulledShot, Recipe};
use super::unknowns::{Anchored, COUNT, PERMEABILITY, PERMEABILITY_SPREAD, SLOPE, Unknowns};
use crate::maths::error::MathsError;
use crate::maths::numeric::gauss_newton::{Linearised, Posterior, Readings, posterior_mode};

/// Standard deviation of the logarithm of a puck's permeability from shot to shot; an
/// assumption, about 4 to 5 % of the shot time.
pub const PUCK_SPREAD: f64 = 0.05;
/// The same as a step of the permeability's unknown.
const PUCK_STEP: f64 = PUCK_SPREAD / PERMEABILITY_SPREAD;
/// Standard uncertainty of a time that a person reads, s; an assumption.
pub const TIME_S: f64 = 0.3;
/// Standard uncertainty of a strength that a refractometer reads, mass fraction; an assumption.
pub const DISSOLVED: f64 = 5e-4;
/// Step of the differences that sensitivities are taken from, in prior standard deviations:
/// short against any curvature, long against the jumps of a step count.
const DIFFERENCE: f64 = 0.1;
/// Shots of one fit.
pub const MOST_SHOTS: usize = 50;
/// A reading further off than this many standard deviations does not fit.
const ODD: f64 = 4.0;
/// Readings of one shot: time, strength, first drop.
pub(super) const READINGS: usize = 3;

/// The most probable unknowns, and how well the shots determine them.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    pub(super) anchored: Anchored,
    pub(super) posterior: Posterior<COUNT>,
    /// How much more the readings scatter than they should, as a factor of at least one.
    pub scatter: f64,
    /// Shots that do not fit the others, by place.
    pub odd: Vec<usize>,
    /// Whether a strength was read.
    pub has_strength: bool,
    /// Models of a shot that were run.
    pub runs: u64,
}

impl Fit {
    /// The unknowns that shots speak for, the last one being the shot to go on from; none when
    /// it was cancelled.
    ///
    /// Gauss–Newton on the fast model with independent normal priors. Readings of one shot share
    /// the difference of its puck, which acts like the permeability and is integrated out.
    ///
    /// # Errors
    /// What the simulation finds wrong with a shot, [`MathsError::OutOfRange`] for more than
    /// [`MOST_SHOTS`] or no shots.
    pub fn of(
        shots: &[PulledShot],
        dial: Dial,
        cancel: &dyn Fn() -> bool,
    ) -> Result<Option<Self>, MathsError> {
        dial.check()?;
        let Some(last) = shots.last().filter(|_| shots.len() <= MOST_SHOTS) else {
            return Err(MathsError::NoSolution {
                equation: "fit of pulled shots",
                reason: "it takes from 1 to 50 shots",
            });
        };
        let anchored = Anchored {
            dial,
            anchor: last.recipe.setting,
        };
        let mut pulled = Pulled {
            shots,
            anchored,
            weights: vec![Weight::default(); shots.len()],
            cancel,
            runs: 0,
        };
        let Some(posterior) = posterior_mode(&mut pulled)? else {
            return Ok(None);
        };
        let Some(odd) = pulled.odd(&posterior.mode)? else {
            return Ok(None);
        };
        Ok(Some(Self {
            anchored,
            posterior,
            scatter: scatter(posterior.sum_of_squares, count(shots)),
            odd,
            has_strength: shots.iter().any(|shot| shot.dissolved_fraction.is_some()),
            runs: pulled.runs,
        }))
    }

    /// Standard deviation of the dial's slope over that expected before any shot: near one where
    /// the shots say nothing of it.
    #[must_use]
    pub fn slope_left(&self) -> f64 {
        libm::sqrt(self.posterior.covariance[SLOPE][SLOPE])
    }

    /// Grind of one step by the fit, µm: effective, no property of the grinder.
    #[must_use]
    pub fn step_um(&self) -> f64 {
        self.anchored.um_per_unit(&self.posterior.mode) * self.anchored.dial.smallest_step
    }

    /// A shot by the fast model at the most probable unknowns; none when it was cancelled.
    ///
    /// # Errors
    /// What the simulation finds wrong.
    pub fn modelled(
        &self,
        recipe: &Recipe,
        expected_s: f64,
        cancel: &dyn Fn() -> bool,
    ) -> Result<Option<Modelled>, MathsError> {
        let with = (&self.posterior.mode, &self.anchored);
        Modelled::of(recipe, with, expected_s, cancel)
    }
}

/// How many readings the shots have.
fn count(shots: &[PulledShot]) -> u32 {
    shots.iter().fold(0, |sum, shot| {
        let more = [shot.dissolved_fraction, shot.first_drop_s];
        sum + 1 + more.iter().flatten().fold(0, |sum, _| sum + 1)
    })
}

/// A factor for spreads where readings scatter beyond chance. The sum of squares of readings and
/// prior is chi-squared with as many degrees of freedom as there are readings, so two standard
/// deviations of that are left to chance.
fn scatter(sum_of_squares: f64, readings: u32) -> f64 {
    let n = f64::from(readings);
    let by_chance = n + 2.0 * libm::sqrt(2.0 * n);
    libm::sqrt((sum_of_squares / by_chance).max(1.0))
}

/// A shot's inverse covariance: of single readings, less what they share by their puck.
#[derive(Debug, Clone, Copy, Default)]
struct Weight {
    /// One over the variance of each reading; zero where there is none.
    alone: [f64; READINGS],
    /// Weighted effect of one standard deviation of the puck on the readings.
    puck: [f64; READINGS],
    /// One over one more than the square of that effect.
    shared: f64,
}

impl Weight {
    /// `1/D`, for `D + u uᵀ` with the effect u of the puck: Sherman and Morrison.
    fn new(shot: &PulledShot, puck: &[f64; READINGS]) -> Self {
        let time = TIME_S / shot.shot_time_s;
        let inverse = |spread: f64| 1.0 / (spread * spread);
        let alone = [
            inverse(time),
            shot.dissolved_fraction.map_or(0.0, |_| inverse(DISSOLVED)),
            shot.first_drop_s.map_or(0.0, |_| inverse(TIME_S)),
        ];
        let mut weighted = *puck;
        for (weighted, alone) in weighted.iter_mut().zip(alone) {
            *weighted *= alone;
        }
        Self {
            alone,
            puck: weighted,
            shared: 1.0 / (1.0 + dot(&weighted, puck)),
        }
    }

    /// `aᵀ (D + u uᵀ)⁻¹ b`.
    fn product(&self, a: &[f64; READINGS], b: &[f64; READINGS]) -> f64 {
        let alone = (0..READINGS).fold(0.0, |sum, i| sum + self.alone[i] * a[i] * b[i]);
        alone - self.shared * dot(&self.puck, a) * dot(&self.puck, b)
    }
}

fn dot(a: &[f64; READINGS], b: &[f64; READINGS]) -> f64 {
    a.iter().zip(b).fold(0.0, |sum, (a, b)| sum + a * b)
}

struct Pulled<'a> {
    shots: &'a [PulledShot],
    anchored: Anchored,
    weights: Vec<Weight>,
    cancel: &'a dyn Fn() -> bool,
    runs: u64,
}

impl Pulled<'_> {
    fn modelled(
        &self,
        shot: &PulledShot,
        at: &Unknowns,
    ) -> Result<Option<[f64; READINGS]>, MathsError> {
        let with = (at, &self.anchored);
        let modelled = Modelled::of(&shot.recipe, with, shot.shot_time_s, self.cancel)?;
        Ok(modelled.as_ref().map(as_readings))
    }

    /// Places of the shots with a reading that is odd beside what the fit makes of it.
    fn odd(&self, mode: &Unknowns) -> Result<Option<Vec<usize>>, MathsError> {
        let mut odd = Vec::new();
        for (place, (shot, weight)) in self.shots.iter().zip(&self.weights).enumerate() {
            let Some(modelled) = self.modelled(shot, mode)? else {
                return Ok(None);
            };
            let residual = residual(shot, &modelled);
            // the square of the whole residual, of as many as three readings
            if weight.product(&residual, &residual) > ODD * ODD {
                odd.push(place);
            }
        }
        Ok(Some(odd))
    }
}

impl Readings<COUNT> for Pulled<'_> {
    fn linearised(&mut self, at: &Unknowns) -> Result<Option<Linearised<COUNT>>, MathsError> {
        let mut sum = Linearised {
            misfit: 0.0,
            pull: [0.0; COUNT],
            curvature: [[0.0; COUNT]; COUNT],
        };
        for (place, shot) in self.shots.iter().enumerate() {
            let sensitivities = sensitivities(at, |at| self.modelled(shot, at))?;
            let Some((modelled, rises)) = sensitivities else {
                return Ok(None);
            };
            self.runs += COUNT as u64 + 1;
            let puck = rises[PERMEABILITY].map(|rise| PUCK_STEP * rise);
            let weight = Weight::new(shot, &puck);
            let residual = residual(shot, &modelled);
            sum.misfit += weight.product(&residual, &residual);
            for (i, rise) in rises.iter().enumerate() {
                sum.pull[i] += weight.product(rise, &residual);
                for (j, other) in rises.iter().enumerate() {
                    sum.curvature[i][j] += weight.product(rise, other);
                }
            }
            self.weights[place] = weight;
        }
        Ok(Some(sum))
    }

    fn misfit(&self, at: &Unknowns) -> Result<Option<f64>, MathsError> {
        let mut misfit = 0.0;
        for (shot, weight) in self.shots.iter().zip(&self.weights) {
            let Some(modelled) = self.modelled(shot, at)? else {
                return Ok(None);
            };
            let residual = residual(shot, &modelled);
            misfit += weight.product(&residual, &residual);
        }
        Ok(Some(misfit))
    }
}

/// What the model says, in the order of the readings.
pub(super) const fn as_readings(modelled: &Modelled) -> [f64; READINGS] {
    [
        modelled.ln_time,
        modelled.dissolved_fraction,
        modelled.first_drop_s,
    ]
}

/// Reading less model; zero where nothing was read.
fn residual(shot: &PulledShot, modelled: &[f64; READINGS]) -> [f64; READINGS] {
    let less = |reading: Option<f64>, modelled: f64| reading.map_or(0.0, |r| r - modelled);
    [
        libm::log(shot.shot_time_s) - modelled[0],
        less(shot.dissolved_fraction, modelled[1]),
        less(shot.first_drop_s, modelled[2]),
    ]
}

/// Readings, and how each rises with each unknown.
pub(super) type Sensitivities = ([f64; READINGS], [[f64; READINGS]; COUNT]);

/// Readings at a point and their rise with each unknown, by one-sided differences towards
/// the prior mean, where the model is at home; none when cancelled.
pub(super) fn sensitivities(
    at: &Unknowns,
    readings: impl Fn(&Unknowns) -> Result<Option<[f64; READINGS]>, MathsError>,
) -> Result<Option<Sensitivities>, MathsError> {
    let Some(here) = readings(at)? else {
        return Ok(None);
    };
    let mut rises = [[0.0; READINGS]; COUNT];
    for (unknown, rise) in rises.iter_mut().enumerate() {
        let mut aside = *at;
        let step = if at[unknown] > 0.0 {
            -DIFFERENCE
        } else {
            DIFFERENCE
        };
        aside[unknown] += step;
        let Some(there) = readings(&aside)? else {
            return Ok(None);
        };
        for reading in 0..READINGS {
            rise[reading] = (there[reading] - here[reading]) / step;
        }
    }
    Ok(Some((here, rises)))
}
