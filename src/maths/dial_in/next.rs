//! The next shot: the smallest change that is expected to reach the target.

use super::fit::Fit;
use super::search::Search;
use super::shot::{Modelled, Recipe};
use crate::maths::error::MathsError;
use crate::maths::quantity::Mass;
use crate::maths::simulation::Shot;

/// What can be changed, in the order in which it is tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// The grinder's setting.
    Grind,
    /// Beverage in the cup.
    Beverage,
    /// Dry coffee.
    Dose,
    /// Temperature of the water.
    Temperature,
}

impl Change {
    /// All of them.
    pub const ALL: [Self; WAYS] = [Self::Grind, Self::Beverage, Self::Dose, Self::Temperature];
    /// Changes that weigh alike: µm of grind, g of beverage, g of dose, °C; a choice of ours.
    pub(super) const ALIKE: [f64; WAYS] = [15.0, 2.0, 0.5, 1.0];
    /// Steps that a scale and a machine can be set to: none for the grind, which has its dial.
    pub(super) const STEPS: [f64; WAYS] = [0.0, 0.1, 0.1, 0.5];
}

pub(super) const WAYS: usize = 4;
/// How far each may be changed, in [`Change::ALIKE`]: a change beyond is no small one any more.
pub(super) const FARTHEST: [f64; WAYS] = [10.0, 10.0, 6.0, 6.0];

/// What the next shot should be.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Aims {
    /// Pump on to pump off, s.
    pub shot_time_s: Option<f64>,
    /// Dissolved solids over beverage.
    pub dissolved_fraction: Option<f64>,
    /// Dissolved solids over dose.
    pub extraction_fraction: Option<f64>,
    /// Beverage over dose.
    pub brew_ratio: Option<f64>,
}

impl Aims {
    /// How near to the shot time is there, s.
    pub const TIME_S: f64 = 1.0;
    /// How near to the strength is there, mass fraction.
    pub const DISSOLVED: f64 = 2e-3;
    /// How near to the yield is there, mass fraction.
    pub const EXTRACTION: f64 = 4e-3;

    /// Distance from each aim, in what is near enough.
    pub(super) fn residuals(&self, recipe: &Recipe, modelled: &Modelled) -> [f64; 3] {
        let dissolved = modelled.dissolved_fraction;
        let time = |aim: f64| (modelled.ln_time - libm::log(aim)) * aim / Self::TIME_S;
        let strength = |aim: f64| (dissolved - aim) / Self::DISSOLVED;
        let extraction = |aim: f64| (dissolved * recipe.brew_ratio() - aim) / Self::EXTRACTION;
        [
            self.shot_time_s.map_or(0.0, time),
            self.dissolved_fraction.map_or(0.0, strength),
            self.extraction_fraction.map_or(0.0, extraction),
        ]
    }
}

/// What may be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Whether each of [`Change::ALL`] may be.
    pub may: [bool; WAYS],
}

/// The next shot.
#[derive(Debug, Clone, PartialEq)]
pub struct Next {
    /// What to set, and where to stop.
    pub recipe: Recipe,
    /// Largest distance from an aim, in what is near enough; at most one when all are reached.
    pub distance: f64,
    /// Whether the ratio aimed at is met.
    pub has_ratio: bool,
}

impl Fit {
    /// The recipe nearest to `last` that is expected to reach the aims, or comes nearest to them;
    /// none when it was cancelled. It lands on a step of the dial.
    ///
    /// First one thing is changed, then two, and so on; the first number of changes that reaches
    /// the aims is kept, and of its recipes the one with the least change.
    ///
    /// # Errors
    /// What the simulation finds wrong.
    pub fn next(
        &self,
        last: &Recipe,
        (aims, limits): (Aims, Limits),
        expected_s: f64,
        cancel: &dyn Fn() -> bool,
    ) -> Result<Option<Next>, MathsError> {
        let Based {
            base,
            may,
            is_tied,
            has_ratio,
        } = based(&self.on_a_step(last), &aims, limits)?;
        let search = Search {
            fit: self,
            base,
            aims,
            is_tied,
            expected_s,
            cancel,
        };
        let Some(mut best) = search.tried([0.0; WAYS])? else {
            return Ok(None);
        };
        for count in 1..=WAYS {
            if best.distance() <= 1.0 {
                break;
            }
            for set in sets(&may, count) {
                let Some(tried) = search.solved(&set)? else {
                    return Ok(None);
                };
                if tried.beats(&best) {
                    best = tried;
                }
            }
        }
        Ok(Some(Next {
            distance: best.distance(),
            recipe: best.recipe,
            has_ratio,
        }))
    }
}

impl Fit {
    fn on_a_step(&self, last: &Recipe) -> Recipe {
        Recipe {
            setting: self.anchored.dial.nearest_step(last.setting),
            ..last.clone()
        }
    }
}

struct Based {
    base: Recipe,
    may: [bool; WAYS],
    is_tied: bool,
    has_ratio: bool,
}

/// The last recipe brought to the ratio aimed at by what may be changed, the beverage before the
/// dose; and what may be changed beyond that.
fn based(last: &Recipe, aims: &Aims, limits: Limits) -> Result<Based, MathsError> {
    let mut base = last.clone();
    let [grind, beverage, dose, temperature] = limits.may;
    let Some(ratio) = aims.brew_ratio else {
        let may = limits.may;
        return Ok(Based {
            base,
            may,
            is_tied: false,
            has_ratio: true,
        });
    };
    let mut has_ratio = true;
    if beverage {
        base.beverage = Mass::from_grams(rounded(ratio * base.dose.grams(), 0.1))?;
    } else if dose {
        base.dose = Mass::from_grams(rounded(base.beverage.grams() / ratio, 0.1))?;
    } else {
        has_ratio = (base.brew_ratio() - ratio).abs() <= 0.05;
    }
    Shot::TARGET_BEVERAGE.check(base.beverage.grams())?;
    Shot::DOSE.check(base.dose.grams())?;
    let is_tied = beverage && dose;
    let may = [grind, false, is_tied, temperature];
    Ok(Based {
        base,
        may,
        is_tied,
        has_ratio,
    })
}

/// All choices of so many of what may be changed.
fn sets(may: &[bool; WAYS], count: usize) -> Vec<[bool; WAYS]> {
    (0_u8..1 << WAYS)
        .map(|bits| [0, 1, 2, 3].map(|way| bits >> way & 1 == 1))
        .filter(|set| set.iter().filter(|is_in| **is_in).count() == count)
        .filter(|set| set.iter().zip(may).all(|(is_in, may)| *may || !is_in))
        .collect()
}

pub(super) fn rounded(value: f64, step: f64) -> f64 {
    const DECIMALS: f64 = 1e9;
    libm::round(libm::round(value / step) * step * DECIMALS) / DECIMALS
}
