//! Readings that leave the curve and come back: a cup that was knocked.
//!
//! A running median leaves a rising curve exactly as it is and takes out whatever leaves it for
//! less than half the window, so what differs from it was no coffee.

use super::fault::{Fault, FaultKind};
use super::stream::Reading;

/// Half the window of the running median, s: a knock and the lag after it are over by then.
const HALF_WINDOW_S: f64 = 2.0;

/// Readings on either side of the middle, at least and at most.
const HALF_WINDOW: (usize, usize) = (2, 150);

/// Smallest distance from the curve that is a bump, g: some steps of a scale, and drops.
const SMALLEST_G: f64 = 0.4;

/// How many standard deviations of the noise a bump is above, where the scale is noisy.
const ABOVE_NOISE: f64 = 6.0;

/// Median deviation of normal noise to standard deviation. From memory: 1 / 0.6745.
const DEVIATION: f64 = 1.482_6;

/// Time before a bump shows in which it may have begun, s: while it still rises, a running
/// median takes it for the curve.
const ONSET_S: f64 = 0.5;

/// Share of the limit down to which the flanks of a bump are left out too.
const FLANK: f64 = 0.25;

/// The running median of the masses; near the ends the window shrinks evenly.
pub(super) fn running_median(masses_g: &[f64], half_s: f64, interval_s: f64) -> Vec<f64> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small positive count; the cast saturates"
    )]
    let half = (half_s / interval_s) as usize;
    let half = half.clamp(HALF_WINDOW.0, HALF_WINDOW.1);
    let mut window = Vec::with_capacity(2 * half + 1);
    let count = masses_g.len();
    let middle = |place: usize| {
        let reach = half.min(place).min(count - 1 - place);
        window.clear();
        window.extend_from_slice(masses_g.get(place - reach..=place + reach)?);
        Some(*window.select_nth_unstable_by(reach, f64::total_cmp).1)
    };
    (0..count).filter_map(middle).collect()
}

/// Standard deviation of the noise of readings, from their second differences.
pub(super) fn noise_g(masses_g: &[f64]) -> f64 {
    let bends = masses_g
        .windows(3)
        .map(|three| libm::fabs(three[0] - 2.0 * three[1] + three[2]));
    // white noise bends with a deviation of the root of 1 + 4 + 1 times its own
    DEVIATION * median(bends.collect()) / libm::sqrt(6.0)
}

/// The median of some numbers; 0 of none.
pub(super) fn median(mut of: Vec<f64>) -> f64 {
    if of.is_empty() {
        return 0.0;
    }
    let middle = of.len() / 2;
    *of.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Marks what was a bump as of no use, among readings without steps.
///
/// What is left of a bump goes away with the scale's lag. A long one pulls the median along, so
/// that its end is seen only once the rest of it is left out: hence a second look.
pub(super) fn leave_out(
    readings: &[Reading],
    (interval_s, lag_s): (f64, f64),
    usable: &mut [bool],
) -> Vec<Fault> {
    let first = Residuals::of(readings, interval_s, usable);
    let limit_g = first.limit_g();
    let found: Vec<_> = first
        .runs(limit_g)
        .into_iter()
        .map(|run| (run.0, run.1 + lag_s))
        .collect();
    mark(readings, &found, usable);
    let second = Residuals::of(readings, interval_s, usable);
    let spans: Vec<_> = found
        .iter()
        .map(|(from_s, to_s)| (*from_s, second.back_on_curve_s(*to_s, limit_g) + lag_s))
        .collect();
    mark(readings, &spans, usable);
    let onsets: Vec<_> = spans
        .iter()
        .map(|(from_s, to_s)| (from_s - ONSET_S, *to_s))
        .collect();
    mark(readings, &onsets, usable);
    let told = |&(from_s, to_s): &(f64, f64)| {
        let inside = readings
            .iter()
            .filter(|r| from_s <= r.time_s && r.time_s <= to_s);
        let count = u32::try_from(inside.count()).unwrap_or(u32::MAX);
        Fault::spread(FaultKind::Bump, (from_s, to_s), count)
    };
    spans.iter().map(told).collect()
}

fn mark(readings: &[Reading], spans: &[(f64, f64)], usable: &mut [bool]) {
    for (from_s, to_s) in spans {
        let from = readings.partition_point(|r| r.time_s < *from_s);
        let to = readings.partition_point(|r| r.time_s <= *to_s);
        let inside = usable.iter_mut().take(to).skip(from);
        inside.for_each(|is_usable| *is_usable = false);
    }
}

/// Distances of the usable readings from their running median.
struct Residuals {
    times_s: Vec<f64>,
    off_g: Vec<f64>,
}

impl Residuals {
    fn of(readings: &[Reading], interval_s: f64, usable: &[bool]) -> Self {
        let of_use = readings
            .iter()
            .zip(usable)
            .filter(|(_, is_usable)| **is_usable);
        let (times_s, masses_g): (Vec<_>, Vec<_>) = of_use
            .map(|(reading, _)| (reading.time_s, reading.mass_g))
            .unzip();
        let curve_g = running_median(&masses_g, HALF_WINDOW_S, interval_s);
        let pairs = masses_g.iter().zip(&curve_g);
        Self {
            times_s,
            off_g: pairs
                .map(|(mass, curve)| libm::fabs(mass - curve))
                .collect(),
        }
    }

    /// The distance from which on a reading is a bump, g.
    fn limit_g(&self) -> f64 {
        let noise_g = DEVIATION * median(self.off_g.clone());
        libm::fmax(SMALLEST_G, ABOVE_NOISE * noise_g)
    }

    /// First and last instants of the stretches above a limit.
    fn runs(&self, limit_g: f64) -> Vec<(f64, f64)> {
        let time_s = |place: usize| self.times_s.get(place).copied().unwrap_or_default();
        let runs = runs(&self.off_g, limit_g).into_iter();
        runs.map(|(from, to)| (time_s(from), time_s(to))).collect()
    }

    /// The last instant from `since_s` on, without a break, that is off the curve.
    fn back_on_curve_s(&self, since_s: f64, limit_g: f64) -> f64 {
        let first = self.times_s.partition_point(|time| *time <= since_s);
        let after = self.times_s.iter().zip(&self.off_g).skip(first);
        let off = after.take_while(|(_, off)| **off > FLANK * limit_g);
        off.last().map_or(since_s, |(time, _)| *time)
    }
}

/// Stretches that are above a limit somewhere, with their flanks.
fn runs(off_g: &[f64], limit_g: f64) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    let is_flank = |off: &f64| *off > FLANK * limit_g;
    for place in (0..off_g.len()).filter(|place| off_g.get(*place) > Some(&limit_g)) {
        if found.last().is_some_and(|(_, end)| place <= *end) {
            continue;
        }
        let before = off_g.iter().take(place).rev();
        let after = off_g.iter().skip(place + 1);
        let begin = place - before.take_while(|off| is_flank(off)).count();
        let end = place + after.take_while(|off| is_flank(off)).count();
        found.push((begin, end));
    }
    found
}
