//! Law of propagation of uncertainty, to first order.

use super::welch_satterthwaite::effective_degrees_of_freedom;
use super::{DegreesOfFreedom, SPREAD};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Partial derivatives accepted.
pub const SENSITIVITY: Range = Range::new("sensitivity", -1e100, 1e100, "unit of the ratio");
/// What a correlation coefficient can be.
pub const CORRELATION: Range = Range::new("correlation coefficient", -1.0, 1.0, "1");

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

/// Correlation coefficients between inputs; zero where none was given.
#[derive(Debug, Clone, PartialEq)]
pub struct Correlations {
    pairs: Vec<(usize, usize, f64)>,
}

impl Correlations {
    /// Independent inputs.
    #[must_use]
    pub const fn none() -> Self {
        Self { pairs: Vec::new() }
    }

    /// The same with a coefficient between two inputs, named by their places.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a coefficient outside
    /// [`CORRELATION`], [`MathsError::NoSolution`] for an input with itself or a pair given
    /// twice.
    pub fn with(mut self, one: usize, other: usize, coefficient: f64) -> Result<Self, MathsError> {
        let coefficient = CORRELATION.check(coefficient)?;
        let pair = (one.min(other), one.max(other));
        if one == other || self.pairs.iter().any(|&(a, b, _)| (a, b) == pair) {
            return Err(MathsError::NoSolution {
                equation: "correlation matrix",
                reason: "a coefficient joins two different inputs and is given once",
            });
        }
        self.pairs.push((pair.0, pair.1, coefficient));
        Ok(self)
    }

    fn are_none(&self) -> bool {
        self.pairs
            .iter()
            .all(|&(_, _, coefficient)| coefficient == 0.0)
    }
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
/// correlations cannot all be true (the variance would be negative).
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
    let largest = parts
        .iter()
        .fold(0.0_f64, |most, part| most.max(part.abs()));
    if largest == 0.0 {
        return certain(&parts, correlations);
    }
    let scaled: Vec<_> = parts.iter().map(|part| part / largest).collect();
    let variances = variances(&scaled, correlations)?;
    let variance = known_positive(variances.iter().sum())?;
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
fn certain(parts: &[f64], correlations: &Correlations) -> Result<Combined, MathsError> {
    variances(parts, correlations)?;
    let contribution = Contribution {
        signed: 0.0,
        share: 0.0,
    };
    Ok(Combined {
        standard_uncertainty: 0.0,
        contributions: vec![contribution; parts.len()],
        effective_degrees_of_freedom: correlations
            .are_none()
            .then_some(DegreesOfFreedom::INFINITE),
    })
}

/// Each input's part of the variance, covariances halved between the two.
fn variances(parts: &[f64], correlations: &Correlations) -> Result<Vec<f64>, MathsError> {
    let mut own: Vec<_> = parts.iter().map(|part| part * part).collect();
    for &(one, other, coefficient) in &correlations.pairs {
        let (Some(a), Some(b)) = (parts.get(one), parts.get(other)) else {
            return Err(MathsError::NoSolution {
                equation: "correlation matrix",
                reason: "a coefficient names an input that is not there",
            });
        };
        let covariance = coefficient * a * b;
        for place in [one, other] {
            if let Some(variance) = own.get_mut(place) {
                *variance += covariance;
            }
        }
    }
    Ok(own)
}

/// The variance in units of the largest contribution's. Full correlation may cancel it to
/// zero but for rounding; further below zero the correlations contradict each other.
fn known_positive(variance: f64) -> Result<f64, MathsError> {
    const ROUNDING: f64 = 1e-12;
    if variance < -ROUNDING {
        return Err(MathsError::Inconsistent {
            rule: "correlations leave the variance positive",
            left: variance,
            right: 0.0,
            unit: "variance of the largest contribution",
        });
    }
    Ok(variance.max(0.0))
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
