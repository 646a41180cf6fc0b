//! The driver: headspace, infiltration, flow through, and what is reported of them.

use super::accuracy::{Accuracy, Resolution, Work};
use super::bed::Bed;
use super::diagnostics::Diagnostics;
use super::flow::Trend;
use super::grains::Exchange;
use super::outcome::{BedLayer, Cup, Ending, Outcome};
use super::parameters::Parameters;
use super::recorder::{Poured, Recorder};
use super::shot::Shot;
use super::wet::Wet;
use crate::maths::error::MathsError;

/// Simulates a shot.
///
/// # Equation
/// In the wet bed, depth z, `0 < z < s(t)`:
/// `eps dc/dt + q dc/dz = d/dz(alpha q dc/dz) + sum_i (3 phi f_i/a_i) J_i`,
/// fines `dc1/dt = -(3/a1) h1 (c1/K - c)`,
/// coarse grains `dc2/dt = (D/r^2) d/dr(r^2 dc2/dr)`, `-D dc2/dr = k_m (c2/K - c)` at `a2`,
/// front `ds/dt = q/eps_w`, `dc/dz = 0` at `s` or `L`, no solute with the water at the top,
/// flux as in [`flux`](super::flow::flux) with
/// `I = int mu_w exp(k_mu c)/Dk dz`, `Dk = (e/eps)^3 (phi/(1 - e))^2`,
/// `e = eps + alpha_d phi (c_s0 - Gamma)/rho_sol`; headspace `dV/dt = sqrt(P/B)` before.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | c, c1, c2 | concentration in liquid, fines, coarse grains | kg/m³ |
/// | Gamma | mean concentration in the grains | kg/m³ |
/// | q, s | volume flux, depth of the front | m/s, m |
///
/// The other symbols are those of [`Parameter`](super::Parameter) and [`Bed`].
///
/// # Source
/// `[packedbed]`; see [`Bed::new`].
///
/// # Valid for
/// [`Shot::check`]. The solution is verified by a second program, the model not validated by
/// experiments. Finite volumes on equal cells, half old and half new time, diffusion modes
/// exact, one step per cell while the front moves: second order but for the thin layer behind
/// the front. Work is bounded; `cancel` is asked every few steps.
///
/// # Errors
/// [`MathsError::OutOfRange`], [`MathsError::NonFinite`], [`MathsError::Inconsistent`] for
/// inputs; [`MathsError::WorkLimit`] when the resolution asks too much for the duration;
/// [`MathsError::NotConverged`] and [`MathsError::NonFinite`] should the numerics fail.
///
/// # Example
/// ```
/// # use extraction_maths::maths::quantity::{GaugePressure, Length, Mass, Temperature};
/// # use extraction_maths::maths::simulation::{self, Accuracy, Parameters, PressureProfile, Shot};
/// let shot = Shot {
///     dose: Mass::from_grams(20.0)?,
///     basket_diameter: Length::from_millimetres(58.4)?,
///     grind_diameter_um: 350.0,
///     water_temperature: Temperature::from_celsius(93.0)?,
///     pressure_profile: PressureProfile::constant(GaugePressure::from_bar(9.0)?),
///     target_beverage: Mass::from_grams(40.0)?,
///     duration_s: 60.0,
///     sample_times_s: vec![10.0, 20.0],
/// };
/// let outcome = simulation::run(&shot, &Parameters::default(), Accuracy::Standard, &|| false)?;
/// let time_s = outcome.time_to_target_s.ok_or("never reached")?;
/// assert!((time_s - 27.63).abs() < 0.03);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn run(
    shot: &Shot,
    parameters: &Parameters,
    accuracy: Accuracy,
    cancel: &dyn Fn() -> bool,
) -> Result<Outcome, MathsError> {
    let bed = Bed::new(shot, parameters)?;
    run_bed(&bed, shot, accuracy.resolution(&bed), cancel)
}

/// As [`run`], with the constants of the shot and the resolution given: for limits of the model
/// and for refinement.
///
/// # Equation
/// As [`run`].
///
/// # Source
/// As [`run`].
///
/// # Valid for
/// As [`run`]; pressure, target, duration and sample times are taken from the shot, everything
/// else from the bed.
///
/// # Errors
/// As [`run`], and [`MathsError::OutOfRange`] for the resolution.
///
/// # Example
/// ```
/// # use extraction_maths::maths::quantity::{GaugePressure, Length, Mass, Temperature};
/// # use extraction_maths::maths::simulation::{self, Bed, Parameters, PressureProfile};
/// # use extraction_maths::maths::simulation::{Resolution, Shot};
/// # let shot = Shot {
/// #     dose: Mass::from_grams(20.0)?,
/// #     basket_diameter: Length::from_millimetres(58.4)?,
/// #     grind_diameter_um: 350.0,
/// #     water_temperature: Temperature::from_celsius(93.0)?,
/// #     pressure_profile: PressureProfile::constant(GaugePressure::from_bar(9.0)?),
/// #     target_beverage: Mass::from_grams(40.0)?,
/// #     duration_s: 60.0,
/// #     sample_times_s: vec![],
/// # };
/// let bed = Bed::new(&shot, &Parameters::default())?;
/// let coarse = Resolution { cells: 30, modes: 4, step_s: 0.5 };
/// let outcome = simulation::run_bed(&bed, &shot, coarse, &|| false)?;
/// assert!(outcome.diagnostics.solute_defect < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn run_bed(
    bed: &Bed,
    shot: &Shot,
    resolution: Resolution,
    cancel: &dyn Fn() -> bool,
) -> Result<Outcome, MathsError> {
    shot.check()?;
    resolution.check()?;
    // The number of modes, fines included, is fixed when compiling; unused ones weigh nothing.
    match resolution.modes {
        0..=4 => Simulation::<5>::new(bed, shot, resolution, cancel)?.outcome(),
        5 => Simulation::<6>::new(bed, shot, resolution, cancel)?.outcome(),
        6 => Simulation::<7>::new(bed, shot, resolution, cancel)?.outcome(),
        7..=8 => Simulation::<9>::new(bed, shot, resolution, cancel)?.outcome(),
        _ => Simulation::<13>::new(bed, shot, resolution, cancel)?.outcome(),
    }
}

/// A shot while it runs.
pub(super) struct Simulation<'a, const M: usize> {
    pub(super) bed: &'a Bed,
    pub(super) shot: &'a Shot,
    pub(super) resolution: Resolution,
    pub(super) exchange: Exchange<M>,
    pub(super) wet: Wet<M>,
    pub(super) cell_m: f64,
    pub(super) time_s: f64,
    /// Rate of change of the logarithm of the bed's resistance, 1/s.
    pub(super) rate_per_s: f64,
    /// Where the flux is heading.
    pub(super) trend: Trend,
    /// Water that entered the bed, m³.
    pub(super) entered: f64,
    pub(super) poured: Poured,
    pub(super) recorder: Recorder<'a>,
    pub(super) layers: Vec<BedLayer>,
    diagnostics: Diagnostics,
    work: Work,
    cancel: &'a dyn Fn() -> bool,
    pub(super) cancelled: bool,
}

impl<'a, const M: usize> Simulation<'a, M> {
    fn new(
        bed: &'a Bed,
        shot: &'a Shot,
        resolution: Resolution,
        cancel: &'a dyn Fn() -> bool,
    ) -> Result<Self, MathsError> {
        let exchange = Exchange::new(bed, resolution.modes)?;
        let cells = resolution.cells as usize;
        Ok(Self {
            bed,
            shot,
            resolution,
            exchange,
            wet: Wet::new(bed, exchange, cells),
            cell_m: bed.depth_m / f64::from(resolution.cells),
            time_s: 0.0,
            rate_per_s: 0.0,
            trend: Trend::default(),
            entered: 0.0,
            poured: Poured::default(),
            recorder: Recorder::new(bed, shot),
            layers: Vec::with_capacity(cells),
            diagnostics: Diagnostics::new(),
            work: Work { done: 0 },
            cancel,
            cancelled: false,
        })
    }

    fn outcome(mut self) -> Result<Outcome, MathsError> {
        let end_s = self.shot.duration_s;
        let goal = self.bed.headspace_m3 * self.bed.restrictor_pa_s2_per_m6.sqrt();
        let headspace_full_s = self
            .shot
            .pressure_profile
            .time_of_root_integral(goal, end_s);
        let mut first_drop_s = None;
        self.time_s = headspace_full_s.unwrap_or(end_s);
        if headspace_full_s.is_some() && self.infiltrate()? {
            first_drop_s = Some(self.time_s);
            self.flow_through()?;
        }
        if !self.cancelled {
            // Without a drop every sample is that of an empty cup.
            self.recorder.dry(end_s);
        }
        self.finish(headspace_full_s, first_drop_s)
    }

    /// Books one step, looks at conservation and bounds, and asks whether to go on.
    pub(super) fn account(&mut self, rows: usize, look: bool) -> Result<(), MathsError> {
        const STEPS_BETWEEN_POLLS: u64 = 16;
        self.work.book(rows)?;
        self.diagnostics.steps += 1;
        if look {
            self.look();
        }
        if self.diagnostics.steps.is_multiple_of(STEPS_BETWEEN_POLLS) && (self.cancel)() {
            self.cancelled = true;
        }
        Ok(())
    }

    fn look(&mut self) {
        let bed = self.bed;
        let cell = bed.area_m2 * self.cell_m;
        let held = bed.solid() * bed.grain_solubles_kg_per_m3 * bed.area_m2 * bed.depth_m;
        let solute = self.wet.solute() * cell + self.poured.solute - held;
        #[expect(clippy::cast_precision_loss, reason = "at most 800 cells")]
        let wetted = self.wet.full as f64 + self.wet.fill;
        let water = bed.wetting * wetted * cell + self.poured.volume - self.entered;
        let wets_all = bed.wetting * bed.area_m2 * bed.depth_m;
        self.diagnostics
            .observe(solute / held, water / wets_all, self.wet.extremes());
    }

    fn finish(
        mut self,
        headspace_full_s: Option<f64>,
        first_drop_s: Option<f64>,
    ) -> Result<Outcome, MathsError> {
        self.look();
        self.diagnostics.cell_steps = self.work.done;
        let end = Cup {
            time_s: self.time_s,
            ..self.recorder.cup(&self.poured)
        };
        if !self.diagnostics.is_sound() || !end.beverage_mass_g.is_finite() {
            return Err(MathsError::NonFinite {
                quantity: "state of the simulated bed",
            });
        }
        if self.layers.is_empty() {
            self.note_layers(1.0);
        }
        let ending = if self.cancelled {
            Ending::Cancelled
        } else if self.recorder.at_target.is_some() {
            Ending::Complete
        } else {
            Ending::DurationOver
        };
        Ok(Outcome {
            headspace_full_s,
            first_drop_s,
            time_to_target_s: self.recorder.at_target.map(|cup| cup.time_s),
            at_target: self.recorder.at_target,
            samples: self.recorder.samples,
            end,
            bed: self.layers,
            ending,
            resolution: self.resolution,
            diagnostics: self.diagnostics,
        })
    }

    /// Notes the solubles left by depth at a share of the last step.
    pub(super) fn note_layers(&mut self, share: f64) {
        let (wet, held) = (&self.wet, self.bed.grain_solubles_kg_per_m3);
        let left = (0..wet.cells).map(|cell| {
            let (before, now) = (wet.solids_before[cell], wet.solids[cell]);
            let grains = before + share * (now - before);
            // The cell that the front is in is wet above and dry below it.
            let wetted = if cell < wet.full { 1.0 } else { wet.fill };
            if cell > wet.full {
                1.0
            } else {
                wetted * grains / held + (1.0 - wetted)
            }
        });
        let cells = f64::from(self.resolution.cells);
        self.layers.extend(
            (0..self.resolution.cells)
                .zip(left)
                .map(|(cell, left)| BedLayer {
                    relative_depth: (f64::from(cell) + 0.5) / cells,
                    solubles_left_fraction: left,
                }),
        );
    }
}
