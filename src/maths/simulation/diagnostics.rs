//! Checks made while running: what is conserved, and what is bounded.

/// What was checked, at every sampled time and at the end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diagnostics {
    /// Largest change of the solute in bed and cup together, over what the coffee held.
    pub solute_defect: f64,
    /// Largest difference of water that entered the bed from what is in bed and cup, over what
    /// wets the whole bed.
    pub water_defect: f64,
    /// Least concentration met in liquid or grains (as that of the liquid in equilibrium),
    /// kg/m³.
    pub least_kg_per_m3: f64,
    /// Greatest concentration met, kg/m³.
    pub greatest_kg_per_m3: f64,
    /// Time steps made.
    pub steps: u64,
    /// Work done: cells carried over a time step.
    pub cell_steps: u64,
}

impl Diagnostics {
    pub(super) const fn new() -> Self {
        Self {
            solute_defect: 0.0,
            water_defect: 0.0,
            least_kg_per_m3: f64::INFINITY,
            greatest_kg_per_m3: f64::NEG_INFINITY,
            steps: 0,
            cell_steps: 0,
        }
    }

    /// Takes one look: relative defects of solute and water, and the extremes met.
    pub(super) fn observe(&mut self, solute: f64, water: f64, [least, greatest]: [f64; 2]) {
        self.solute_defect = worse(self.solute_defect, solute.abs());
        self.water_defect = worse(self.water_defect, water.abs());
        self.least_kg_per_m3 = self.least_kg_per_m3.min(least);
        self.greatest_kg_per_m3 = self.greatest_kg_per_m3.max(greatest);
    }

    /// Whether every number is finite; extremes are absent while no cell is wet.
    pub(super) fn is_sound(&self) -> bool {
        let dry = self.least_kg_per_m3 > self.greatest_kg_per_m3;
        self.solute_defect.is_finite()
            && self.water_defect.is_finite()
            && (dry || (self.least_kg_per_m3.is_finite() && self.greatest_kg_per_m3.is_finite()))
    }
}

/// The greater of two; unlike `max` it keeps a NaN.
fn worse(so_far: f64, now: f64) -> f64 {
    if now.is_nan() || now > so_far {
        now
    } else {
        so_far
    }
}
