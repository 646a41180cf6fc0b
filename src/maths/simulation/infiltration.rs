//! While the front moves: one step a cell, or shorter ones where the pressure turns or the
//! front is slow.

use super::front::{Start, cross};
use super::grains::Factors;
use super::profile::Segment;
use super::run::Simulation;
use super::wet::Move;
use crate::maths::error::MathsError;

/// Two times closer than this are one, s.
const SAME_TIME_S: f64 = 1e-9;

impl<const M: usize> Simulation<'_, M> {
    /// Wets the bed; whether the front came through before the time was over.
    pub(super) fn infiltrate(&mut self) -> Result<bool, MathsError> {
        let end_s = self.shot.duration_s;
        while self.wet.full < self.wet.cells {
            if end_s - self.time_s <= SAME_TIME_S || self.cancelled {
                return Ok(false);
            }
            let segment = self.shot.pressure_profile.segment(self.time_s);
            let stop_s = segment.end_s.min(end_s);
            if stop_s - self.time_s <= SAME_TIME_S {
                self.time_s = stop_s;
                continue;
            }
            // Steps of equal length up to the next turn of the pressure, if none is filled.
            let steps = ((stop_s - self.time_s) / self.resolution.step_s - SAME_TIME_S).ceil();
            let longest_s = (stop_s - self.time_s) / steps.max(1.0);
            self.infiltration_step(&segment, longest_s)?;
        }
        Ok(true)
    }

    fn infiltration_step(&mut self, segment: &Segment, longest_s: f64) -> Result<(), MathsError> {
        let (full, fill) = (self.wet.full, self.wet.fill);
        let resistance = self.wet.sum_of_resistivities(full) * self.cell_m;
        let motion = self.motion(segment, longest_s, resistance)?;
        let factors = Factors::new(&self.exchange, motion.step_s);
        self.wet.step(&factors, motion);
        self.time_s += motion.step_s;
        self.entered += motion.volume * self.cell_m * self.bed.area_m2;
        debug_assert!(motion.fill >= fill, "the front never goes back");
        if full > 0 && motion.step_s > SAME_TIME_S {
            let after = self.wet.sum_of_resistivities(full) * self.cell_m;
            self.rate_per_s = libm::log(after / resistance) / motion.step_s;
        }
        let sampled = self.recorder.dry(self.time_s);
        self.account(full + 1, sampled)
    }

    /// How far the front gets.
    fn motion(
        &mut self,
        segment: &Segment,
        longest_s: f64,
        resistance: f64,
    ) -> Result<Move, MathsError> {
        let fill = self.wet.fill;
        if segment.is_zero() {
            return Ok(Move {
                step_s: longest_s,
                volume: 0.0,
                fill,
                contact_s: 0.0,
            });
        }
        let start = Start {
            time_s: self.time_s,
            longest_s,
            cell_m: self.cell_m,
            fill,
            resistance,
            rate_per_s: self.rate_per_s,
            resistivity: self.front_resistivity(longest_s),
            guess: self.trend.next(),
        };
        let crossing = cross(self.bed, segment, &start)?;
        self.trend
            .note(self.bed.wetting * (crossing.fill - fill) * self.cell_m / crossing.step_s);
        Ok(Move {
            step_s: crossing.step_s,
            volume: self.bed.wetting * (crossing.fill - fill),
            fill: crossing.fill,
            contact_s: crossing.contact_s,
        })
    }

    /// Viscosity over relative permeability in the front's cell, Pa s: its own, or that of the
    /// cell wetted before it, which had been wet for as long. At the top, that of the liquid
    /// after half the longest step.
    fn front_resistivity(&self, longest_s: f64) -> f64 {
        let full = self.wet.full;
        if self.wet.fill > 0.0 {
            self.wet.resistivity[full]
        } else if full > 0 {
            self.wet.resistivity[full - 1]
        } else {
            self.wet.first_resistivity(0.5 * longest_s)
        }
    }
}
