//! The phases of a shot: by its pressure where that is known, by the cup otherwise.

use super::series::Series;

/// A phase of a shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhaseKind {
    /// Low pressure from the pump's start on.
    Preinfusion,
    /// The pressure comes up.
    Rise,
    /// The pressure is up; without a pressure, beverage runs.
    Extraction,
    /// The pressure is let down while the pump runs.
    Decline,
    /// No beverage yet; only without a pressure.
    Wetting,
    /// What runs after the pump stopped.
    Dripping,
}

/// A phase and its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    /// Which one.
    pub kind: PhaseKind,
    /// Where it begins, s.
    pub start_s: f64,
    /// Where it ends, s.
    pub end_s: f64,
}

/// Share of the highest pressure that is full pressure; a choice of ours.
const FULL_SHARE: f64 = 0.85;

/// Share of the highest pressure that is low pressure; a choice of ours.
const LOW_SHARE: f64 = 0.55;

/// Shortest phase that is told, s; a pressure that comes up at once is no phase.
const SHORTEST_S: f64 = 1.0;

/// Instants of a shot, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Instants {
    pub(super) pump_on_s: f64,
    pub(super) first_drop_s: Option<f64>,
    pub(super) stop_s: Option<f64>,
    pub(super) last_s: f64,
}

/// The phases in order, each beginning where the one before it ends.
pub(super) fn phases(at: Instants, pressure: Option<&Series>) -> Vec<Phase> {
    let stop_s = at.stop_s.unwrap_or(at.last_s);
    let by_pressure = pressure.and_then(|pressure| by_pressure(pressure, at.pump_on_s, stop_s));
    let mut ends = by_pressure.unwrap_or_else(|| by_cup(at.first_drop_s, stop_s));
    if at.stop_s.is_some() {
        ends.push((PhaseKind::Dripping, at.last_s));
    }
    let mut phases = Vec::new();
    let mut start_s = at.pump_on_s;
    for (kind, end_s) in ends {
        if end_s > start_s {
            phases.push(Phase {
                kind,
                start_s,
                end_s,
            });
            start_s = end_s;
        }
    }
    phases
}

fn by_cup(first_drop_s: Option<f64>, stop_s: f64) -> Vec<(PhaseKind, f64)> {
    match first_drop_s {
        Some(drop_s) => vec![
            (PhaseKind::Wetting, libm::fmin(drop_s, stop_s)),
            (PhaseKind::Extraction, stop_s),
        ],
        None => vec![(PhaseKind::Wetting, stop_s)],
    }
}

/// Ends of the phases before the stop; none without a pressure worth the name.
fn by_pressure(pressure: &Series, on_s: f64, stop_s: f64) -> Option<Vec<(PhaseKind, f64)>> {
    const SMALLEST_BAR: f64 = 1.0;
    let running = || {
        let points = pressure.points();
        points.filter(|(time_s, _)| on_s <= *time_s && *time_s <= stop_s)
    };
    let highest = running().map(|(_, bar)| bar).fold(0.0, f64::max);
    if highest < SMALLEST_BAR {
        return None;
    }
    let is_full = |(_, bar): &(f64, f64)| *bar >= FULL_SHARE * highest;
    let full_s = running().find(is_full).map(|(time_s, _)| time_s)?;
    let down_s = running().rfind(is_full).map(|(time_s, _)| time_s)?;
    let mut before =
        running().filter(|(time_s, bar)| *time_s < full_s && *bar < LOW_SHARE * highest);
    let low_s = before.next_back().map_or(on_s, |(time_s, _)| time_s);
    let mut ends = Vec::new();
    // what is shorter than a phase belongs to the next one
    if low_s - on_s >= SHORTEST_S && has_plateau(pressure, (on_s, low_s), highest) {
        ends.push((PhaseKind::Preinfusion, low_s));
    }
    ends.push((PhaseKind::Rise, full_s));
    if stop_s - down_s >= SHORTEST_S {
        ends.push((PhaseKind::Extraction, down_s));
        ends.push((PhaseKind::Decline, stop_s));
    } else {
        ends.push((PhaseKind::Extraction, stop_s));
    }
    Some(ends)
}

/// Whether a low pressure was held, rather than passed on the way up.
fn has_plateau(pressure: &Series, (from_s, to_s): (f64, f64), highest: f64) -> bool {
    let middle_s = 0.5 * (from_s + to_s);
    let later = (pressure.mean(middle_s, to_s), pressure.at(to_s));
    let rise = match later {
        (Some(mean), Some(end)) => libm::fabs(end - mean),
        (None, _) | (_, None) => highest,
    };
    rise < 0.2 * highest
}
