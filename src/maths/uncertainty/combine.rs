//! Law of propagation of uncertainty, to first order.

pub use super::correlations::{CORRELATION, Correlations};
use super::welch_satterthwaite::effective_degrees_of_freedom;
use super::{DegreesOfFreedom, SPREAD};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Partial derivatives accepted.
pub const SENSITIVITY: Range = Range::new("sensitivity", -1e100, 1e100, "unit of the ratio");

/// One input of the measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Input {
    /// Standard uncertainty, in the input's unit.
    pub standard_uncertainty: f64,
    /// Partial derivative of the result with respect to this input.
    pub sensitivity: f64,
    /// How well the uncertainty is known.
    pub degrees_of_freedom: DegreesOfFreedom,
}

/// What one input adds to the uncertainty of the result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution {
    /// Sensitivity times standard uncertainty, with its sign, in the result's unit.
    pub signed: f64,
    /// Part of the variance of the result; all shares add up to one. With correlations each
    /// covariance is halved between its two inputs, and a share may be negative.
    pub share: f64,
}

/// Uncertainty of the result and where it is from.
#[derive(Debug, Clone, PartialEq)]
pub struct Combined {
    /// Combined standard uncertainty, in the result's unit.
    pub standard_uncertainty: f64,
    /// One for each input, in their order.
    pub contributions: Vec<Contribution>,
    /// Unrounded; nothing for correlated inputs, for which the formula does not hold.
    pub effective_degrees_of_freedom: Option<DegreesOfFreedom>,
}

/// Combined standard uncertainty of a result, and the share of each input.
///
/// # Equation
/// `u_c^2 = sum_i(c_i^2 u_i^2) + 2 sum_(i<j)(c_i c_j u_i u_j r_ij)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `u_c` | combined standard uncertainty (returned) | of the result |
/// | `u_i` | standard uncertainty of an input | of the input |
/// | `c_i` | sensitivity to it | result per input |
/// | `r_ij` | correlation coefficient | 1 |
///
/// # Source
/// `[jcgm2008]` 5.1.2 and 5.2.2, equations 10 and 16; degrees of freedom by G.2b.
///
/// # Valid for
/// Models close to linear over the uncertainties of their inputs.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for an uncertainty outside
/// [`SPREAD`] or a sensitivity outside [`SENSITIVITY`], [`MathsError::NoSolution`] when a
/// correlation names an input that is not there, [`MathsError::Inconsistent`] when the
/// correlations cannot all be true (their matrix is not positive semidefinite).
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::{DegreesOfFreedom,
/// #     combine::{Correlations, Input, combined_uncertainty}};
/// let input = |u, c| Input {
///     standard_uncertainty: u,
///     sensitivity: c,
///     degrees_of_freedom: DegreesOfFreedom::INFINITE,
/// };
/// let result = combined_uncertainty(&[input(3.0, 1.0), input(2.0, -2.0)], &Correlations::none())?;
/// assert!((result.standard_uncertainty - 5.0).abs() < 1e-15);
/// assert!((result.contributions[0].share - 0.36).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn combined_uncertainty(
    inputs: &[Input],
    correlations: &Correlations,
) -> Result<Combined, MathsError> {
    let parts = inputs.iter().map(part_of).collect::<Result<Vec<_>, _>>()?;
    if !correlations.pairs().is_empty() {
        correlations.factor(inputs.len())?;
    }
    let largest = parts
        .iter()
        .fold(0.0_f64, |most, part| most.max(part.abs()));
    if largest == 0.0 {
        return Ok(certain(&parts, correlations));
    }
    let scaled: Vec<_> = parts.iter().map(|part| part / largest).collect();
    let variances = variances(&scaled, correlations);
    // full correlation may cancel it to zero, and rounding push it below
    let variance = variances.iter().sum::<f64>().max(0.0);
    let contributions = parts
        .iter()
        .zip(&variances)
        .map(|(&signed, own)| Contribution {
            signed,
            share: if variance > 0.0 { own / variance } else { 0.0 },
        })
        .collect();
    Ok(Combined {
        standard_uncertainty: largest * variance.sqrt(),
        contributions,
        effective_degrees_of_freedom: degrees(inputs, &parts, correlations)?,
    })
}

fn part_of(input: &Input) -> Result<f64, MathsError> {
    let uncertainty = SPREAD.check(input.standard_uncertainty)?;
    let part = SENSITIVITY.check(input.sensitivity)? * uncertainty;
    SPREAD.check(part.abs()).map(|_| part)
}

/// Nothing is uncertain: all shares are zero.
fn certain(parts: &[f64], correlations: &Correlations) -> Combined {
    let contribution = Contribution {
        signed: 0.0,
        share: 0.0,
    };
    Combined {
        standard_uncertainty: 0.0,
        contributions: vec![contribution; parts.len()],
        effective_degrees_of_freedom: correlations
            .are_none()
            .then_some(DegreesOfFreedom::INFINITE),
    }
}

/// Each input's part of the variance, covariances halved between the two.
fn variances(parts: &[f64], correlations: &Correlations) -> Vec<f64> {
    let mut own: Vec<_> = parts.iter().map(|part| part * part).collect();
    for &(one, other, coefficient) in correlations.pairs() {
        let covariance = coefficient * parts[one] * parts[other];
        own[one] += covariance;
        own[other] += covariance;
    }
    own
}

fn degrees(
    inputs: &[Input],
    parts: &[f64],
    correlations: &Correlations,
) -> Result<Option<DegreesOfFreedom>, MathsError> {
    if !correlations.are_none() {
        return Ok(None);
    }
    let contributions: Vec<_> = parts
        .iter()
        .zip(inputs)
        .map(|(&part, input)| (part, input.degrees_of_freedom))
        .collect();
    effective_degrees_of_freedom(&contributions).map(Some)
}
