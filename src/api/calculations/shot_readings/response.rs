//! What the readings of a shot say.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::bed::Bed;
use super::request::ShotReadingsRequest;
use crate::maths::shot::phases::{Phase, PhaseKind};
use crate::maths::shot::smooth::CupState;
use crate::maths::shot::stop::StopKnown;
use crate::maths::shot::{Analysis, Fault, FaultKind};

/// A recorded shot. All times count from the pump's start.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ShotReadingsResponse {
    /// When the first drop fell into the cup; left out when none did, or when the readings begin
    /// after it.
    pub first_drop_s: Option<f64>,
    /// Its standard uncertainty: of the fit, of a lag that may be off by a quarter, and of
    /// drops that fall one by one.
    pub first_drop_uncertainty_s: Option<f64>,
    /// From pump on to pump off; left out when the end cannot be told.
    pub shot_time_s: Option<f64>,
    /// How the end is known.
    pub shot_time_from: Option<ShotTimeFrom>,
    /// Beverage in the cup at the end of the readings, what came after the pump stopped
    /// included. What a cup that was set down late did not catch is not in it.
    pub beverage_mass_g: f64,
    /// Beverage over dose.
    pub brew_ratio: Option<f64>,
    /// Beverage above the target; below it when negative.
    pub over_target_g: Option<f64>,
    /// Mean flow from the first drop to the end of the shot.
    pub mean_flow_g_per_s: Option<f64>,
    /// Highest flow, as a mean over one second.
    pub peak_flow_g_per_s: Option<f64>,
    /// Flow when the pump stopped; only where its stop is known from more than the flow.
    pub flow_at_stop_g_per_s: Option<f64>,
    /// What came after the pump stopped; only where its stop is known from more than the flow.
    pub after_stop_g: Option<f64>,
    /// The cup over time.
    pub flow: FlowSeries,
    /// The phases in order, each beginning where the one before it ends: by the pressure where
    /// there is one, by the cup otherwise.
    pub phases: Vec<ShotPhase>,
    /// Mean pressure from two seconds after the first drop to the end of the shot.
    pub mean_pressure_bar: Option<f64>,
    /// That pressure over the mean flow of the same time, by volume of water.
    pub puck_resistance_bar_s_per_ml: Option<f64>,
    /// Permeability by Darcy's law with the viscosity of water: an effective value, since a
    /// beverage is more viscous. Needs a pressure, the basket's diameter, and the dose or the
    /// depth of the bed.
    pub permeability_m2: Option<f64>,
    /// 1 less `flow_variation_percent` / 100, not below 0. A statistic of the flow: it neither
    /// proves nor rules out that water ran unevenly through the bed.
    pub evenness: Option<f64>,
    /// Root mean square distance of the flow from its own straight line over time, over the mean
    /// flow, from two seconds after the first drop to the end of the shot. Where a pressure is
    /// known the flow is divided by it first.
    pub flow_variation_percent: Option<f64>,
    /// What was wrong with the readings, in order of time; nothing is left out of this list that
    /// was left out of the numbers.
    pub faults: Vec<SeriesFault>,
}

/// How the end of a shot is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShotTimeFrom {
    /// `stopped_at_s` was given.
    StoppedAt,
    /// The pressure fell.
    Pressure,
    /// The flow fell; good to some tenths of a second.
    Flow,
}

/// The cup over time, as columns of equal length: one instant for each reading, earlier than it
/// by the transport delay, freed of the scale's lag.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FlowSeries {
    /// Time since the pump's start.
    pub time_s: Vec<f64>,
    /// Flow into the cup, smoothed; about zero it may be a little negative.
    pub flow_g_per_s: Vec<f64>,
    /// Beverage in the cup, smoothed, on one level across tares and cups.
    pub beverage_mass_g: Vec<f64>,
}

/// A phase of a shot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ShotPhase {
    /// Which one.
    pub phase: PhaseName,
    /// Where it begins.
    pub start_s: f64,
    /// Where it ends.
    pub end_s: f64,
}

/// Name of a phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum PhaseName {
    /// A low pressure is held from the pump's start on, below 55 % of the highest.
    Preinfusion,
    /// The pressure comes up, to 85 % of the highest.
    Rise,
    /// The pressure is up; without a pressure, beverage runs.
    Extraction,
    /// The pressure is let down for a second or more before the pump stops.
    Decline,
    /// No beverage yet; only without a pressure.
    Wetting,
    /// What runs after the pump stopped.
    Dripping,
}

/// A fault of the readings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SeriesFault {
    /// What went wrong.
    pub code: SeriesFaultCode,
    /// When it began.
    pub time_s: f64,
    /// How many readings it touches; for a gap, how many are missing.
    #[schema(minimum = 0)]
    pub readings: u32,
}

/// Stable code of a fault of the readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SeriesFaultCode {
    /// Cup or scale were knocked: readings left the curve and came back; they are left out.
    Bump,
    /// The scale was set to zero; the curve is carried on.
    Tare,
    /// A cup, or something else, was put on the scale; its mass is taken off.
    CupSetDown,
    /// A cup, or something else, was taken off the scale; the curve is carried on.
    CupLifted,
    /// Readings are missing for half a second or more; the curve is bridged.
    Gap,
    /// One instant has two readings; their mean is taken.
    Duplicate,
    /// The clock was set back and is carried on, or a reading came late and was put in order.
    ClockRunningBack,
    /// The scale stood still at its highest reading while beverage ran; these are left out, and
    /// the beverage is what was seen.
    ScaleOutOfRange,
}

impl From<Phase> for ShotPhase {
    fn from(phase: Phase) -> Self {
        Self {
            phase: match phase.kind {
                PhaseKind::Preinfusion => PhaseName::Preinfusion,
                PhaseKind::Rise => PhaseName::Rise,
                PhaseKind::Extraction => PhaseName::Extraction,
                PhaseKind::Decline => PhaseName::Decline,
                PhaseKind::Wetting => PhaseName::Wetting,
                PhaseKind::Dripping => PhaseName::Dripping,
            },
            start_s: phase.start_s,
            end_s: phase.end_s,
        }
    }
}

impl From<&Fault> for SeriesFault {
    fn from(fault: &Fault) -> Self {
        Self {
            code: match fault.kind {
                FaultKind::Bump => SeriesFaultCode::Bump,
                FaultKind::Tare => SeriesFaultCode::Tare,
                FaultKind::CupSetDown => SeriesFaultCode::CupSetDown,
                FaultKind::CupLifted => SeriesFaultCode::CupLifted,
                FaultKind::Gap => SeriesFaultCode::Gap,
                FaultKind::Duplicate => SeriesFaultCode::Duplicate,
                FaultKind::ClockRunningBack => SeriesFaultCode::ClockRunningBack,
                FaultKind::ScaleOutOfRange => SeriesFaultCode::ScaleOutOfRange,
            },
            time_s: fault.time_s,
            readings: fault.readings,
        }
    }
}

impl From<&[CupState]> for FlowSeries {
    fn from(cup: &[CupState]) -> Self {
        let column = |value: fn(&CupState) -> f64| cup.iter().map(value).collect();
        Self {
            time_s: column(|state| state.time_s),
            flow_g_per_s: column(|state| state.flow_g_per_s),
            beverage_mass_g: column(|state| state.mass_g),
        }
    }
}

impl From<StopKnown> for ShotTimeFrom {
    fn from(known: StopKnown) -> Self {
        match known {
            StopKnown::Given => Self::StoppedAt,
            StopKnown::Pressure => Self::Pressure,
            StopKnown::Flow => Self::Flow,
        }
    }
}

impl ShotReadingsResponse {
    pub(super) fn new(request: &ShotReadingsRequest, analysis: &Analysis, bed: &Bed) -> Self {
        let beverage_g = analysis.beverage_g;
        let is_known = |(_, known): (f64, StopKnown)| known != StopKnown::Flow;
        let at_stop = analysis
            .at_stop
            .filter(|_| analysis.stop.is_some_and(is_known));
        let evenness = analysis.evenness;
        Self {
            first_drop_s: analysis.first_drop.map(|drop| drop.time_s),
            first_drop_uncertainty_s: analysis.first_drop.map(|d| d.standard_uncertainty_s),
            shot_time_s: analysis.stop.map(|(time_s, _)| time_s),
            shot_time_from: analysis.stop.map(|(_, known)| known.into()),
            beverage_mass_g: beverage_g,
            brew_ratio: request.dose_g.map(|dose_g| beverage_g / dose_g),
            over_target_g: request
                .target_beverage_mass_g
                .map(|target| beverage_g - target),
            mean_flow_g_per_s: analysis.mean_flow_g_per_s,
            peak_flow_g_per_s: analysis.peak_flow_g_per_s,
            flow_at_stop_g_per_s: at_stop.map(|(_, flow)| flow),
            after_stop_g: at_stop.map(|(mass_g, _)| beverage_g - mass_g),
            flow: analysis.cup.as_slice().into(),
            phases: analysis
                .phases
                .iter()
                .map(|phase| (*phase).into())
                .collect(),
            mean_pressure_bar: analysis.running.and_then(|running| running.pressure_bar),
            puck_resistance_bar_s_per_ml: bed.resistance_bar_s_per_ml,
            permeability_m2: bed.permeability_m2,
            evenness: evenness.map(|evenness| evenness.evenness),
            flow_variation_percent: evenness.map(|evenness| evenness.variation * 100.0),
            faults: analysis.faults.iter().map(SeriesFault::from).collect(),
        }
    }
}
