//! The search: how far each set of changes comes towards the aims.

use super::fit::Fit;
use super::next::{Aims, Change, FARTHEST, WAYS, rounded};
use super::shot::Recipe;
use crate::maths::error::MathsError;
use crate::maths::numeric::cholesky::Cholesky;
use crate::maths::quantity::{Mass, Temperature};
use crate::maths::simulation::Shot;

/// A change of each kind, in [`Change::ALIKE`].
pub(super) type Point = [f64; WAYS];

pub(super) struct Search<'a> {
    pub(super) fit: &'a Fit,
    pub(super) base: Recipe,
    pub(super) aims: Aims,
    /// Whether the beverage follows the dose.
    pub(super) is_tied: bool,
    pub(super) expected_s: f64,
    pub(super) cancel: &'a dyn Fn() -> bool,
}

/// A point tried: its recipe and the distances from the aims.
#[derive(Clone)]
pub(super) struct Tried {
    pub(super) point: Point,
    pub(super) recipe: Recipe,
    pub(super) residuals: [f64; 3],
}

impl Tried {
    pub(super) fn distance(&self) -> f64 {
        self.residuals
            .iter()
            .fold(0.0, |so_far: f64, r| so_far.max(r.abs()))
    }

    fn size(&self) -> f64 {
        self.point.iter().map(|change| change.abs()).sum()
    }

    /// Whether it is the better one: there with less change, or nearer where neither is there.
    pub(super) fn beats(&self, other: &Self) -> bool {
        match (self.distance() <= 1.0, other.distance() <= 1.0) {
            (true, true) => self.size() < other.size(),
            (false, false) => self.distance() < 0.98 * other.distance(),
            (is_there, _) => is_there,
        }
    }
}

impl Search<'_> {
    /// Units of the dial in one unit of a point, towards coarser.
    fn dial_units(&self) -> f64 {
        let anchored = &self.fit.anchored;
        let um_per_unit = anchored.um_per_unit(&self.fit.posterior.mode);
        anchored.dial.higher_is.sign() * Change::ALIKE[0] / um_per_unit
    }

    fn recipe(&self, point: &Point) -> Result<Recipe, MathsError> {
        let mut recipe = self.base.clone();
        let dial = &self.fit.anchored.dial;
        recipe.setting = dial.inside(self.base.setting + point[0] * self.dial_units());
        let dose_g = self.base.dose.grams() + point[2] * Change::ALIKE[2];
        recipe.dose = Mass::from_grams(dose_g.clamp(Shot::DOSE.min, Shot::DOSE.max))?;
        let beverage_g = if self.is_tied {
            self.base.brew_ratio() * recipe.dose.grams()
        } else {
            self.base.beverage.grams() + point[1] * Change::ALIKE[1]
        };
        let range = Shot::TARGET_BEVERAGE;
        recipe.beverage = Mass::from_grams(beverage_g.clamp(range.min, range.max))?;
        let range = Shot::WATER_TEMPERATURE;
        let celsius = self.base.water_temperature.celsius() + point[3] * Change::ALIKE[3];
        recipe.water_temperature = Temperature::from_celsius(celsius.clamp(range.min, range.max))?;
        Ok(recipe)
    }

    pub(super) fn tried(&self, point: Point) -> Result<Option<Tried>, MathsError> {
        self.tried_recipe(point, self.recipe(&point)?)
    }

    fn tried_recipe(&self, point: Point, recipe: Recipe) -> Result<Option<Tried>, MathsError> {
        let modelled = self.fit.modelled(&recipe, self.expected_s, self.cancel)?;
        Ok(modelled.map(|modelled| Tried {
            point,
            residuals: self.aims.residuals(&recipe, &modelled),
            recipe,
        }))
    }

    /// The best that a set of changes can do, each on a step.
    pub(super) fn solved(&self, set: &[bool; WAYS]) -> Result<Option<Tried>, MathsError> {
        let Some(free) = self.descended([0.0; WAYS], set)? else {
            return Ok(None);
        };
        if !set[0] {
            return self.stepped(&free);
        }
        let dial = &self.fit.anchored.dial;
        let mut best: Option<Tried> = None;
        let others = [false, set[1], set[2], set[3]];
        for setting in dial.steps_around(free.recipe.setting) {
            let mut point = free.point;
            point[0] = (dial.nearest_step(setting) - self.base.setting) / self.dial_units();
            let Some(free) = self.descended(point, &others)? else {
                return Ok(None);
            };
            let Some(tried) = self.stepped(&free)? else {
                return Ok(None);
            };
            if best.as_ref().is_none_or(|best| tried.beats(best)) {
                best = Some(tried);
            }
        }
        Ok(best)
    }

    /// The same with everything on a step.
    fn stepped(&self, free: &Tried) -> Result<Option<Tried>, MathsError> {
        let mut recipe = free.recipe.clone();
        let step = |way: usize, value: f64, base: f64| {
            // what was not changed is left as it was weighed
            if value.to_bits() == base.to_bits() {
                value
            } else {
                rounded(value, Change::STEPS[way])
            }
        };
        let base = &self.base;
        recipe.setting = self.fit.anchored.dial.nearest_step(recipe.setting);
        recipe.beverage =
            Mass::from_grams(step(1, recipe.beverage.grams(), base.beverage.grams()))?;
        recipe.dose = Mass::from_grams(step(2, recipe.dose.grams(), base.dose.grams()))?;
        let (now, before) = (
            recipe.water_temperature.celsius(),
            base.water_temperature.celsius(),
        );
        recipe.water_temperature = Temperature::from_celsius(step(3, now, before))?;
        self.tried_recipe(free.point, recipe)
    }

    /// The nearest point to the aims that a set of changes leads to: a few damped Gauss–Newton
    /// steps, with a slight pull back to no change where several points are as near.
    fn descended(&self, from: Point, set: &[bool; WAYS]) -> Result<Option<Tried>, MathsError> {
        const STEPS: u32 = 5;
        let Some(mut best) = self.tried(from)? else {
            return Ok(None);
        };
        if !set.contains(&true) {
            return Ok(Some(best));
        }
        for _ in 0..STEPS {
            let Some(step) = self.downhill(&best, set)? else {
                return Ok(None);
            };
            let mut point = best.point;
            for (way, at) in point.iter_mut().enumerate() {
                *at = (*at + step[way]).clamp(-FARTHEST[way], FARTHEST[way]);
            }
            let Some(tried) = self.tried(point)? else {
                return Ok(None);
            };
            let gained = best.distance() - tried.distance();
            if gained <= 0.0 {
                break;
            }
            best = tried;
            if gained < 0.02 {
                break;
            }
        }
        Ok(Some(best))
    }

    fn downhill(&self, from: &Tried, set: &[bool; WAYS]) -> Result<Option<Point>, MathsError> {
        const ASIDE: f64 = 0.2;
        const PULL_BACK: f64 = 1e-3;
        const LONGEST: f64 = 4.0;
        let mut rises = [[0.0; 3]; WAYS];
        for way in (0..WAYS).filter(|way| set[*way]) {
            let mut point = from.point;
            let aside = if point[way] > 0.0 { -ASIDE } else { ASIDE };
            point[way] += aside;
            let Some(there) = self.tried(point)? else {
                return Ok(None);
            };
            for (rise, (there, here)) in rises[way]
                .iter_mut()
                .zip(there.residuals.iter().zip(&from.residuals))
            {
                *rise = (there - here) / aside;
            }
        }
        let dot = |a: &[f64; 3], b: &[f64; 3]| a.iter().zip(b).fold(0.0, |sum, (a, b)| sum + a * b);
        let mut matrix = [[0.0; WAYS]; WAYS];
        let mut side = [0.0; WAYS];
        for (way, row) in matrix.iter_mut().enumerate() {
            for (other, entry) in row.iter_mut().enumerate() {
                *entry = dot(&rises[way], &rises[other]);
            }
            row[way] += if set[way] { PULL_BACK } else { 1.0 };
            side[way] = -dot(&rises[way], &from.residuals);
        }
        let step = Cholesky::of(&matrix).map_or([0.0; WAYS], |system| system.solved(&side));
        Ok(Some(step.map(|step| step.clamp(-LONGEST, LONGEST))))
    }
}
