//! The end of a shot: when the pump stopped, and what came into the cup after it.

use super::bumps::median;
use super::series::Series;
use super::smooth::CupState;
use super::stream::Stream;

/// How the end of the shot is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopKnown {
    /// It was given.
    Given,
    /// From the fall of the pressure.
    Pressure,
    /// From the fall of the flow.
    Flow,
}

/// Share of the highest pressure below which the pump counts as off.
const OFF_SHARE: f64 = 0.4;

/// Pressure that a pump gives at least, bar.
const SMALLEST_PRESSURE: f64 = 1.0;

/// Share of the earlier flow below which the flow counts as ended.
const ENDED_SHARE: f64 = 0.5;

/// How long the drain of a bed takes to get there, s: its time constant is some 0.6 s, an
/// assumption, and 0.6 ln 2 = 0.42.
const ENDED_AFTER_S: f64 = 0.42;

/// Stretch that gives the earlier flow, s.
const EARLIER_S: f64 = 3.0;

/// Smallest flow that counts, g/s.
const SMALLEST_FLOW: f64 = 0.2;

/// Last stretch of the stream, s.
const LAST_S: f64 = 1.0;

/// When the pressure fell at the end, s; none when it did not.
#[must_use]
pub(super) fn by_pressure(pressure: &Series) -> Option<f64> {
    let highest = pressure.points().map(|(_, bar)| bar).fold(0.0, f64::max);
    let limit = OFF_SHARE * highest;
    let mut later: Option<(f64, f64)> = None;
    for (time_s, bar) in pressure.points().rev() {
        if bar >= limit {
            let (off_s, off_bar) = later.filter(|_| highest >= SMALLEST_PRESSURE)?;
            let share = (bar - limit) / (bar - off_bar);
            return Some(time_s + share * (off_s - time_s));
        }
        later = Some((time_s, bar));
    }
    None
}

/// When the flow fell at the end, s; none when it did not.
#[must_use]
pub(super) fn by_flow(cup: &[CupState]) -> Option<f64> {
    let last = cup.last()?;
    if last.flow_g_per_s > SMALLEST_FLOW {
        return None;
    }
    // from the end back to where it still ran, then by the flow before that
    let running = cup
        .iter()
        .rposition(|s| s.flow_g_per_s > 2.0 * SMALLEST_FLOW)?;
    let end_s = cup.get(running)?.time_s - 0.5;
    let earlier: Vec<_> = cup
        .iter()
        .filter(|s| end_s - EARLIER_S <= s.time_s && s.time_s <= end_s)
        .map(|s| s.flow_g_per_s)
        .collect();
    let limit = libm::fmax(ENDED_SHARE * median(earlier), 2.0 * SMALLEST_FLOW);
    let place = cup.iter().rposition(|s| s.flow_g_per_s >= limit)?;
    Some(cup.get(place)?.time_s - ENDED_AFTER_S)
}

/// What the scale shows at the end, g.
#[must_use]
pub(super) fn final_g(stream: &Stream, cup: &[CupState]) -> f64 {
    let last_s = stream.of_use().next_back().map_or(0.0, |r| r.time_s);
    let at_end = cup.iter().rev().find(|s| s.time_s <= last_s);
    let (mass_g, flow) = at_end.map_or((0.0, 0.0), |s| (s.mass_g, s.flow_g_per_s));
    if flow > SMALLEST_FLOW {
        return mass_g;
    }
    let last = stream
        .of_use()
        .rev()
        .take_while(|r| r.time_s > last_s - LAST_S);
    let shown: Vec<_> = last.map(|r| r.mass_g).collect();
    if shown.len() < 3 {
        return mass_g;
    }
    let count = shown.iter().map(|_| 1.0).sum::<f64>();
    shown.iter().sum::<f64>() / count
}

/// Mass and flow at an instant, on straight lines between the states; held at the ends.
#[must_use]
pub(super) fn at(cup: &[CupState], time_s: f64) -> (f64, f64) {
    let next = cup.partition_point(|s| s.time_s < time_s);
    let before = next.checked_sub(1).and_then(|place| cup.get(place));
    match (before, cup.get(next)) {
        (Some(a), Some(b)) => {
            let share = (time_s - a.time_s) / (b.time_s - a.time_s);
            let between = |a: f64, b: f64| a + (b - a) * share;
            let flow = between(a.flow_g_per_s, b.flow_g_per_s);
            (between(a.mass_g, b.mass_g), flow)
        }
        (Some(only), None) | (None, Some(only)) => (only.mass_g, only.flow_g_per_s),
        (None, None) => (0.0, 0.0),
    }
}
