//! The trials: inputs drawn, the model evaluated, until the results have settled.

use super::generator::Stream;
use super::histogram::Histogram;
use super::inputs::Inputs;
use super::interval::CoverageIntervals;
use super::moments::Moments;
use super::sets::Sets;
use super::tails::Tails;
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
    /// Whether to count how often the values fall where.
    pub has_histogram: bool,
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
    /// How often the values fell where, when that was asked for.
    pub histogram: Option<Histogram>,
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
/// [`BLOCK`] trials. Time grows with the trials, memory with those outside the intervals.
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
/// let settings = Settings { seed: 1, trials: Trials::Fixed(100_000), probability: 0.95, has_histogram: false };
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
    let work = Work {
        inputs,
        model,
        plan: &plan,
        settings,
        go_on,
    };
    // a second time, all values kept, when the first set of trials was not like the others
    for tails in [Tails::new, Tails::whole] {
        match work.done(tails(settings.probability))? {
            Done::Stopped => return Ok(None),
            Done::Unlike => {}
            Done::All(found) => return Ok(Some(*found)),
        }
    }
    Err(MathsError::NoSolution {
        equation: "coverage interval",
        reason: "values were left out",
    })
}

/// How many trials in a set, and in all.
struct Plan {
    set: usize,
    most: usize,
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
            is_adaptive,
        })
    }
}

/// All that trials are made with.
struct Work<'w> {
    inputs: &'w Inputs,
    model: &'w Model<'w>,
    plan: &'w Plan,
    settings: &'w Settings,
    go_on: &'w dyn Fn() -> bool,
}

/// What came of it.
enum Done {
    All(Box<Propagated>),
    Stopped,
    /// The first set of trials did not tell how the others would be.
    Unlike,
}

impl Work<'_> {
    /// Makes trials, set after set.
    fn done(&self, mut tails: Tails) -> Result<Done, MathsError> {
        let Plan { set, most, .. } = *self.plan;
        let mut sets = Sets::default();
        let mut values = vec![0.0; set.min(most)];
        let mut columns = vec![vec![0.0; CHUNK]; self.inputs.count()];
        let mut histogram: Option<Histogram> = None;
        let mut made = 0;
        while made < most {
            values.truncate(most - made);
            if !self.fill(made, &mut values, &mut columns) {
                return Ok(Done::Stopped);
            }
            made += values.len();
            let moments = Moments::of(&values);
            // one value that is not finite leaves no finite mean
            if !moments.mean().is_finite() {
                return Err(MathsError::NoSolution {
                    equation: "a trial of the Monte Carlo method",
                    reason: "its result is not finite: an input that is divided by reaches zero",
                });
            }
            if self.settings.has_histogram {
                let about = || Histogram::about(moments.mean(), moments.deviation());
                histogram.get_or_insert_with(about).count(&values);
            }
            tails.push(&values);
            sets.push(moments);
            // a last set that is shorter would not weigh like the others
            if values.len() == set {
                let Some(ends) = tails.symmetric_of_last()? else {
                    return Ok(Done::Unlike);
                };
                sets.push_ends(ends);
            }
            if self.plan.is_adaptive && sets.are_stable(sets.tolerance()?) {
                break;
            }
        }
        let Some(intervals) = tails.intervals()? else {
            return Ok(Done::Unlike);
        };
        let found = sets.with(intervals, histogram, made)?;
        Ok(Done::All(Box::new(found)))
    }

    /// Makes the trials from this one on; false when told to stop.
    fn fill(&self, from: usize, values: &mut [f64], columns: &mut [Vec<f64>]) -> bool {
        for (block, values) in values.chunks_mut(BLOCK).enumerate() {
            if !(self.go_on)() {
                return false;
            }
            let block = u64::try_from(from / BLOCK + block).unwrap_or(u64::MAX);
            let mut stream = Stream::of_block(self.settings.seed, block);
            for chunk in values.chunks_mut(CHUNK) {
                self.inputs.draw(&mut stream, columns);
                (self.model)(columns, chunk);
            }
        }
        true
    }
}
