//! What a phone sends, and the tracker that it goes on from.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use super::resume;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::stop::drain::learned;
use crate::maths::stop::{Drain, Drained, Settings, Tracker};

/// The readings of a scale since the last call, and what the shot is to come to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StopTimeRequest {
    /// When each reading was taken, on the phone's clock, which should only run forwards. May
    /// be empty: the answer then has the rule and a state to go on from.
    pub time_s: Vec<f64>,
    /// What the scale showed; as many as there are times.
    pub mass_g: Vec<f64>,
    /// The state of the shot from the last answer, as it stands there; left out at the start
    /// of a shot. It holds for one target and one version of the service: where it is refused,
    /// send all readings of the shot without it.
    #[schema(max_length = 1024)]
    #[validate(length(max = 1024))]
    pub resume: Option<String>,
    /// Beverage wanted in the end. It stays the same through a shot.
    pub target_beverage_mass_g: f64,
    /// From the command to the pump's stop. Default: that of the shot's first call, where it
    /// is 0.2 (assumed, no source).
    pub command_latency_s: Option<f64>,
    /// Time constant of the scale. Default: that of the shot's first call, where it is 0.4
    /// (assumed, no source).
    pub scale_lag_s: Option<f64>,
    /// From the bed to the scale, and from there to the reading. Default: that of the shot's
    /// first call, where it is 0.12 (assumed, no source).
    pub transport_delay_s: Option<f64>,
    /// Earlier shots of the same machine, basket and spout. Needed once in a shot, since its
    /// state carries what was learned; given again, it is learned anew.
    #[schema(max_items = 1000)]
    pub history: Option<Vec<EarlierShot>>,
    /// Whether the answer shows how it was worked out.
    pub workings: Option<bool>,
}

/// How an earlier shot ended. Both numbers count from the moment the pump stopped; counted from
/// the command they serve as well, with a `command_latency_s` of 0.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlierShot {
    /// Flow into the cup at the stop.
    pub flow_at_stop_g_per_s: f64,
    /// What came into the cup after it.
    pub after_stop_g: f64,
}

impl From<&EarlierShot> for Drained {
    fn from(shot: &EarlierShot) -> Self {
        Self {
            flow_at_stop_g_per_s: shot.flow_at_stop_g_per_s,
            after_stop_g: shot.after_stop_g,
        }
    }
}

impl StopTimeRequest {
    /// The shot so far, before the readings of this call.
    pub(super) fn tracker(&self) -> Result<Tracker, Problem> {
        let mut faults = Vec::new();
        let (times, masses) = (self.time_s.len(), self.mass_g.len());
        if times != masses {
            faults.push(Fault::new(
                "/mass_g",
                FaultCode::Inconsistent,
                format!("{masses} masses stand against {times} times"),
            ));
        }
        let resumed = self.resume.as_deref().map(resume::decoded);
        match resumed {
            Some(Err(reason)) => {
                faults.push(Fault::new("/resume", FaultCode::Inconsistent, reason));
            }
            Some(Ok(tracker)) => {
                faults.extend(self.unlike(tracker.settings()));
                if faults.is_empty() {
                    return Ok(match self.drain() {
                        Some(drain) => tracker.with_drain(drain),
                        None => tracker,
                    });
                }
            }
            None if faults.is_empty() => {
                let drain = self.drain().unwrap_or_else(|| learned(&[]));
                return Tracker::new(self.settings(), drain).at("");
            }
            None => {}
        }
        Err(Problem::invalid(faults))
    }

    fn settings(&self) -> Settings {
        let latency_s = self.command_latency_s;
        Settings {
            target_g: self.target_beverage_mass_g,
            command_latency_s: latency_s.unwrap_or(Settings::USUAL_LATENCY_S),
            scale_lag_s: self.scale_lag_s.unwrap_or(Settings::USUAL_LAG_S),
            transport_delay_s: self.transport_delay_s.unwrap_or(Settings::USUAL_DELAY_S),
        }
    }

    fn drain(&self) -> Option<Drain> {
        let shots: Vec<_> = self.history.as_ref()?.iter().map(Drained::from).collect();
        Some(learned(&shots))
    }

    /// A shot has one target, one machine and one scale: what is given again and differs.
    fn unlike(&self, of_state: &Settings) -> Vec<Fault> {
        let given = [
            (
                "/resume",
                "target_beverage_mass_g",
                Some(self.target_beverage_mass_g),
                of_state.target_g,
            ),
            (
                "/command_latency_s",
                "command_latency_s",
                self.command_latency_s,
                of_state.command_latency_s,
            ),
            (
                "/scale_lag_s",
                "scale_lag_s",
                self.scale_lag_s,
                of_state.scale_lag_s,
            ),
            (
                "/transport_delay_s",
                "transport_delay_s",
                self.transport_delay_s,
                of_state.transport_delay_s,
            ),
        ];
        let differs = |given: &f64, held: f64| given.total_cmp(&held).is_ne();
        given
            .into_iter()
            .filter(|(_, _, given, held)| given.is_some_and(|given| differs(&given, *held)))
            .map(|(pointer, name, _, held)| {
                let detail = format!("the state is of a shot with a `{name}` of {held}");
                Fault::new(pointer, FaultCode::Inconsistent, detail)
            })
            .collect()
    }
}
