//! The trials: inputs drawn, the model evaluated, until the results have settled.

use super::generator::Generator;
use super::inputs::Inputs;
use super::interval::{Coverage, CoverageIntervals, coverage_intervals, symmetric};
use super::tolerance::numerical_tolerance;
use crate::maths::error::MathsError;
use crate::maths::range::Range;
use crate::maths::uncertainty::PROBABILITY;

/// Trials that share one stream of random numbers.
pub const BLOCK: usize = 10_000;
/// Trials that one call may use.
pub const TRIALS: Range = Range::new("trials", 10_000.0, 2_000_000.0, "1");
/// Digits of the standard uncertainty that adaptive stopping makes right.
pub const DIGITS: u8 = 2;
/// Trials evaluated at once: a few columns of this length stay in the nearest cache.
pub const CHUNK: usize = 1_000;

/// How many trials.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trials {
    /// So many.
    Fixed(u32),
    /// Until the results have settled, at most as many as [`TRIALS`] allows.
    Adaptive,
}

/// What decides the numbers besides inputs and model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Seed of all random numbers.
    pub seed: u64,
    /// How many trials.
    pub trials: Trials,
    /// Coverage probability of the intervals.
    pub probability: f64,
}

/// Values of the result for columns of inputs, all equally long.
pub type Model<'m> = dyn Fn(&[Vec<f64>], &mut [f64]) + 'm;

/// What the trials say of the result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Propagated {
    /// Mean of the values.
    pub mean: f64,
    /// Their standard deviation: the standard uncertainty of the result.
    pub standard_uncertainty: f64,
    /// Intervals that cover the probability.
    pub intervals: CoverageIntervals,
    /// Trials made.
    pub trials: u32,
    /// Numerical tolerance for [`DIGITS`] digits of the standard uncertainty.
    pub tolerance: f64,
    /// Whether mean, standard deviation and both ends of the symmetric interval are within the
    /// tolerance with about 95 % confidence.
    pub is_stable: bool,
}

/// Distribution of a result whose inputs have the given distributions.
///
/// # Equation
/// `y_r = f(x_1r, ..., x_Nr)` for r of 1 to M; mean, standard deviation and quantiles of the
/// `y_r`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `y_r` | value of the result in a trial | any |
/// | `x_ir` | value of an input in it, drawn from its distribution | any |
/// | f | the model | |
/// | M | trials | 1 |
///
/// # Source
/// `[jcgm2008s1]` clause 7; adaptive stopping 7.9.4: after each M trials, M at least 10 000 and
/// 100 / (1 - p), the averages over these sets of mean, standard deviation and both ends of the
/// symmetric interval; it ends when twice the standard deviation of each average is within the
/// numerical tolerance. Tested in the order of the sets, so that the answer depends on the
/// seed alone.
///
/// # Valid for
/// Trials inside [`TRIALS`]. Nothing is answered when `go_on` says no, which is asked every
/// [`BLOCK`] trials. Time grows with the trials, memory too: eight bytes each.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a probability outside [`PROBABILITY`] or trials outside,
/// [`MathsError::NoSolution`] when a trial has no finite result, or when there are too few
/// trials for the probability.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::correlations::Correlations;
/// # use extraction_maths::maths::uncertainty::monte_carlo::distribution::Distribution;
/// # use extraction_maths::maths::uncertainty::monte_carlo::inputs::Inputs;
/// # use extraction_maths::maths::uncertainty::monte_carlo::propagate::*;
/// let both = vec![Distribution::normal(3.0, 0.3)?, Distribution::rectangular(2.0, 0.5)?];
/// let inputs = Inputs::new(both, &Correlations::none())?;
/// let sum = |columns: &[Vec<f64>], out: &mut [f64]| {
///     for (trial, value) in out.iter_mut().enumerate() {
///         *value = columns[0][trial] + columns[1][trial];
///     }
/// };
/// let settings = Settings { seed: 1, trials: Trials::Fixed(100_000), probability: 0.95 };
/// let found = propagated(&inputs, &sum, &settings, &|| true)?.expect("not stopped");
/// assert!((found.mean - 5.0).abs() < 0.01);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn propagated(
    inputs: &Inputs,
    model: &Model<'_>,
    settings: &Settings,
    go_on: &dyn Fn() -> bool,
) -> Result<Option<Propagated>, MathsError> {
    let plan = Plan::of(settings)?;
    let mut values: Vec<f64> = Vec::with_capacity(plan.first);
    let mut sets = Sets::default();
    let mut scratch = vec![0.0; plan.set.min(plan.most)];
    while values.len() < plan.most {
        let begin = values.len();
        let end = (begin + plan.set).min(plan.most);
        if !try_on(inputs, model, settings.seed, (&mut values, end), go_on)? {
            return Ok(None);
        }
        let set = &values[begin..end];
        // a last set that is shorter would not weigh like the others
        if set.len() == plan.set {
            scratch.copy_from_slice(set);
            sets.push(set, symmetric(&mut scratch, settings.probability)?);
        }
        if plan.is_adaptive && sets.are_stable(sets.tolerance(plan.set)?) {
            break;
        }
    }
    summary(values, &sets, settings.probability).map(Some)
}

/// How many trials in a set, and in all.
struct Plan {
    set: usize,
    most: usize,
    /// Room to make at the start.
    first: usize,
    is_adaptive: bool,
}

impl Plan {
    fn of(settings: &Settings) -> Result<Self, MathsError> {
        const MOST: u32 = 2_000_000;
        let p = PROBABILITY.check(settings.probability)?;
        let (asked, is_adaptive) = match settings.trials {
            Trials::Fixed(trials) => (trials, false),
            Trials::Adaptive => (MOST, true),
        };
        TRIALS.check(f64::from(asked))?;
        let most = usize::try_from(asked).unwrap_or(usize::MAX);
        let blocks = libm::ceil(100.0 / (1.0 - p) / 10_000.0 - 1e-9);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not negative; what is too large for any call saturates"
        )]
        let set = (blocks.max(1.0) as usize).saturating_mul(BLOCK);
        Ok(Self {
            set,
            most,
            first: if is_adaptive { set.min(most) } else { most },
            is_adaptive,
        })
    }
}

/// Makes trials until there are so many; false when told to stop.
fn try_on(
    inputs: &Inputs,
    model: &Model<'_>,
    seed: u64,
    (values, end): (&mut Vec<f64>, usize),
    go_on: &dyn Fn() -> bool,
) -> Result<bool, MathsError> {
    let mut columns = vec![vec![0.0; CHUNK]; inputs.count()];
    while values.len() < end {
        if !go_on() {
            return Ok(false);
        }
        let block = u64::try_from(values.len() / BLOCK).unwrap_or(u64::MAX);
        let mut generator = Generator::of_block(seed, block);
        let block_end = (values.len() + BLOCK).min(end);
        while values.len() < block_end {
            let begin = values.len();
            inputs.draw(&mut generator, &mut columns);
            values.resize((begin + CHUNK).min(block_end), 0.0);
            let chunk = &mut values[begin..];
            model(&columns, chunk);
            if !chunk.iter().all(|value| value.is_finite()) {
                return Err(MathsError::NoSolution {
                    equation: "a trial of the Monte Carlo method",
                    reason: "its result is not finite: an input that is divided by reaches zero",
                });
            }
        }
    }
    Ok(true)
}

/// Mean, standard deviation and both ends of the symmetric interval of each set.
#[derive(Default)]
struct Sets(Vec<[f64; 4]>);

impl Sets {
    fn push(&mut self, values: &[f64], ends: Coverage) {
        let (mean, deviation) = moments(values);
        self.0.push([mean, deviation, ends.low, ends.high]);
    }

    /// The tolerance that goes with the standard deviation of all values, from the moments of
    /// the sets.
    fn tolerance(&self, set: usize) -> Result<f64, MathsError> {
        let each: Vec<f64> = self.0.iter().map(|[mean, ..]| *mean).collect();
        let (length, sets) = (size(set), count(&each));
        let squares = self
            .0
            .iter()
            .map(|[_, deviation, ..]| deviation * deviation);
        let within = (length - 1.0) * squares.sum::<f64>();
        let between = if sets > 1.0 {
            let deviation = moments(&each).1;
            length * (sets - 1.0) * deviation * deviation
        } else {
            0.0
        };
        let variance = (within + between) / (sets * length - 1.0);
        numerical_tolerance(variance.sqrt(), DIGITS)
    }

    /// Whether twice the standard deviation of the average of each is within the tolerance.
    fn are_stable(&self, tolerance: f64) -> bool {
        let is_stable = |result: usize| {
            let each: Vec<f64> = self.0.iter().map(|set| set[result]).collect();
            2.0 * moments(&each).1 <= tolerance * count(&each).sqrt()
        };
        self.0.len() > 1 && (0..4).all(is_stable)
    }
}

/// Mean and standard deviation.
fn moments(values: &[f64]) -> (f64, f64) {
    let mean = values.iter().sum::<f64>() / count(values);
    let squares = values.iter().map(|value| (value - mean) * (value - mean));
    let variance = squares.sum::<f64>() / (count(values) - 1.0);
    (mean, variance.sqrt())
}

fn count(values: &[f64]) -> f64 {
    size(values.len())
}

fn size(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}

fn summary(mut values: Vec<f64>, sets: &Sets, probability: f64) -> Result<Propagated, MathsError> {
    let (mean, standard_uncertainty) = moments(&values);
    let tolerance = numerical_tolerance(standard_uncertainty, DIGITS)?;
    Ok(Propagated {
        mean,
        standard_uncertainty,
        intervals: coverage_intervals(&mut values, probability)?,
        trials: u32::try_from(values.len()).unwrap_or(u32::MAX),
        tolerance,
        is_stable: sets.are_stable(tolerance),
    })
}
