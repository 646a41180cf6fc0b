//! A straight line through a few readings.

use super::stream::Reading;

/// A straight line, by its middle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    middle_s: f64,
    middle_g: f64,
    /// Its slope, g/s.
    pub(super) slope_g_per_s: f64,
}

impl Line {
    /// The line of least squares; none through fewer than two instants.
    pub(super) fn through(readings: &[Reading]) -> Option<Self> {
        let count = readings.iter().map(|_| 1.0).sum::<f64>();
        if count < 2.0 {
            return None;
        }
        let middle_s = readings.iter().map(|r| r.time_s).sum::<f64>() / count;
        let middle_g = readings.iter().map(|r| r.mass_g).sum::<f64>() / count;
        let spread = |r: &Reading| (r.time_s - middle_s) * (r.time_s - middle_s);
        let product = |r: &Reading| (r.time_s - middle_s) * (r.mass_g - middle_g);
        let spread_s2: f64 = readings.iter().map(spread).sum();
        let slope_g_per_s = readings.iter().map(product).sum::<f64>() / spread_s2;
        slope_g_per_s.is_finite().then_some(Self {
            middle_s,
            middle_g,
            slope_g_per_s,
        })
    }

    /// Mass on the line, g.
    pub(super) fn at(&self, time_s: f64) -> f64 {
        self.middle_g + self.slope_g_per_s * (time_s - self.middle_s)
    }
}

/// The readings that are at most `span_s` before the one at `place`, itself included.
pub(super) fn before(readings: &[Reading], place: usize, span_s: f64) -> &[Reading] {
    let all = readings.get(..=place).unwrap_or(readings);
    let end_s = all.last().map_or(0.0, |last| last.time_s);
    let first = all.partition_point(|r| r.time_s < end_s - span_s);
    all.get(first..).unwrap_or_default()
}

/// The readings that are at most `span_s` after the one at `place`, itself included.
pub(super) fn after(readings: &[Reading], place: usize, span_s: f64) -> &[Reading] {
    let all = readings.get(place..).unwrap_or_default();
    let begin_s = all.first().map_or(0.0, |first| first.time_s);
    let end = all.partition_point(|r| r.time_s <= begin_s + span_s);
    all.get(..end).unwrap_or_default()
}
