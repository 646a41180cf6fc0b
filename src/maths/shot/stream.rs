//! A stream of readings made fit for use: in order, on one level, with what is of no use marked.

use super::fault::{Fault, joined};
use super::{bumps, clock, limit, steps};
use crate::maths::error::MathsError;

/// Fewest readings at different instants from which anything can be told.
pub const FEWEST_READINGS: usize = 8;

/// What the scale showed at an instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Reading {
    /// On the clock of the readings, s.
    pub time_s: f64,
    /// What it showed, g.
    pub mass_g: f64,
}

/// Readings in order and on one level, and the faults that were found on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Stream {
    /// In order of time; steps are taken out, so this is the coffee and a constant.
    pub readings: Vec<Reading>,
    /// Whether each reading is of use.
    pub usable: Vec<bool>,
    /// What was wrong, in order of time.
    pub faults: Vec<Fault>,
    /// Usual interval between readings, s.
    pub interval_s: f64,
}

impl Stream {
    /// The stream of these readings, from a scale with this lag.
    ///
    /// # Errors
    /// [`MathsError::Inconsistent`] when fewer than [`FEWEST_READINGS`] instants are of use.
    pub fn of(times_s: &[f64], masses_g: &[f64], lag_s: f64) -> Result<Self, MathsError> {
        let interval_s = clock::interval_s(times_s);
        let (mut readings, mut faults) = clock::ordered(times_s, masses_g);
        let mut usable = vec![true; readings.len()];
        faults.extend(limit::leave_out(&readings, &mut usable));
        let pace = (interval_s, lag_s);
        faults.extend(steps::level(&mut readings, pace, &mut usable));
        faults.extend(bumps::leave_out(&readings, pace, &mut usable));
        let of_use = usable.iter().filter(|is_usable| **is_usable).count();
        if of_use < FEWEST_READINGS {
            return Err(MathsError::Inconsistent {
                rule: "too few readings at different instants are of use",
                left: usable.iter().filter(|u| **u).map(|_| 1.0).sum(),
                right: 8.0,
                unit: "readings",
            });
        }
        Ok(Self {
            readings,
            usable,
            faults: joined(faults),
            interval_s,
        })
    }

    /// The readings that are of use.
    #[must_use]
    pub fn of_use(&self) -> impl DoubleEndedIterator<Item = &Reading> {
        let marked = self.readings.iter().zip(&self.usable);
        marked.filter_map(|(reading, is_usable)| is_usable.then_some(reading))
    }

    /// First and last instant, s.
    #[must_use]
    pub fn span_s(&self) -> (f64, f64) {
        let time_s = |reading: Option<&Reading>| reading.map_or(0.0, |reading| reading.time_s);
        (time_s(self.readings.first()), time_s(self.readings.last()))
    }
}
