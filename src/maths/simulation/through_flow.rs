//! Once the bed is wet: equal steps between the turns of the pressure.

use super::flow::flux_with_growth;
use super::grains::Factors;
use super::profile::Segment;
use super::recorder::Poured;
use super::run::Simulation;
use super::wet::Move;
use crate::maths::error::MathsError;

/// Two times closer than this are one, s.
const SAME_TIME_S: f64 = 1e-9;

impl<const M: usize> Simulation<'_, M> {
    /// Runs water through the bed until the target is in the cup and every sample is taken, or
    /// the time is over.
    pub(super) fn flow_through(&mut self) -> Result<(), MathsError> {
        let mut resistance = self.wet.sum_of_resistivities(self.wet.cells) * self.cell_m;
        let segment = self.shot.pressure_profile.segment(self.time_s);
        let pressure = segment.pressure_pa(self.time_s);
        let q = flux_with_growth(self.bed, pressure, [resistance, 0.0], self.trend.last())?;
        self.trend.note(q);
        self.poured = Poured {
            time_s: self.time_s,
            volume: 0.0,
            solute: 0.0,
            flow: q * self.bed.area_m2,
            outlet: self.wet.outlet(),
        };
        let end_s = self.shot.duration_s;
        while end_s - self.time_s > SAME_TIME_S {
            let segment = self.shot.pressure_profile.segment(self.time_s);
            let (start_s, stop_s) = (self.time_s, segment.end_s.min(end_s));
            let steps = ((stop_s - start_s) / self.resolution.step_s - SAME_TIME_S)
                .ceil()
                .max(1.0);
            let step_s = (stop_s - start_s) / steps;
            let factors = Factors::new(&self.exchange, step_s);
            let mut made = 0.0;
            while made < steps {
                made += 1.0;
                let to_s = if made < steps {
                    start_s + made * step_s
                } else {
                    stop_s
                };
                resistance = self.flow_step(&segment, &factors, (to_s, step_s), resistance)?;
                if self.recorder.is_complete() || self.cancelled {
                    return Ok(());
                }
            }
        }
        Ok(())
    }

    /// One step; returns the resistance after it.
    fn flow_step(
        &mut self,
        segment: &Segment,
        factors: &Factors<M>,
        (to_s, step_s): (f64, f64),
        resistance: f64,
    ) -> Result<f64, MathsError> {
        let area = self.bed.area_m2;
        let half_way = resistance * libm::exp(0.5 * self.rate_per_s * step_s);
        let pressure = segment.pressure_pa(self.time_s + 0.5 * step_s);
        let q = flux_with_growth(self.bed, pressure, [half_way, 0.0], self.trend.next())?;
        self.trend.note(q);
        let depth = q * step_s;
        let left = self.wet.step(
            factors,
            Move {
                step_s,
                volume: depth / self.cell_m,
                fill: 0.0,
                contact_s: 0.0,
            },
        );
        let after = self.wet.sum_of_resistivities(self.wet.cells) * self.cell_m;
        self.rate_per_s = libm::log(after / resistance) / step_s;
        self.time_s = to_s;
        let pressure = segment.pressure_pa(to_s);
        let q = flux_with_growth(self.bed, pressure, [after, 0.0], self.trend.next())?;
        self.trend.note(q);
        let (before, outlet) = (self.poured, self.wet.outlet());
        self.entered += depth * area;
        self.poured = Poured {
            time_s: to_s,
            volume: before.volume + depth * area,
            solute: before.solute + left * self.cell_m * area,
            flow: q * area,
            outlet,
        };
        let noted = self.recorder.step(&before, &self.poured);
        if let Some(share) = noted.target_at {
            self.note_layers(share);
        }
        self.account(self.wet.cells, noted.sampled || noted.target_at.is_some())?;
        Ok(after)
    }
}
