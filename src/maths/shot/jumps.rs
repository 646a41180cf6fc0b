//! Where the scale shows what no flow can do: changes too fast for coffee, and falls.

use super::bumps::{median, noise_g, running_median};
use super::line::{Line, after};
use super::stream::Reading;

/// Time in which a slow jump is looked for, s.
const WITHIN_S: f64 = 0.5;

/// Half the window of the running median in which slow jumps are looked for, s.
const HALF_WINDOW_S: f64 = 1.25;

/// Smallest slow fall that is a jump, g: coffee does not leave the cup.
const SLOW_FALL_G: f64 = 0.5;

/// Smallest slow rise that is a jump, g: 16 g/s is more than a bed lets through.
const SLOW_RISE_G: f64 = 8.0;

/// Smallest fall from one reading to the next that is a jump, g.
const FALL_G: f64 = 0.3;

/// Deviations of the noise that such a fall is above, where the scale is noisy.
const ABOVE_NOISE: f64 = 6.0;

/// Smallest rise from one reading to the next that is a jump: g, and g/s of time passed.
const RISE: (f64, f64) = (0.5, 10.0);

/// A fast flow, as far as which a rise is no part of a jump, g/s.
const FAST_FLOW: f64 = 4.0;

/// Jumps closer than this belong together: a knock goes up and down, s.
const TOGETHER_S: f64 = 1.0;

/// Shares of the largest change, and mass, from which on a change is part of a jump.
const PART: (f64, f64, f64) = (0.2, 0.02, 0.5);

/// Largest rate beside that of the flow at which the scale counts as settled, g/s.
const SETTLED_G_PER_S: f64 = 0.5;

/// Fastest fall that a settled scale shows, by noise, g/s.
const SETTLED_FALL: f64 = 0.2;

/// A jump that takes longer than this went through the scale's lag, s.
pub(super) const AT_ONCE_S: f64 = 0.25;

/// Lags after which what is left of a jump is gone.
const LAGS: f64 = 3.0;

/// From the last reading before a jump to the first one after it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Jump {
    pub(super) from: usize,
    pub(super) to: usize,
}

/// The jumps in order, none overlapping.
pub(super) fn find(readings: &[Reading], (interval_s, lag_s): (f64, f64)) -> Vec<Jump> {
    let seen = seen(readings, interval_s);
    let time_s = |place: usize| readings.get(place).map_or(0.0, |r| r.time_s);
    let mut found: Vec<Jump> = Vec::new();
    let mut place = 0;
    while let Some(first) = seen
        .get(place..)
        .and_then(|rest| rest.iter().position(|s| *s))
    {
        let first = place + first;
        let mut last = first;
        for next in first + 1..readings.len() {
            if time_s(next) - time_s(last) > TOGETHER_S {
                break;
            }
            if seen.get(next) == Some(&true) {
                last = next;
            }
        }
        let earliest = found.last().map_or(0, |jump| jump.to);
        let jump = bounded(readings, (first.max(earliest), last), lag_s);
        let jump = jump.filter(|jump| jump.from >= earliest);
        place = jump.map_or(0, |jump| jump.to).max(last + 1);
        found.extend(jump);
    }
    found
}

/// Whether a jump begins at each reading.
fn seen(readings: &[Reading], interval_s: f64) -> Vec<bool> {
    let masses_g: Vec<_> = readings.iter().map(|r| r.mass_g).collect();
    let curve_g = running_median(&masses_g, HALF_WINDOW_S, interval_s);
    let fall_g = libm::fmax(FALL_G, ABOVE_NOISE * noise_g(&masses_g));
    let is_fast = |place: usize| {
        let pair = readings.get(place..place + 2);
        pair.is_some_and(|pair| {
            let rise_g = pair[1].mass_g - pair[0].mass_g;
            let time_s = pair[1].time_s - pair[0].time_s;
            rise_g < -fall_g || rise_g > RISE.0 + RISE.1 * time_s + fall_g - FALL_G
        })
    };
    let is_slow = |place: usize| {
        let begin_s = readings.get(place)?.time_s;
        let end = readings.partition_point(|r| r.time_s <= begin_s + WITHIN_S);
        // over a gap there is one reading more, and a flow that may have gone on
        let end = end.max(place + 2).min(readings.len()) - 1;
        let stretch = libm::fmax(1.0, (readings.get(end)?.time_s - begin_s) / WITHIN_S);
        let change_g = curve_g.get(end)? - curve_g.get(place)?;
        Some(change_g < -libm::fmax(SLOW_FALL_G, fall_g) || change_g > SLOW_RISE_G * stretch)
    };
    let places = 0..readings.len();
    places
        .map(|place| is_fast(place) || is_slow(place) == Some(true))
        .collect()
}

/// Where a jump that was seen begins and where the scale has settled again.
fn bounded(readings: &[Reading], (first, last): (usize, usize), lag_s: f64) -> Option<Jump> {
    let begin_s = readings.get(first)?.time_s - WITHIN_S;
    let end_s = readings.get(last)?.time_s + WITHIN_S;
    let begin = readings.partition_point(|r| r.time_s < begin_s);
    let end = readings.partition_point(|r| r.time_s <= end_s);
    let change_g = |place: usize| {
        let pair = readings.get(place..place + 2);
        pair.map_or(0.0, |pair| {
            let rise_g = pair[1].mass_g - pair[0].mass_g;
            // a rise is part of it as far as it is no flow
            let flow_g = FAST_FLOW * (pair[1].time_s - pair[0].time_s);
            libm::fmax(-rise_g, libm::fmax(0.0, rise_g - flow_g))
        })
    };
    let places = || begin..end.min(readings.len() - 1);
    let largest_g = places().map(change_g).fold(0.0, f64::max);
    let limit_g = libm::fmin(PART.0 * largest_g, libm::fmax(PART.1 * largest_g, PART.2));
    let is_part = |place: &usize| change_g(*place) > 0.0 && change_g(*place) >= limit_g;
    // one earlier: the first change may be too small to be seen
    let from = places().find(is_part)?.saturating_sub(1);
    let mut to = places().rfind(is_part)? + 1;
    while to + 1 < readings.len() && !is_settled(readings, to) {
        to += 1;
    }
    let took_s = readings.get(to)?.time_s - readings.get(from)?.time_s;
    if took_s > AT_ONCE_S {
        let until_s = readings.get(to)?.time_s + LAGS * lag_s;
        to = readings.partition_point(|r| r.time_s < until_s);
    }
    Some(Jump { from, to })
}

/// Whether the rate at a reading is that of the flow after it, which no jump is in any more.
fn is_settled(readings: &[Reading], place: usize) -> bool {
    let slope = |of: &[Reading]| Line::through(of).map(|line| line.slope_g_per_s);
    let later = after(readings, place, 3.0 * WITHIN_S);
    let ends = later.first().zip(later.last());
    if ends.is_none_or(|(first, last)| last.time_s - first.time_s < 2.0 * WITHIN_S) {
        return false;
    }
    let usual = median(later.windows(4).filter_map(slope).collect());
    let now = slope(after(readings, place, 0.6 * WITHIN_S)).unwrap_or(usual);
    usual > -SETTLED_FALL && libm::fabs(now - usual) < SETTLED_G_PER_S
}
