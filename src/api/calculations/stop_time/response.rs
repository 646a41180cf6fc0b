//! What a phone gets: where the shot is, when to stop it, and the rule to stop it by.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::resume;
use crate::maths::stop::{Fault, Phase, Tracker};

/// Where the shot is at the last reading, and what is foretold of it.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct StopTimeResponse {
    /// Where the shot is.
    pub state: ShotState,
    /// When the command to stop must go out, on the clock of the readings; once that moment
    /// has come, it stays. Left out while nothing flows.
    pub stop_at_s: Option<f64>,
    /// Time from the last reading until then, never below zero. Left out while nothing flows.
    pub seconds_left: Option<f64>,
    /// How far `stop_at_s` may still move: its standard uncertainty if no further reading came.
    /// Left out when there is nothing to come.
    pub stop_at_uncertainty_s: Option<f64>,
    /// What will be in the cup in the end if the command goes out at `stop_at_s`, or at once
    /// where that has passed and the pump still runs. Left out while nothing flows.
    pub expected_final_mass_g: Option<f64>,
    /// Standard uncertainty of that mass, when readings go on until the stop. Left out while
    /// nothing flows.
    pub standard_uncertainty_g: Option<f64>,
    /// Mass in the cup at the last reading, without the scale's lag. Left out before the first
    /// drops.
    pub beverage_mass_g: Option<f64>,
    /// Flow into the cup, without the scale's lag. Left out before the first drops.
    pub flow_g_per_s: Option<f64>,
    /// What the scale shows with nothing in the cup: masses count from there. Left out until
    /// it is known.
    pub zero_g: Option<f64>,
    /// The state of the shot, for the next call. Opaque: its form may change.
    pub resume: String,
    /// How to decide without the network.
    pub stop_rule: StopRule,
    /// Readings of this call that were put to use.
    pub readings_used: u32,
    /// Readings of this call that were not: seen before, or not to be believed.
    pub readings_ignored: u32,
    /// What was the matter with readings of this call, in their order; empty when nothing was.
    pub faults: Vec<ReadingFault>,
}

/// Where a shot is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShotState {
    /// Nothing has flowed yet.
    Waiting,
    /// Coffee flows, and the moment to stop is to come.
    Flowing,
    /// The moment to stop is now.
    StopNow,
    /// The target is in the cup, or the moment to stop lies over two seconds back. Where the
    /// pump still runs, stop it.
    Past,
}

impl From<Phase> for ShotState {
    fn from(phase: Phase) -> Self {
        match phase {
            Phase::Waiting => Self::Waiting,
            Phase::Flowing => Self::Flowing,
            Phase::StopNow => Self::StopNow,
            Phase::Past => Self::Past,
        }
    }
}

/// Send the command once `mass + flow × (delay_s + drain_per_flow_s) + drain_base_g` reaches
/// the target, with mass (less `zero_g`) and flow as the scale shows them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct StopRule {
    /// Part of what comes after the stop that does not depend on the flow.
    pub drain_base_g: f64,
    /// Part of what comes after the stop for each g/s of flow.
    pub drain_per_flow_s: f64,
    /// From what is in the cup to what the scale shows of it, and from the command to the
    /// stop: `transport_delay_s`, `scale_lag_s` and `command_latency_s`.
    pub delay_s: f64,
}

/// Something about a reading that is not as it should be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ReadingFault {
    /// What it is.
    pub code: ReadingFaultCode,
    /// Time of the reading at which it was found out.
    pub time_s: f64,
}

/// Stable code of what is the matter with a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ReadingFaultCode {
    /// The scale was knocked, or something was set down on it; the readings are ignored.
    Bump,
    /// The scale was tared; the mass goes on from where it was.
    Tare,
    /// The readings stay higher than can have flowed; the mass goes on from where it was.
    Shift,
    /// More than a second without a reading.
    Gap,
    /// The clock ran back: readings are ignored until the mass or the time shows that they are
    /// new.
    ClockBack,
}

impl ReadingFault {
    pub(super) const fn new(fault: Fault, time_s: f64) -> Self {
        let code = match fault {
            Fault::Bump => ReadingFaultCode::Bump,
            Fault::Tare => ReadingFaultCode::Tare,
            Fault::Shift => ReadingFaultCode::Shift,
            Fault::Gap => ReadingFaultCode::Gap,
            Fault::ClockBack => ReadingFaultCode::ClockBack,
        };
        Self { code, time_s }
    }
}

impl StopTimeResponse {
    /// The answer after the readings of a call, so many of which were used.
    pub(super) fn new(
        tracker: &Tracker,
        used: u32,
        readings: usize,
        faults: Vec<ReadingFault>,
    ) -> Self {
        let outlook = tracker.outlook();
        let readings = u32::try_from(readings).unwrap_or(u32::MAX);
        Self {
            state: outlook.phase.into(),
            stop_at_s: outlook.stop_at_s,
            seconds_left: outlook.seconds_left,
            stop_at_uncertainty_s: outlook.stop_uncertainty_s,
            expected_final_mass_g: outlook.final_g,
            standard_uncertainty_g: outlook.uncertainty_g,
            beverage_mass_g: outlook.mass_g,
            flow_g_per_s: outlook.flow_g_per_s,
            zero_g: tracker.zero_g(),
            resume: resume::encoded(tracker),
            stop_rule: StopRule::new(tracker),
            readings_used: used,
            readings_ignored: readings.saturating_sub(used),
            faults,
        }
    }
}

impl StopRule {
    pub(super) fn new(tracker: &Tracker) -> Self {
        let settings = tracker.settings();
        Self {
            drain_base_g: tracker.drain().base_g,
            drain_per_flow_s: tracker.drain().per_flow_s,
            delay_s: settings.transport_delay_s + settings.scale_lag_s + settings.command_latency_s,
        }
    }
}
