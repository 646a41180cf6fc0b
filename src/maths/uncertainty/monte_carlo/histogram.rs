//! How often the trials fell where.

/// Bins of a histogram.
pub const BINS: usize = 40;
/// Standard deviations that it shows either side of the mean.
pub const SHOWN: f64 = 4.0;

/// Trials by where their value lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Histogram {
    /// Lower edge of the first bin, in the unit of the values.
    pub low: f64,
    /// Width of each bin, in the same unit.
    pub width: f64,
    /// Trials in each bin.
    pub trials: [u32; BINS],
}

impl Histogram {
    /// Empty bins about a mean.
    ///
    /// # Equation
    /// `low = m - 4 s`, `width = 8 s / 40`
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | m | mean of the values, or of the first of them | any |
    /// | s | standard deviation of the same | as the values |
    ///
    /// # Source
    /// Counting; `[jcgm2008s1]` 7.5, from memory: the values in cells of suitable width
    /// approximate the density of the result.
    ///
    /// # Valid for
    /// Any mean and deviation; without a deviation no value falls into a bin.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::uncertainty::monte_carlo::histogram::Histogram;
    /// let mut found = Histogram::about(10.0, 1.0);
    /// found.count(&[9.9, 10.05, 10.1, 99.0]);
    /// assert_eq!(found.trials.iter().sum::<u32>(), 3);
    /// assert_eq!((found.trials[19], found.trials[20]), (1, 2));
    /// ```
    #[must_use]
    pub fn about(mean: f64, standard_deviation: f64) -> Self {
        Self {
            low: mean - SHOWN * standard_deviation,
            // 40 bins over eight standard deviations
            width: 2.0 * SHOWN * standard_deviation / 40.0,
            trials: [0; BINS],
        }
    }

    /// Counts values; those beyond [`SHOWN`] standard deviations are in no bin.
    pub fn count(&mut self, values: &[f64]) {
        for value in values {
            let place = (value - self.low) / self.width;
            if !(0.0..40.0).contains(&place) {
                continue;
            }
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "from 0 to below 40, and cut to a whole number"
            )]
            let place = place as usize;
            if let Some(bin) = self.trials.get_mut(place) {
                *bin += 1;
            }
        }
    }
}
