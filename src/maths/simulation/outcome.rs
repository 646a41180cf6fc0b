//! What a simulated shot answers.

use super::accuracy::Resolution;
use super::diagnostics::Diagnostics;

/// The cup at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cup {
    /// Time since the pump started, s.
    pub time_s: f64,
    /// Beverage in the cup, g.
    pub beverage_mass_g: f64,
    /// Dissolved solids over beverage, mass fraction; zero in an empty cup.
    pub dissolved_fraction: f64,
    /// Dissolved solids over dose, mass fraction.
    pub extraction_fraction: f64,
    /// Beverage running into the cup, g/s.
    pub flow_g_per_s: f64,
}

/// A layer of the bed when the shot is judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BedLayer {
    /// Depth of the layer's middle over that of the bed; zero at the top.
    pub relative_depth: f64,
    /// Solute in the grains over what they held dry. A little above one where water that soaks
    /// in brings solute along.
    pub solubles_left_fraction: f64,
}

/// Why a simulation ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// The target is in the cup and every sample is taken.
    Complete,
    /// The duration was over first.
    DurationOver,
    /// The caller asked to stop; what is reported holds up to then.
    Cancelled,
}

/// The answer to a simulated shot.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// When the headspace is full and the bed begins to take up water, s.
    pub headspace_full_s: Option<f64>,
    /// When the front is through the bed, s.
    pub first_drop_s: Option<f64>,
    /// When the target is in the cup, s; absent when it is never reached.
    pub time_to_target_s: Option<f64>,
    /// The cup at that time.
    pub at_target: Option<Cup>,
    /// The cup at the times asked; fewer only after a cancellation.
    pub samples: Vec<Cup>,
    /// The cup at the end of the simulation.
    pub end: Cup,
    /// The bed by depth, top first, at the target or, without one, at the end.
    pub bed: Vec<BedLayer>,
    /// Why the simulation ended.
    pub ending: Ending,
    /// The resolution used.
    pub resolution: Resolution,
    /// Checks made while running.
    pub diagnostics: Diagnostics,
}
