//! Both ends of the sorted values of very many trials, without sorting what lies between.

use super::interval::{Coverage, CoverageIntervals, Places};

use crate::maths::error::MathsError;
use crate::maths::numeric::radix::sort;

/// What a first set cannot say of the others: this many standard deviations of the number of
/// values that another has beyond the same place.
const MARGIN: f64 = 8.0;
/// Values looked through at once.
const PIECE: usize = 1_024;

/// The smallest and the largest of the values seen, at least as many at either end as lie
/// outside a coverage interval.
#[derive(Debug, Clone)]
pub struct Tails {
    probability: f64,
    seen: usize,
    low: Vec<i64>,
    high: Vec<i64>,
    cuts: Cuts,
    last: Last,
}

/// The last set: how many values, and where those kept of it begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Last {
    count: usize,
    low: usize,
    high: usize,
}

/// What is kept.

#[derive(Debug, Clone, Copy, PartialEq)]
enum Cuts {
    Unknown,
    All,
    /// Up to the one and from the other on.
    At(f64, f64),
}

impl Tails {
    /// Nothing seen yet; what to keep is learnt from the first set of values.
    #[must_use]
    pub const fn new(probability: f64) -> Self {
        Self::cut(probability, Cuts::Unknown)
    }

    /// Nothing seen yet, and all will be kept.
    #[must_use]
    pub const fn whole(probability: f64) -> Self {
        Self::cut(probability, Cuts::All)
    }

    const fn cut(probability: f64, cuts: Cuts) -> Self {
        Self {
            probability,
            seen: 0,
            low: Vec::new(),
            high: Vec::new(),
            cuts,
            last: Last {
                count: 0,
                low: 0,
                high: 0,
            },
        }
    }

    /// Takes a set of values.
    pub fn push(&mut self, values: &[f64]) {
        if self.cuts == Cuts::Unknown {
            self.cuts = learnt(values, self.probability);
        }
        self.last = Last {
            count: values.len(),
            low: self.low.len(),
            high: self.high.len(),
        };
        self.seen += values.len();
        self.keep(values);
    }

    /// The symmetric interval of the last set alone; nothing when what was learnt from the
    /// first set does not fit this one.
    ///
    /// # Errors
    /// As [`coverage_intervals`](super::interval::coverage_intervals).
    pub fn symmetric_of_last(&mut self) -> Result<Option<Coverage>, MathsError> {
        let places = Places::of(self.last.count, self.probability)?;
        let (low, high) = (
            &mut self.low[self.last.low..],
            &mut self.high[self.last.high..],
        );
        let above = places.outside - 1 - places.symmetric;
        if low.len() <= places.symmetric || high.len() <= above {
            return Ok(None);
        }
        let from_below = high.len() - 1 - above;
        Ok(Some(Coverage {
            low: value(*low.select_nth_unstable(places.symmetric).1),
            high: value(*high.select_nth_unstable(from_below).1),
        }))
    }

    /// Copies what is beyond the cuts.
    fn keep(&mut self, values: &[f64]) {
        let Cuts::At(low, high) = self.cuts else {
            self.low.extend(values.iter().map(|value| key(*value)));
            self.high.extend(values.iter().map(|value| key(*value)));
            return;
        };
        let (mut outside, mut ends) = ([0.0; PIECE], [0; PIECE]);
        for piece in values.chunks(PIECE) {
            let all = piece.iter().copied();
            let count = copied(all, |value| (value <= low) | (value >= high), &mut outside);
            let found = &outside[..count];
            let keys = || found.iter().map(|value| key(*value));
            let count = copied(keys(), |end| end <= key(low), &mut ends);
            self.low.extend_from_slice(&ends[..count]);
            let count = copied(keys(), |end| end >= key(high), &mut ends);
            self.high.extend_from_slice(&ends[..count]);
        }
    }

    /// The coverage intervals of all values seen; nothing when what was learnt from the first
    /// set does not fit them.
    ///
    /// # Errors
    /// As [`coverage_intervals`](super::interval::coverage_intervals).
    pub fn intervals(mut self) -> Result<Option<CoverageIntervals>, MathsError> {
        let places = Places::of(self.seen, self.probability)?;
        if self.low.len() < places.outside || self.high.len() < places.outside {
            return Ok(None);
        }
        sort(&mut self.low);
        sort(&mut self.high);
        let highest = &self.high[self.high.len() - places.outside..];
        let at = |start: usize| Coverage {
            low: value(self.low[start]),
            high: value(highest[start]),
        };
        let ends = self.low.iter().zip(highest);
        let widths = ends.map(|(low, high)| value(*high) - value(*low));
        let shortest = widths.enumerate().min_by(|(_, a), (_, b)| a.total_cmp(b));
        Ok(Some(CoverageIntervals {
            symmetric: at(places.symmetric),
            shortest: at(shortest.map_or(places.symmetric, |(start, _)| start)),
        }))
    }
}

/// Cuts that leave more than enough of values like these.
fn learnt(values: &[f64], probability: f64) -> Cuts {
    let Ok(Places { outside, .. }) = Places::of(values.len(), probability) else {
        return Cuts::All;
    };
    let spread = u32::try_from(outside).map_or(f64::MAX, f64::from).sqrt();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative; what is too large saturates, and all are kept"
    )]
    let margin = libm::ceil(MARGIN * spread + MARGIN) as usize;
    let kept = outside.saturating_add(margin);
    if kept >= values.len() {
        return Cuts::All;
    }
    let mut keys: Vec<i64> = values.iter().map(|value| key(*value)).collect();
    let low = *keys.select_nth_unstable(kept).1;
    let high = *keys.select_nth_unstable(values.len() - 1 - kept).1;
    Cuts::At(value(low), value(high))
}

/// Copies what is wanted to the beginning of a place, and gives their number.
fn copied<T: Copy>(
    all: impl Iterator<Item = T>,
    is_wanted: impl Fn(T) -> bool,
    place: &mut [T; PIECE],
) -> usize {
    let mut count = 0;
    for value in all.take(PIECE) {
        // written always, and counted when wanted: a branch would be guessed wrong too often
        place[count % PIECE] = value;
        count += usize::from(is_wanted(value));
    }
    count
}

/// An integer that is ordered like the number.
const fn key(value: f64) -> i64 {
    ordered(value.to_bits().cast_signed())
}

/// The number of a key.
const fn value(key: i64) -> f64 {
    f64::from_bits(ordered(key).cast_unsigned())
}

/// Turns the order of negative numbers about; its own inverse.
const fn ordered(bits: i64) -> i64 {
    bits ^ ((bits >> 63) & i64::MAX)
}
