//! Another quantity over time, on its own instants.

/// Values at instants, in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    times_s: Vec<f64>,
    values: Vec<f64>,
}

impl Series {
    /// The series of these values; instants that are out of order are put in order.
    #[must_use]
    pub fn new(times_s: &[f64], values: &[f64]) -> Self {
        let mut pairs: Vec<_> = times_s
            .iter()
            .copied()
            .zip(values.iter().copied())
            .collect();
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (times_s, values) = pairs.into_iter().unzip();
        Self { times_s, values }
    }

    /// The value on straight lines between the instants, held before the first and after the
    /// last one; none of an empty series.
    #[must_use]
    pub fn at(&self, time_s: f64) -> Option<f64> {
        let next = self.times_s.partition_point(|time| *time < time_s);
        let point = |place: usize| Some((*self.times_s.get(place)?, *self.values.get(place)?));
        let before = next.checked_sub(1).and_then(point);
        match (before, point(next)) {
            (Some((from_s, from)), Some((to_s, to))) => {
                Some(from + (to - from) * (time_s - from_s) / (to_s - from_s))
            }
            (Some((_, only)), None) | (None, Some((_, only))) => Some(only),
            (None, None) => None,
        }
    }

    /// The mean from one instant to a later one, by trapezia; none of an empty series.
    #[must_use]
    pub fn mean(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let (first, last) = (self.at(from_s)?, self.at(to_s)?);
        if to_s <= from_s {
            return Some(first);
        }
        let inside = self
            .points()
            .filter(|(time, _)| from_s < *time && *time < to_s);
        let mut area = 0.0;
        let mut at = (from_s, first);
        for point in inside.chain([(to_s, last)]) {
            area += 0.5 * (at.1 + point.1) * (point.0 - at.0);
            at = point;
        }
        Some(area / (to_s - from_s))
    }

    /// The points in order of time.
    #[must_use]
    pub fn points(&self) -> impl DoubleEndedIterator<Item = (f64, f64)> {
        self.times_s
            .iter()
            .copied()
            .zip(self.values.iter().copied())
    }
}
