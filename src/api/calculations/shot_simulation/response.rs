//! What a simulated shot answers.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::limits::Limit;
use super::sweep::SweepPoint;
use crate::maths::simulation::{Bed, BedLayer, Cup, Outcome};

/// The shot as the model has it.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ShotSimulationResponse {
    /// When the headspace is full and the bed begins to take up water; left out when it is not
    /// in time.
    pub headspace_full_s: Option<f64>,
    /// When water is through the bed; left out when it is not in time.
    pub first_drop_s: Option<f64>,
    /// Whether the target was in the cup in time.
    pub target_reached: bool,
    /// When it was; left out when it never was.
    pub time_to_target_s: Option<f64>,
    /// The cup at the target; left out when it was never reached.
    pub at_target: Option<SimulatedCup>,
    /// The cup at the end of the simulation; only when the target was not reached.
    pub at_end: Option<SimulatedCup>,
    /// The cup over time.
    pub samples: SimulatedSamples,
    /// Depth of the wetted bed; not that of the tamped one.
    pub wetted_bed_depth_mm: f64,
    /// What is left in the bed at the target, or at the end where it was not reached; only
    /// when `include_bed` was asked for.
    pub bed: Option<SimulatedBed>,
    /// The shot at every combination of the varied inputs; only with a `sweep`.
    pub points: Option<Vec<SweepPoint>>,
    /// What the model leaves out or does not do.
    pub limits: Vec<Limit>,
    /// Checks made while simulating.
    pub diagnostics: SimulationDiagnostics,
}

/// The cup at one moment.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SimulatedCup {
    /// Time since the pump started.
    pub time_s: f64,
    /// Beverage in the cup.
    pub beverage_mass_g: f64,
    /// Dissolved solids in the beverage; left out for an empty cup.
    pub tds_percent: Option<f64>,
    /// Dissolved solids over dose.
    pub extraction_yield_percent: f64,
    /// Beverage running into the cup.
    pub flow_g_per_s: f64,
}

/// The cup over time, as columns of equal length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SimulatedSamples {
    /// Time since the pump started.
    pub time_s: Vec<f64>,
    /// Beverage in the cup.
    pub beverage_mass_g: Vec<f64>,
    /// Dissolved solids in the beverage; 0 while the cup is empty.
    pub tds_percent: Vec<f64>,
    /// Dissolved solids over dose.
    pub extraction_yield_percent: Vec<f64>,
    /// Beverage running into the cup.
    pub flow_g_per_s: Vec<f64>,
}

/// The bed by depth, as columns of equal length, top first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SimulatedBed {
    /// Depth of the layer's middle.
    pub depth_mm: Vec<f64>,
    /// Solubles in the grains over what they held dry. A little above 100 where water that
    /// soaks in brings solubles along.
    pub solubles_left_percent: Vec<f64>,
}

/// Checks made while simulating.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SimulationDiagnostics {
    /// Largest change of the solubles in bed and cup together, over what the coffee held;
    /// rounding only.
    pub solute_defect: f64,
    /// Largest mismatch of the water, over what wets the bed; rounding only.
    pub water_defect: f64,
    /// Layers that the bed was cut into.
    pub cells: u32,
    /// Diffusion modes of the coarse grains.
    pub modes: u32,
    /// Longest time step.
    pub longest_step_s: f64,
    /// Time steps made.
    pub steps: u64,
    /// Work done: layers carried over a time step.
    pub cell_steps: u64,
}

/// A fraction in percent.
pub(super) fn percent(fraction: f64) -> f64 {
    fraction * 100.0
}

impl From<&Cup> for SimulatedCup {
    fn from(cup: &Cup) -> Self {
        let has_beverage = cup.beverage_mass_g > 0.0;
        Self {
            time_s: cup.time_s,
            beverage_mass_g: cup.beverage_mass_g,
            tds_percent: has_beverage.then(|| percent(cup.dissolved_fraction)),
            extraction_yield_percent: percent(cup.extraction_fraction),
            flow_g_per_s: cup.flow_g_per_s,
        }
    }
}

impl From<&[Cup]> for SimulatedSamples {
    fn from(cups: &[Cup]) -> Self {
        let column = |value: fn(&Cup) -> f64| cups.iter().map(value).collect();
        Self {
            time_s: column(|cup| cup.time_s),
            beverage_mass_g: column(|cup| cup.beverage_mass_g),
            tds_percent: column(|cup| percent(cup.dissolved_fraction)),
            extraction_yield_percent: column(|cup| percent(cup.extraction_fraction)),
            flow_g_per_s: column(|cup| cup.flow_g_per_s),
        }
    }
}

impl SimulatedBed {
    /// The layers of a bed of this depth.
    pub(super) fn new(layers: &[BedLayer], depth_mm: f64) -> Self {
        let column = |value: &dyn Fn(&BedLayer) -> f64| layers.iter().map(value).collect();
        Self {
            depth_mm: column(&|layer| layer.relative_depth * depth_mm),
            solubles_left_percent: column(&|layer| percent(layer.solubles_left_fraction)),
        }
    }
}

impl From<&Outcome> for SimulationDiagnostics {
    fn from(outcome: &Outcome) -> Self {
        Self {
            solute_defect: outcome.diagnostics.solute_defect,
            water_defect: outcome.diagnostics.water_defect,
            cells: outcome.resolution.cells,
            modes: outcome.resolution.modes,
            longest_step_s: outcome.resolution.step_s,
            steps: outcome.diagnostics.steps,
            cell_steps: outcome.diagnostics.cell_steps,
        }
    }
}

impl ShotSimulationResponse {
    /// The answer from an outcome, without bed layers and points.
    pub(super) fn new(outcome: &Outcome, bed: &Bed) -> Self {
        let at_end = outcome.at_target.is_none().then(|| (&outcome.end).into());
        Self {
            headspace_full_s: outcome.headspace_full_s,
            first_drop_s: outcome.first_drop_s,
            target_reached: outcome.at_target.is_some(),
            time_to_target_s: outcome.time_to_target_s,
            at_target: outcome.at_target.as_ref().map(SimulatedCup::from),
            at_end,
            samples: outcome.samples.as_slice().into(),
            wetted_bed_depth_mm: bed.depth_m * 1e3,
            bed: None,
            points: None,
            limits: Limit::all(),
            diagnostics: outcome.into(),
        }
    }
}
