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

/// Histogram of values about their mean.
///
/// # Equation
/// bin of `y`: `floor((y - low) / width)`, `low = mean - 4 s`, `width = 8 s / 40`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | y | a value | any |
/// | s | standard deviation of the values | as the values |
///
/// # Source
/// Counting; `[jcgm2008s1]` 7.5, from memory: the values in cells of suitable width approximate
/// the density of the result.
///
/// # Valid for
/// Any values; those beyond [`SHOWN`] standard deviations are in no bin, and without a
/// standard deviation all bins are empty.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::monte_carlo::histogram::histogram;
/// let found = histogram(&[9.9, 10.05, 10.1, 99.0], (10.0, 1.0));
/// assert_eq!(found.trials.iter().sum::<u32>(), 3);
/// assert_eq!((found.trials[19], found.trials[20]), (1, 2));
/// ```
#[must_use]
pub fn histogram(values: &[f64], (mean, standard_deviation): (f64, f64)) -> Histogram {
    let low = mean - SHOWN * standard_deviation;
    // 40 bins over eight standard deviations
    let width = 2.0 * SHOWN * standard_deviation / 40.0;
    let mut trials = [0; BINS];
    for value in values {
        let place = libm::floor((value - low) / width);
        if !(0.0..40.0).contains(&place) {
            continue;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number from 0 to 39"
        )]
        let place = place as usize;
        if let Some(bin) = trials.get_mut(place) {
            *bin += 1;
        }
    }
    Histogram { low, width, trials }
}
