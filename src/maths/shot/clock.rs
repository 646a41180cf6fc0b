//! Readings in the order of their time: late ones are put where they belong, a clock that was
//! set back is carried on, doubled instants become one, gaps are told.

use super::fault::{Fault, FaultKind};
use super::stream::Reading;

/// Readings after one that is behind in which its successor may still come, or else the clock
/// was set back.
const LATE_AMONG: usize = 5;

/// How many usual intervals a hole has in which a reading is missing.
const HOLE: f64 = 1.5;

/// Shortest pause that counts as a gap, s: less is a lost reading or two.
const SHORTEST_GAP_S: f64 = 0.5;

/// How many usual intervals a gap is longer than, at least.
const GAP_INTERVALS: f64 = 3.0;

/// Interval between readings when none can be seen, s.
const USUAL_INTERVAL_S: f64 = 0.1;

/// The usual interval between readings: the median of those that run forward, s.
pub(super) fn interval_s(times_s: &[f64]) -> f64 {
    let pairs = times_s.windows(2).map(|pair| pair[1] - pair[0]);
    let mut forward: Vec<_> = pairs.filter(|interval| *interval > 0.0).collect();
    if forward.is_empty() {
        return USUAL_INTERVAL_S;
    }
    let middle = forward.len() / 2;
    *forward.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// The readings in order, and what was wrong with their order.
pub(super) fn ordered(times_s: &[f64], masses_g: &[f64]) -> (Vec<Reading>, Vec<Fault>) {
    let interval_s = interval_s(times_s);
    let mut order = Order {
        readings: Vec::with_capacity(times_s.len()),
        faults: Vec::new(),
        set_back_s: 0.0,
    };
    for (place, (time_s, mass_g)) in times_s.iter().zip(masses_g).enumerate() {
        let last_s = order.readings.last().map_or(f64::MIN, |last| last.time_s);
        let reading = Reading {
            time_s: time_s + order.set_back_s,
            mass_g: *mass_g,
        };
        if reading.time_s > last_s {
            order.readings.push(reading);
            continue;
        }
        let mut next = times_s.iter().skip(place + 1).take(LATE_AMONG);
        let goes_on = next.any(|time| time + order.set_back_s > last_s);
        let is_late = goes_on && order.is_missing(reading, interval_s);
        if reading.time_s < last_s && !is_late {
            order.set_back(reading, last_s + interval_s);
        } else {
            order.insert(reading);
        }
    }
    order
        .faults
        .extend(gaps(&order.readings, interval_s).collect::<Vec<_>>());
    (order.readings, order.faults)
}

struct Order {
    readings: Vec<Reading>,
    faults: Vec<Fault>,
    /// What is added to the clock since it was set back, s.
    set_back_s: f64,
}

impl Order {
    /// Whether a reading fills a hole, or is there already: one that does neither has another
    /// clock.
    fn is_missing(&self, reading: Reading, interval_s: f64) -> bool {
        let place = self.readings.partition_point(|r| r.time_s < reading.time_s);
        let after = self.readings.get(place);
        let before = place
            .checked_sub(1)
            .and_then(|before| self.readings.get(before));
        match (before, after) {
            (_, Some(same)) if *same == reading => true,
            (Some(before), Some(after)) => after.time_s - before.time_s > HOLE * interval_s,
            (None, _) | (_, None) => true,
        }
    }

    /// Carries on as if one usual interval had passed.
    fn set_back(&mut self, reading: Reading, time_s: f64) {
        self.set_back_s += time_s - reading.time_s;
        self.faults
            .push(Fault::at(FaultKind::ClockRunningBack, time_s));
        self.readings.push(Reading { time_s, ..reading });
    }

    /// Puts a reading where its time belongs; of two at one instant the mean stays.
    fn insert(&mut self, reading: Reading) {
        let Reading { time_s, mass_g } = reading;
        let place = self.readings.partition_point(|r| r.time_s < time_s);
        let is_last = place + 1 >= self.readings.len();
        match self.readings.get_mut(place) {
            Some(same) if same.time_s <= time_s => {
                same.mass_g = 0.5 * (same.mass_g + mass_g);
                self.faults.push(Fault::at(FaultKind::Duplicate, time_s));
                if is_last {
                    return;
                }
            }
            Some(_) | None => self.readings.insert(place, reading),
        }
        self.faults
            .push(Fault::at(FaultKind::ClockRunningBack, time_s));
    }
}

fn gaps(readings: &[Reading], interval_s: f64) -> impl Iterator<Item = Fault> {
    let longest_s = libm::fmax(SHORTEST_GAP_S, GAP_INTERVALS * interval_s);
    readings.windows(2).filter_map(move |pair| {
        let (from_s, to_s) = (pair[0].time_s, pair[1].time_s);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count of readings; the cast saturates"
        )]
        let missing = ((to_s - from_s) / interval_s) as u32;
        (to_s - from_s > longest_s)
            .then(|| Fault::spread(FaultKind::Gap, (from_s, from_s), missing.saturating_sub(1)))
    })
}
