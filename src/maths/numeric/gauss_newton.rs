//! Non-linear least squares with a prior: where a model fits readings and expectations best, and
//! how well that is known.
//!
//! Written here rather than taken from a crate: the weights of the readings depend on the
//! sensitivities, so that they change with every linearisation, and the linear algebra that the
//! crates rest on picks its instructions by the processor it finds, so that the last bits of an
//! answer would depend on the machine. A dozen unknowns need no more than what stands below.

use super::cholesky::Cholesky;
use crate::maths::error::MathsError;

/// Linearisations at most; from a prior mean about five are used.
pub const MOST_ITERATIONS: u32 = 12;
/// Shortened steps tried after one that led uphill.
pub const MOST_TRIES: u32 = 3;
/// Longest step of any unknown, in prior standard deviations: beyond it a straight line says
/// little of the model.
const LONGEST_STEP: f64 = 1.5;
/// Settled when the next step would lower the sum of squares by less: a thirtieth of a posterior
/// standard deviation.
const SETTLED: f64 = 1e-3;

/// Readings linearised around a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Linearised<const N: usize> {
    /// Weighted sum of squares of the residuals there.
    pub misfit: f64,
    /// `Jᵀ W r`, with residuals r of reading less model, and J the model's sensitivities.
    pub pull: [f64; N],
    /// `Jᵀ W J`.
    pub curvature: [[f64; N]; N],
}

/// Readings and their model; the unknowns are in prior standard deviations from the prior mean.
pub trait Readings<const N: usize> {
    /// The readings linearised around a point; none to give up.
    ///
    /// # Errors
    /// What the model cannot compute.
    fn linearised(&mut self, at: &[f64; N]) -> Result<Option<Linearised<N>>, MathsError>;

    /// The weighted sum of squares at a point, by the weights of the last linearisation; none to
    /// give up.
    ///
    /// # Errors
    /// What the model cannot compute.
    fn misfit(&self, at: &[f64; N]) -> Result<Option<f64>, MathsError>;
}

/// The most probable point and how well it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Posterior<const N: usize> {
    /// The point, in prior standard deviations from the prior mean.
    pub mode: [f64; N],
    /// Covariance around it, in prior variances.
    pub covariance: [[f64; N]; N],
    /// Sum of squares of residuals and prior at the point: for a right model as large as there
    /// are readings, on average.
    pub sum_of_squares: f64,
    /// Linearisations made.
    pub iterations: u32,
}

/// The mode of the posterior under independent standard normal priors, and the covariance of the
/// linearised model there; none when the readings gave up.
///
/// Gauss–Newton from the prior mean, steps limited and damped after Marquardt while they lead
/// uphill. Quadratic convergence where the model fits; ends when settled, when no shortened step
/// leads downhill, or after [`MOST_ITERATIONS`], and answers the best point then: the prior keeps
/// every system positive definite.
///
/// # Source
/// `[bjorck1996]`, chapter 9, from memory.
///
/// # Errors
/// What the readings cannot compute; [`MathsError::NonFinite`] should the model fail.
///
/// # Example
/// ```
/// # use extraction_maths::maths::MathsError;
/// # use extraction_maths::maths::numeric::gauss_newton::{Linearised, Readings, posterior_mode};
/// /// One reading of 2 with a standard uncertainty of 1, of what was expected at 0 within 1.
/// struct Two;
/// impl Readings<1> for Two {
///     fn linearised(&mut self, at: &[f64; 1]) -> Result<Option<Linearised<1>>, MathsError> {
///         let r = 2.0 - at[0];
///         Ok(Some(Linearised { misfit: r * r, pull: [r], curvature: [[1.0]] }))
///     }
///     fn misfit(&self, at: &[f64; 1]) -> Result<Option<f64>, MathsError> {
///         Ok(Some((2.0 - at[0]) * (2.0 - at[0])))
///     }
/// }
/// let posterior = posterior_mode(&mut Two)?.ok_or("gave up")?;
/// assert!((posterior.mode[0] - 1.0).abs() < 1e-12);
/// assert!((posterior.covariance[0][0] - 0.5).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn posterior_mode<const N: usize>(
    readings: &mut impl Readings<N>,
) -> Result<Option<Posterior<N>>, MathsError> {
    let mut at = [0.0; N];
    let mut damping = 0.0;
    let mut best = None;
    for iterations in 1..=MOST_ITERATIONS {
        let Some(here) = readings.linearised(&at)? else {
            return Ok(None);
        };
        let sum_of_squares = here.misfit + square(&at);
        let downhill = downhill(&here, &at);
        let Some(system) = Cholesky::of(&damped(&here.curvature, 0.0)) else {
            return Err(MathsError::NonFinite {
                quantity: "sensitivity of a fitted model",
            });
        };
        best = Some(Posterior {
            mode: at,
            covariance: system.inverse(),
            sum_of_squares,
            iterations,
        });
        let gain = dot(&system.solved(&downhill), &downhill);
        if gain < SETTLED {
            break;
        }
        let from = (&at, sum_of_squares);
        match stepped(readings, from, (&here, &downhill), &mut damping)? {
            Stepped::To(next) => at = next,
            Stepped::Nowhere => break,
            Stepped::GaveUp => return Ok(None),
        }
    }
    Ok(best)
}

enum Stepped<const N: usize> {
    To([f64; N]),
    Nowhere,
    GaveUp,
}

/// A step downhill, shorter and shorter until it is one.
fn stepped<const N: usize>(
    readings: &impl Readings<N>,
    (at, sum_of_squares): (&[f64; N], f64),
    (here, downhill): (&Linearised<N>, &[f64; N]),
    damping: &mut f64,
) -> Result<Stepped<N>, MathsError> {
    for _ in 0..=MOST_TRIES {
        if let Some(system) = Cholesky::of(&damped(&here.curvature, *damping)) {
            let step = limited(system.solved(downhill));
            let mut next = *at;
            for (next, step) in next.iter_mut().zip(step) {
                *next += step;
            }
            let Some(misfit) = readings.misfit(&next)? else {
                return Ok(Stepped::GaveUp);
            };
            if misfit + square(&next) < sum_of_squares {
                *damping = if *damping < 0.05 {
                    0.0
                } else {
                    *damping / 10.0
                };
                return Ok(Stepped::To(next));
            }
        }
        *damping = if *damping > 0.0 { *damping * 10.0 } else { 0.1 };
    }
    Ok(Stepped::Nowhere)
}

/// The step that would lead downhill without any curvature.
fn downhill<const N: usize>(here: &Linearised<N>, at: &[f64; N]) -> [f64; N] {
    let mut downhill = here.pull;
    for (downhill, at) in downhill.iter_mut().zip(at) {
        *downhill -= at;
    }
    downhill
}

/// The curvature of readings and prior, its diagonal enlarged by a share.
fn damped<const N: usize>(curvature: &[[f64; N]; N], share: f64) -> [[f64; N]; N] {
    let mut matrix = *curvature;
    for (i, row) in matrix.iter_mut().enumerate() {
        row[i] = (row[i] + 1.0) * (1.0 + share);
    }
    matrix
}

/// A step in the same direction that is nowhere too long.
fn limited<const N: usize>(mut step: [f64; N]) -> [f64; N] {
    let longest = step.iter().fold(0.0, |so_far: f64, s| so_far.max(s.abs()));
    if longest > LONGEST_STEP {
        for step in &mut step {
            *step *= LONGEST_STEP / longest;
        }
    }
    step
}

fn square<const N: usize>(a: &[f64; N]) -> f64 {
    dot(a, a)
}

fn dot<const N: usize>(a: &[f64; N], b: &[f64; N]) -> f64 {
    a.iter().zip(b).fold(0.0, |sum, (a, b)| sum + a * b)
}
