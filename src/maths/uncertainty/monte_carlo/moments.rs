//! Mean and standard deviation of very many values.

/// Sums made side by side, which a processor adds in the time of few; so many whatever the
/// processor, so that all of them round alike.
const LANES: usize = 8;

/// Number, mean and sum of squared deviations of values.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    count: f64,
    mean: f64,
    squares: f64,
}

impl Moments {
    /// Of these values.
    #[must_use]
    pub fn of(values: &[f64]) -> Self {
        let count = size(values.len());
        let mean = sum(values, |value| value) / count;
        Self {
            count,
            mean,
            squares: sum(values, |value| (value - mean) * (value - mean)),
        }
    }

    /// Of the values of both: `S = S1 + S2 + d^2 n1 n2 / (n1 + n2)` with the means d apart.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        let count = self.count + other.count;
        let (apart, share) = (other.mean - self.mean, other.count / count);
        Self {
            count,
            mean: self.mean + apart * share,
            squares: self.squares + other.squares + apart * apart * self.count * share,
        }
    }

    /// Their mean.
    #[must_use]
    pub const fn mean(self) -> f64 {
        self.mean
    }

    /// Their standard deviation.
    #[must_use]
    pub fn deviation(self) -> f64 {
        (self.squares / (self.count - 1.0)).sqrt()
    }

    /// The standard deviation of their mean.
    #[must_use]
    pub fn deviation_of_mean(self) -> f64 {
        self.deviation() / self.count.sqrt()
    }
}

fn sum(values: &[f64], of: impl Fn(f64) -> f64) -> f64 {
    let mut sums = [0.0; LANES];
    let whole = values.chunks_exact(LANES);
    let rest: f64 = whole.remainder().iter().map(|value| of(*value)).sum();
    for values in whole {
        for (sum, value) in sums.iter_mut().zip(values) {
            *sum += of(*value);
        }
    }
    sums.iter().sum::<f64>() + rest
}

fn size(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}
