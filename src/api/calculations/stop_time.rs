//! `stop-time`: when to stop a shot, foretold from a scale while it flows.

mod request;
mod response;
mod resume;
mod workings;

pub use request::{EarlierShot, StopTimeRequest};
pub use response::{ReadingFault, ReadingFaultCode, ShotState, StopRule, StopTimeResponse};

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::maths::stop::drain::learned;
use crate::maths::stop::{Drained, Settings, Tracker};

const SOURCES: &[&str] = &["kalman1960", "hoerl1970", "massbalance", "stop-drain"];

/// Most readings of a call: over three minutes of them, ten a second. Keeps the call light.
const MOST_READINGS: usize = 2000;

/// The `stop-time` calculation.
#[derive(Debug)]
pub struct StopTime;

impl Calculation for StopTime {
    const NAME: &'static str = "stop-time";
    const SUMMARY: &'static str = "When to stop a shot, foretold from the scale while it flows";
    const DESCRIPTION: &'static str = "Follows a shot on a scale that lags and foretells when the command to stop must go out, so that \
        the target is in the cup once everything has drained. Send the readings that are new, about ten times a second, with the \
        `resume` of the last answer: the service keeps nothing, and the same readings give the same answer in however many \
        portions they come. Readings that were sent before are ignored, so a call may be repeated. The filter is of the kind of \
        Kalman, of mass, flow and what the scale shows; what comes after the stop is a straight line in the flow, learned \
        from `history`.\n\n\
        **A network must not stop a shot**: hot water runs on when an answer is late or lost. The phone, or better the machine, \
        decides by itself with `stop_rule`: the command goes out once `mass + flow × (delay_s + drain_per_flow_s) + drain_base_g` reaches the target, \
        with mass and flow as the scale shows them. Keep a limit of time beside it, and a person at the machine.\n\n\
        What is usual of the drain is assumed, and the accuracy was found on simulated scales, not on machines.";
    const TAG: Tag = Tag::Shot;
    const BASIS: Basis = Basis::Measured;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::HotWater,
        CautionCode::NetworkMustNotStop,
        CautionCode::DrainAssumed,
        CautionCode::ReadingsInDoubt,
    ];
    const BOUNDS: &'static [Bound] = &[
        Bound::list("time_s", Tracker::TIME, 0, MOST_READINGS),
        Bound::list("mass_g", Tracker::READING, 0, MOST_READINGS),
        Bound::new("target_beverage_mass_g", Settings::TARGET),
        Bound::new("command_latency_s", Settings::LATENCY),
        Bound::new("scale_lag_s", Settings::LAG),
        Bound::new("transport_delay_s", Settings::DELAY),
        Bound::new("flow_at_stop_g_per_s", Drained::FLOW),
        Bound::new("after_stop_g", Drained::AFTER_STOP),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("seconds_left", 1),
        Headline::new("stop_at_s", 1),
        Headline::new("expected_final_mass_g", 1),
        Headline::new("standard_uncertainty_g", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "stop-time",
            "harbour-first-call",
            "The first readings of a shot at the harbour bar, with the shots before it"
        ),
        example!(
            "stop-time",
            "harbour-goes-on",
            "The same shot a little later: only the new readings, and what to go on from"
        ),
        example!(
            "stop-time",
            "lab-tared-in-the-shot",
            "The lab course tares the scale in the midst of a shot, with workings"
        ),
    ];

    type Request = StopTimeRequest;
    type Response = StopTimeResponse;

    fn answer(
        request: &StopTimeRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<StopTimeResponse>, Problem> {
        let mut tracker = request.tracker()?;
        let mut faults = Vec::new();
        let mut used = 0;
        for (time_s, mass_g) in request.time_s.iter().zip(&request.mass_g) {
            let taken = tracker.push(*time_s, *mass_g).at("mass_g")?;
            used += u32::from(taken.is_used);
            faults.extend(taken.fault.map(|fault| ReadingFault::new(fault, *time_s)));
        }
        let cautions = cautions(&tracker, &faults);
        let response = StopTimeResponse::new(&tracker, used, request.time_s.len(), faults);
        let workings = (request.workings == Some(true)).then(|| workings::steps(&tracker));
        Ok(Answer::of::<Self>(response, SOURCES)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

fn cautions(tracker: &Tracker, faults: &[ReadingFault]) -> Vec<Caution> {
    let mut cautions = vec![
        Caution::from(CautionCode::NetworkMustNotStop),
        Caution::from(CautionCode::HotWater),
    ];
    if *tracker.drain() == learned(&[]) {
        cautions.push(CautionCode::DrainAssumed.into());
    }
    if !faults.is_empty() {
        cautions.push(CautionCode::ReadingsInDoubt.into());
    }
    cautions
}
