//! Results of the trials set by set, and whether their averages have settled.

use super::histogram::Histogram;
use super::interval::{Coverage, CoverageIntervals};
use super::moments::Moments;
use super::propagate::{DIGITS, Propagated};
use super::tolerance::numerical_tolerance;
use crate::maths::error::MathsError;

/// Mean, standard deviation and both ends of the symmetric interval of each set.
#[derive(Default)]
pub(super) struct Sets {
    all: Moments,
    last: Moments,
    whole: [Vec<f64>; 4],
}

impl Sets {
    /// Takes a set.
    pub(super) fn push(&mut self, moments: Moments) {
        self.all = self.all.with(moments);
        self.last = moments;
    }

    /// Takes the symmetric interval of the last set, which is as long as all before it.
    pub(super) fn push_ends(&mut self, ends: Coverage) {
        let (mean, deviation) = (self.last.mean(), self.last.deviation());
        let results = [mean, deviation, ends.low, ends.high];
        for (each, result) in self.whole.iter_mut().zip(results) {
            each.push(result);
        }
    }

    /// The tolerance that goes with their standard deviation.
    pub(super) fn tolerance(&self) -> Result<f64, MathsError> {
        numerical_tolerance(self.all.deviation(), DIGITS)
    }

    /// Whether twice the standard deviation of the average of each is within the tolerance.
    pub(super) fn are_stable(&self, tolerance: f64) -> bool {
        let is_stable = |each: &Vec<f64>| 2.0 * Moments::of(each).deviation_of_mean() <= tolerance;
        self.whole[0].len() > 1 && self.whole.iter().all(is_stable)
    }

    /// What all of them say, with the intervals and the histogram of so many trials.
    pub(super) fn with(
        &self,
        intervals: CoverageIntervals,
        histogram: Option<Histogram>,
        trials: usize,
    ) -> Result<Propagated, MathsError> {
        let tolerance = self.tolerance()?;
        Ok(Propagated {
            mean: self.all.mean(),
            standard_uncertainty: self.all.deviation(),
            intervals,
            histogram,
            trials: u32::try_from(trials).unwrap_or(u32::MAX),
            tolerance,
            is_stable: self.are_stable(tolerance),
        })
    }
}
