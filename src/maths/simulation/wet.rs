//! The state of the wetted part of the bed, and one time step of it.
//!
//! The bed is cut into equal cells. The first `full` are wet; the front stands in the next one
//! and has wetted the share `fill` of it. Grains are kept as the concentration of the liquid
//! that each mode would be in equilibrium with, so every mode lies between zero and saturation.

use super::bed::Bed;
use super::flow::Resistivity;
use super::grains::{Exchange, Factors};
use super::liquid::{Balance, Liquid, Partial, outlet};

/// Sums over cells are made in this many parts, in a fixed order.
const LANES: usize = 4;

/// What happens to the wet bed in one step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Move {
    /// Length of the step, s.
    pub(super) step_s: f64,
    /// Volume that entered the top, per area and per cell depth.
    pub(super) volume: f64,
    /// Where the front stands in its cell afterwards, 0 to 1.
    pub(super) fill: f64,
    /// Mean time that the newly wetted grains have been wet at the end, s.
    pub(super) contact_s: f64,
}

/// How flow is weighted between the old and the new time.
#[derive(Debug, Clone, Copy)]
enum Weighting {
    /// Half and half.
    Central,
    /// All at the new time, and no less dispersion than keeps every concentration positive.
    Monotone,
}

/// The wetted bed. Nothing is allocated after [`Wet::new`].
#[derive(Debug)]
pub(super) struct Wet<const M: usize> {
    /// Number of cells of the whole bed.
    pub(super) cells: usize,
    /// Cells that are wet from top to bottom.
    pub(super) full: usize,
    /// Wet share of the cell after those.
    pub(super) fill: f64,
    /// Concentration in the liquid, kg/m³.
    pub(super) liquid: Vec<f64>,
    /// Mean concentration in the grains, kg/m³, and the same before the last step.
    pub(super) solids: Vec<f64>,
    pub(super) solids_before: Vec<f64>,
    /// Viscosity over relative permeability, Pa s.
    pub(super) resistivity: Vec<f64>,
    /// Mode by mode, every cell; as the concentration of a liquid in equilibrium.
    grains: [Vec<f64>; M],
    next: Vec<f64>,
    balance: Liquid,
    exchange: Exchange<M>,
    law: Resistivity,
    partition: f64,
    /// Dispersion length over cell depth.
    dispersion: f64,
    /// Grain volume times partition, per volume of bed.
    capacity: f64,
    /// Concentration in dry grains over partition, and the same for what water soaking in adds.
    dry: f64,
    soaked: f64,
    porosity: f64,
    solid_dry: f64,
}

impl<const M: usize> Wet<M> {
    pub(super) fn new(bed: &Bed, exchange: Exchange<M>, cells: usize) -> Self {
        let solubles = bed.grain_solubles_kg_per_m3;
        #[expect(clippy::cast_precision_loss, reason = "at most 800 cells")]
        let cell_m = bed.depth_m / cells as f64;
        Self {
            cells,
            full: 0,
            fill: 0.0,
            liquid: vec![0.0; cells],
            solids: vec![solubles; cells],
            solids_before: vec![solubles; cells],
            resistivity: vec![0.0; cells],
            grains: std::array::from_fn(|_| vec![0.0; cells]),
            next: vec![0.0; cells],
            balance: Liquid::new(cells),
            dispersion: bed.dispersivity_m / cell_m,
            exchange,
            law: Resistivity::new(bed),
            partition: bed.partition,
            capacity: bed.solid() * bed.partition,
            dry: solubles / bed.partition,
            soaked: bed.water_uptake / bed.partition,
            porosity: bed.porosity,
            solid_dry: bed.solid() * solubles,
        }
    }

    /// Carries the wet bed over one step whose factors are given; they must be those of
    /// `motion.step_s`. Returns what left through the outlet of a bed that is wet throughout,
    /// per area and cell depth, kg/m³.
    pub(super) fn step(&mut self, factors: &Factors<M>, motion: Move) -> f64 {
        let kept = Factors::new(&self.exchange, motion.contact_s).keep;
        let rows = self.full + usize::from(self.full < self.cells && motion.fill > 0.0);
        if rows == 0 {
            return 0.0;
        }
        let mut used = *factors;
        let mut left = self.advance(&used, &kept, motion, Weighting::Central);
        // Half old, half new may overshoot below zero where the flow sets in at once.
        if self.next[..rows]
            .iter()
            .fold(0.0, |least: f64, c| least.min(*c))
            < 0.0
        {
            used = factors.implicit();
            left = self.advance(&used, &kept, motion, Weighting::Monotone);
        }
        self.exchange_with_grains(&used, rows);
        if rows > self.full {
            self.mix_newly_wetted(&kept, motion);
        }
        std::mem::swap(&mut self.liquid, &mut self.next);
        self.fill = motion.fill;
        if self.fill >= 1.0 {
            self.full += 1;
            self.fill = 0.0;
        }
        left
    }

    /// The liquid at the end of the step; returns what left.
    fn advance(
        &mut self,
        factors: &Factors<M>,
        kept: &[f64; M],
        motion: Move,
        weighting: Weighting,
    ) -> f64 {
        let partial = self.partial(factors, kept, motion);
        let rows = self.full + usize::from(partial.is_some());
        self.released(factors, rows);
        let half = 0.5 * motion.volume;
        let (carries_old, carries_new, dispersion) = match weighting {
            Weighting::Central => (half, half, self.dispersion),
            Weighting::Monotone => (0.0, motion.volume, self.dispersion.max(0.5)),
        };
        let balance = Balance {
            carries_old,
            carries_new,
            dispersion,
            before: self.porosity - self.capacity * self.exchange.mean(&factors.start),
            after: self.porosity + self.capacity * self.exchange.mean(&factors.end),
        };
        let (old, new) = (&self.liquid[..rows], &mut self.next[..rows]);
        self.balance.solve(balance, partial.as_ref(), old, new);
        if self.full < self.cells {
            return 0.0;
        }
        carries_old * outlet(old) + carries_new * outlet(new)
    }

    /// The balance of the cell that the front is in, if any of it is wet afterwards.
    fn partial(&self, factors: &Factors<M>, kept: &[f64; M], motion: Move) -> Option<Partial> {
        if self.full == self.cells || motion.fill <= 0.0 {
            return None;
        }
        let new = motion.fill - self.fill;
        let kept = self.exchange.mean(kept);
        let of_start = self.exchange.mean(&factors.start);
        let of_end = self.exchange.mean(&factors.end);
        // Grains wetted in this step start from what they held dry and what soaked in.
        let newly = kept * self.soaked + (1.0 - kept);
        Some(Partial {
            fill_before: self.fill,
            fill: motion.fill,
            before: self.fill * (self.porosity - self.capacity * of_start),
            after: self.fill * (self.porosity + self.capacity * of_end)
                + new * (self.porosity + self.capacity * newly),
            gained: new * self.solid_dry * (1.0 - kept),
        })
    }

    /// What the grains give up by themselves, per volume of bed, as the right-hand side.
    fn released(&mut self, factors: &Factors<M>, rows: usize) {
        let sides = &mut self.balance.source[..rows];
        sides.fill(0.0);
        for m in 0..M {
            let lost = self.capacity * self.exchange.weights[m] * (1.0 - factors.keep[m]);
            for (side, mode) in sides.iter_mut().zip(&self.grains[m][..rows]) {
                *side += lost * mode;
            }
        }
    }

    /// Advances every mode, then the means and the resistivities.
    fn exchange_with_grains(&mut self, factors: &Factors<M>, rows: usize) {
        std::mem::swap(&mut self.solids, &mut self.solids_before);
        let (before, after) = (&self.liquid[..rows], &self.next[..rows]);
        let solids = &mut self.solids[..rows];
        solids.fill(0.0);
        for m in 0..M {
            let (keep, start, end) = (factors.keep[m], factors.start[m], factors.end[m]);
            let share = self.partition * self.exchange.weights[m];
            let modes = self.grains[m][..rows].iter_mut().zip(solids.iter_mut());
            for ((mode, sum), (from, to)) in modes.zip(before.iter().zip(after)) {
                *mode = keep * *mode + (start * from + end * to);
                *sum += share * *mode;
            }
        }
        let law = self.law;
        let cells = self.resistivity[..rows]
            .iter_mut()
            .zip(after.iter().zip(solids.iter()));
        for (resistivity, (liquid, grains)) in cells {
            *resistivity = law.of(*liquid, *grains);
        }
    }

    /// Mixes the grains wetted in this step into the cell that the front is in.
    fn mix_newly_wetted(&mut self, kept: &[f64; M], motion: Move) {
        let cell = self.full;
        let liquid = self.next[cell];
        let start = self.dry + self.soaked * liquid;
        let old = self.fill / motion.fill;
        let mut mean = 0.0;
        for ((modes, kept), weight) in self.grains.iter_mut().zip(kept).zip(self.exchange.weights) {
            let newly = kept * start + (1.0 - kept) * liquid;
            let mode = &mut modes[cell];
            *mode = old * *mode + (1.0 - old) * newly;
            mean += weight * *mode;
        }
        self.solids[cell] = self.partition * mean;
        self.resistivity[cell] = self.law.of(liquid, self.solids[cell]);
    }

    /// Sum of the resistivities of the first cells, Pa s, in four parts and a fixed order.
    pub(super) fn sum_of_resistivities(&self, cells: usize) -> f64 {
        let (blocks, rest) = self.resistivity[..cells].as_chunks::<LANES>();
        let mut sums = [0.0; LANES];
        for block in blocks {
            for l in 0..LANES {
                sums[l] += block[l];
            }
        }
        (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest.iter().sum::<f64>()
    }

    /// Resistivity of a top cell whose grains have been wet for a time in water that stays,
    /// Pa s.
    pub(super) fn first_resistivity(&self, contact_s: f64) -> f64 {
        let kept = self
            .exchange
            .mean(&Factors::new(&self.exchange, contact_s).keep);
        let newly = kept * self.soaked + (1.0 - kept);
        let liquid = self.solid_dry * (1.0 - kept) / (self.porosity + self.capacity * newly);
        let grains = kept * (self.dry + self.soaked * liquid) + (1.0 - kept) * liquid;
        self.law.of(liquid, self.partition * grains)
    }

    /// Concentration where the liquid leaves the bed, kg/m³: extrapolated with no slope there.
    pub(super) fn outlet(&self) -> f64 {
        outlet(&self.liquid)
    }

    /// Solute in the bed per area and cell depth, kg/m³: liquid and grains, wet and dry.
    pub(super) fn solute(&self) -> f64 {
        let wet = |cell: usize| {
            self.porosity * self.liquid[cell] + self.capacity / self.partition * self.solids[cell]
        };
        let full: f64 = (0..self.full).map(wet).sum();
        if self.full == self.cells {
            return full;
        }
        #[expect(clippy::cast_precision_loss, reason = "at most 800 cells")]
        let dry = (self.cells - self.full) as f64 - self.fill;
        full + self.fill * wet(self.full) + dry * self.solid_dry
    }

    /// Least and greatest concentration of liquid and modes in the wet cells, kg/m³.
    pub(super) fn extremes(&self) -> [f64; 2] {
        let rows = self.full + usize::from(self.fill > 0.0);
        let mut span = [f64::INFINITY, f64::NEG_INFINITY];
        for cell in 0..rows {
            let modes = self.grains.iter().map(|mode| mode[cell]);
            for value in modes.chain([self.liquid[cell]]) {
                span = [span[0].min(value), span[1].max(value)];
            }
        }
        span
    }
}
