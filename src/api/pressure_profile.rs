//! Pressure over time, as requests about shots give it.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::api::problem::{Fault, FaultCode};
use crate::maths::MathsError;
use crate::maths::quantity::GaugePressure;
use crate::maths::simulation::PressureProfile;

/// Gauge pressure over time: straight lines between the points, held before the first and
/// after the last one. Both lists have the same length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ProfileRequest {
    /// Time since the pump started; rising.
    pub time_s: Vec<f64>,
    /// Gauge pressure at these times.
    pub pressure_bar: Vec<f64>,
}

impl ProfileRequest {
    /// The profile of the maths.
    pub(super) fn profile(&self) -> Result<PressureProfile, MathsError> {
        let points: Vec<_> = self
            .time_s
            .iter()
            .zip(&self.pressure_bar)
            .map(|(time, bar)| Ok((*time, GaugePressure::from_bar(*bar)?)))
            .collect::<Result<_, MathsError>>()?;
        PressureProfile::new(&points)
    }

    /// What bounds cannot express: lists of equal length, times that rise.
    pub(super) fn faults(&self, pointer: &str) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.time_s.len() != self.pressure_bar.len() {
            let (times, pressures) = (self.time_s.len(), self.pressure_bar.len());
            faults.push(Fault::new(
                format!("{pointer}/pressure_bar"),
                FaultCode::Inconsistent,
                format!("{pressures} pressures stand against {times} times"),
            ));
        }
        faults.extend(falling(&self.time_s, &format!("{pointer}/time_s")));
        faults
    }
}

/// The first time that is not after the one before it.
pub(super) fn falling(times_s: &[f64], pointer: &str) -> Option<Fault> {
    let index = times_s.windows(2).position(|pair| pair[1] <= pair[0])? + 1;
    Some(Fault::new(
        format!("{pointer}/{index}"),
        FaultCode::Inconsistent,
        "the times rise; this one is not after the one before it",
    ))
}
