//! A recorded shot, from its readings to what they say.

use super::evenness::Evenness;
use super::fault::Fault;
use super::first_drop::FirstDrop;
use super::phases::{Instants, Phase, phases};
use super::series::Series;
use super::smooth::{self, Change, CupState, Lag};
use super::stop::{self, StopKnown};
use super::stream::Stream;
use crate::maths::error::MathsError;

/// Lag of a kitchen scale where none is given, and how long its readings travel, s.
pub const USUAL_LAG: Lag = Lag {
    scale_s: 0.4,
    transport_s: 0.12,
};

/// Time from the first drop until the bed is wet through and the flow is that of the bed, s.
const WET_THROUGH_S: f64 = 2.0;

/// The flow begins at once, within this around the first drop, s.
const BEGINS_WITHIN_S: f64 = 0.15;

/// How fast it begins, (g/s) per root of a second: some 2 g/s in that time.
const BEGINS: f64 = 3.0;

/// Time in which the flow ends after the pump stopped, s.
const ENDS_WITHIN_S: f64 = 1.5;

/// How fast it ends, (g/s) per root of a second.
const ENDS: f64 = 1.2;

/// Width of the mean that the highest flow is taken of, s: less is drops.
const PEAK_WIDTH_S: f64 = 1.0;

/// What was recorded of a shot; all times on one clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording<'a> {
    /// Instants of the readings, s.
    pub times_s: &'a [f64],
    /// What the scale showed at these, g.
    pub masses_g: &'a [f64],
    /// Pressure over the bed, bar.
    pub pressure: Option<Series>,
    /// When the pump was switched on, s.
    pub pump_on_s: f64,
    /// When it was switched off, s, where that is known.
    pub stopped_s: Option<f64>,
    /// How the scale follows the cup.
    pub lag: Lag,
}

/// Means over the stretch on which the bed is wet through and the pump runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Running {
    /// Where it begins and ends, s.
    pub span_s: (f64, f64),
    /// Mean flow, g/s.
    pub flow_g_per_s: f64,
    /// Mean pressure, bar, where it is known.
    pub pressure_bar: Option<f64>,
}

/// What the readings of a shot say.
#[derive(Debug, Clone, PartialEq)]
pub struct Analysis {
    /// What was wrong with the readings.
    pub faults: Vec<Fault>,
    /// The cup over time, empty at first.
    pub cup: Vec<CupState>,
    /// The first drop, where it was seen.
    pub first_drop: Option<FirstDrop>,
    /// When the pump stopped, and how that is known.
    pub stop: Option<(f64, StopKnown)>,
    /// Beverage at the end of the readings, g.
    pub beverage_g: f64,
    /// Beverage and flow when the pump stopped, g and g/s.
    pub at_stop: Option<(f64, f64)>,
    /// Mean flow from the first drop to the stop, g/s.
    pub mean_flow_g_per_s: Option<f64>,
    /// Highest flow, as a mean over a second, g/s.
    pub peak_flow_g_per_s: Option<f64>,
    /// Phases in order.
    pub phases: Vec<Phase>,
    /// Means while the bed was wet through.
    pub running: Option<Running>,
    /// How evenly the shot ran.
    pub evenness: Option<Evenness>,
}

impl Analysis {
    /// What a recording says.
    ///
    /// # Errors
    /// As [`Stream::of`].
    pub fn of(recording: &Recording<'_>) -> Result<Self, MathsError> {
        let lag = recording.lag;
        let stream = Stream::of(recording.times_s, recording.masses_g, lag.scale_s)?;
        let first_drop = FirstDrop::find(&stream, lag);
        let (mut cup, stop) = smoothed(&stream, recording, first_drop);
        // without a first drop nothing came, or nobody knows what stood there before
        let empty_g = first_drop.map_or_else(
            || if came(&cup) { 0.0 } else { first_g(&cup) },
            |drop| drop.empty_g,
        );
        let beverage_g = stop::final_g(&stream, &cup) - empty_g;
        cup.iter_mut().for_each(|state| state.mass_g -= empty_g);
        let last_s = stream.span_s().1 - lag.transport_s;
        let mut analysis = Self {
            faults: stream.faults,
            at_stop: stop.map(|(time_s, _)| stop::at(&cup, time_s)),
            cup,
            first_drop,
            stop,
            beverage_g,
            mean_flow_g_per_s: None,
            peak_flow_g_per_s: None,
            phases: Vec::new(),
            running: None,
            evenness: None,
        };
        analysis.describe(recording, last_s);
        Ok(analysis)
    }

    /// What follows from the instants.
    fn describe(&mut self, recording: &Recording<'_>, last_s: f64) {
        let pressure = recording.pressure.as_ref();
        let stop_s = self.stop.map(|(time_s, _)| time_s);
        let first_drop_s = self.first_drop.map(|drop| drop.time_s);
        self.phases = phases(
            Instants {
                pump_on_s: recording.pump_on_s,
                first_drop_s,
                stop_s,
                last_s,
            },
            pressure,
        );
        let end_s = stop_s.unwrap_or(last_s);
        let Some(drop_s) = first_drop_s.filter(|drop_s| *drop_s < end_s) else {
            return;
        };
        let mass_g = |time_s| stop::at(&self.cup, time_s).0;
        self.mean_flow_g_per_s = Some(mass_g(end_s) / (end_s - drop_s));
        self.peak_flow_g_per_s = peak(&self.cup, (drop_s, end_s));
        let from_s = drop_s + WET_THROUGH_S;
        if from_s + WET_THROUGH_S > end_s {
            return;
        }
        self.running = Some(Running {
            span_s: (from_s, end_s),
            flow_g_per_s: (mass_g(end_s) - mass_g(from_s)) / (end_s - from_s),
            pressure_bar: pressure.and_then(|series| series.mean(from_s, end_s)),
        });
        self.evenness = Evenness::of(&self.cup, from_s, end_s, pressure);
    }
}

/// The cup over time, told where the flow begins and ends, and when the pump stopped.
fn smoothed(
    stream: &Stream,
    recording: &Recording<'_>,
    first_drop: Option<FirstDrop>,
) -> (Vec<CupState>, Option<(f64, StopKnown)>) {
    let lag = recording.lag;
    let shown = |time_s: f64| time_s + lag.transport_s;
    let mut changes: Vec<Change> = first_drop
        .iter()
        .map(|drop| Change {
            span_s: (
                shown(drop.time_s) - BEGINS_WITHIN_S,
                shown(drop.time_s) + BEGINS_WITHIN_S,
            ),
            wander: BEGINS,
        })
        .collect();
    let given = recording.stopped_s.map(|stop_s| (stop_s, StopKnown::Given));
    let known = given.or_else(|| {
        let off_s = recording.pressure.as_ref().and_then(stop::by_pressure)?;
        Some((off_s, StopKnown::Pressure))
    });
    let stop = known.or_else(|| {
        let by_flow = stop::by_flow(&smooth::cup(stream, lag, &changes))?;
        Some((by_flow, StopKnown::Flow))
    });
    if let Some((stop_s, _)) = stop {
        changes.push(Change {
            span_s: (shown(stop_s), shown(stop_s) + ENDS_WITHIN_S),
            wander: ENDS,
        });
    }
    (smooth::cup(stream, lag, &changes), stop)
}

fn first_g(cup: &[CupState]) -> f64 {
    cup.first().map_or(0.0, |state| state.mass_g)
}

/// Whether beverage came although its beginning was not seen.
fn came(cup: &[CupState]) -> bool {
    const SOME_G: f64 = 1.0;
    let last_g = cup.last().map_or(0.0, |state| state.mass_g);
    last_g - first_g(cup) > SOME_G
}

/// The highest mean flow over [`PEAK_WIDTH_S`], or over the whole stretch where it is shorter.
fn peak(cup: &[CupState], (from_s, to_s): (f64, f64)) -> Option<f64> {
    let width_s = libm::fmin(PEAK_WIDTH_S, to_s - from_s);
    let states = cup
        .iter()
        .filter(|s| from_s <= s.time_s && s.time_s + width_s <= to_s);
    let gain = |s: &CupState| (stop::at(cup, s.time_s + width_s).0 - s.mass_g) / width_s;
    states.map(gain).max_by(f64::total_cmp)
}
