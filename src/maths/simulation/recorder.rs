//! What runs into the cup, read between time steps by cubic Hermite interpolation.

use super::bed::Bed;
use super::outcome::Cup;
use super::shot::Shot;

/// Cup and outlet at one time, SI.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Poured {
    pub(super) time_s: f64,
    /// Volume, m³.
    pub(super) volume: f64,
    /// Solute, kg.
    pub(super) solute: f64,
    /// Volume flow, m³/s.
    pub(super) flow: f64,
    /// Concentration at the outlet, kg/m³.
    pub(super) outlet: f64,
}

/// Samples and target of one shot.
#[derive(Debug)]
pub(super) struct Recorder<'a> {
    times_s: &'a [f64],
    target_kg: f64,
    dose_kg: f64,
    water_density: f64,
    density_growth: f64,
    pub(super) samples: Vec<Cup>,
    pub(super) at_target: Option<Cup>,
}

/// What one step brought.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Noted {
    /// A sample lies in the step.
    pub(super) sampled: bool,
    /// The target was reached, at this share of the step.
    pub(super) target_at: Option<f64>,
}

impl<'a> Recorder<'a> {
    pub(super) fn new(bed: &Bed, shot: &'a Shot) -> Self {
        Self {
            times_s: &shot.sample_times_s,
            target_kg: shot.target_beverage.grams() * 1e-3,
            dose_kg: bed.dose_kg,
            water_density: bed.water_density_kg_per_m3,
            density_growth: bed.density_growth,
            samples: Vec::with_capacity(shot.sample_times_s.len()),
            at_target: None,
        }
    }

    /// Whether nothing is left to record.
    pub(super) fn is_complete(&self) -> bool {
        self.at_target.is_some() && self.samples.len() == self.times_s.len()
    }

    /// Empty cups for the sample times up to and with `time_s`; whether there was one.
    pub(super) fn dry(&mut self, time_s: f64) -> bool {
        let before = self.samples.len();
        let due = self.times_s[before..].iter().take_while(|t| **t <= time_s);
        self.samples.extend(due.map(|t| Cup {
            time_s: *t,
            ..Cup::default()
        }));
        self.samples.len() > before
    }

    /// Reads samples and target out of the step between two states.
    pub(super) fn step(&mut self, from: &Poured, to: &Poured) -> Noted {
        let mut noted = Noted::default();
        while let Some(time_s) = self
            .times_s
            .get(self.samples.len())
            .filter(|t| **t <= to.time_s)
        {
            let share = (time_s - from.time_s) / (to.time_s - from.time_s);
            self.samples.push(Cup {
                time_s: *time_s,
                ..self.between(from, to, share)
            });
            noted.sampled = true;
        }
        if self.at_target.is_none() && self.mass(to) >= self.target_kg {
            let share = self.share_at_target(from, to);
            self.at_target = Some(self.between(from, to, share));
            noted.target_at = Some(share);
        }
        noted
    }

    /// The cup in one state.
    pub(super) fn cup(&self, state: &Poured) -> Cup {
        let mass = self.mass(state);
        Cup {
            time_s: state.time_s,
            beverage_mass_g: mass * 1e3,
            dissolved_fraction: if mass > 0.0 { state.solute / mass } else { 0.0 },
            extraction_fraction: state.solute / self.dose_kg,
            flow_g_per_s: self.mass_flow(state) * 1e3,
        }
    }

    fn mass(&self, state: &Poured) -> f64 {
        self.water_density * state.volume + self.density_growth * state.solute
    }

    fn mass_flow(&self, state: &Poured) -> f64 {
        state.flow * (self.water_density + self.density_growth * state.outlet)
    }

    fn between(&self, from: &Poured, to: &Poured, share: f64) -> Cup {
        let step_s = to.time_s - from.time_s;
        let line = |a: f64, b: f64| a + share * (b - a);
        let solute_flow = |state: &Poured| state.flow * state.outlet * step_s;
        self.cup(&Poured {
            time_s: from.time_s + share * step_s,
            volume: hermite(
                [from.volume, to.volume],
                [from.flow * step_s, to.flow * step_s],
                share,
            ),
            solute: hermite(
                [from.solute, to.solute],
                [solute_flow(from), solute_flow(to)],
                share,
            ),
            flow: line(from.flow, to.flow),
            outlet: line(from.outlet, to.outlet),
        })
    }

    /// Share of the step at which the target is in the cup: bisection to the last bit, once a
    /// shot.
    fn share_at_target(&self, from: &Poured, to: &Poured) -> f64 {
        let goal_g = self.target_kg * 1e3;
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..53 {
            let middle = 0.5 * (low + high);
            if self.between(from, to, middle).beverage_mass_g < goal_g {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }
}

/// Cubic through two values with given slopes per whole step.
fn hermite(values: [f64; 2], slopes: [f64; 2], share: f64) -> f64 {
    let rise = values[1] - values[0];
    let a = slopes[0] - rise;
    let b = rise - slopes[1];
    values[0] + share * (rise + (1.0 - share) * (a * (1.0 - share) + b * share))
}
