//! Correlation coefficients between inputs, and whether they can all be true at once.

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// What a correlation coefficient can be.
pub const CORRELATION: Range = Range::new("correlation coefficient", -1.0, 1.0, "1");
/// Most inputs of which coefficients are judged; the work grows with the cube.
pub const MOST_INPUTS: usize = 1_000;
/// A pivot this far below zero is rounding: coefficients carry sixteen digits, and full
/// correlations leave a pivot of zero.
const ROUNDING: f64 = 1e-12;

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

    /// Whether all coefficients are zero.
    #[must_use]
    pub fn are_none(&self) -> bool {
        self.pairs
            .iter()
            .all(|&(_, _, coefficient)| coefficient == 0.0)
    }

    /// The pairs and their coefficients: first place, second place, coefficient.
    #[must_use]
    pub fn pairs(&self) -> &[(usize, usize, f64)] {
        &self.pairs
    }

    /// Lower triangle `L` with `L Lᵀ` the correlation matrix of `count` inputs, row by row.
    ///
    /// Cholesky's method, which also decides whether the coefficients can all be true: their
    /// matrix must be positive semidefinite. A pivot of zero (a full correlation) leaves its
    /// column empty. Finite; a third of the cube of `count` in multiplications.
    ///
    /// # Errors
    /// [`MathsError::NoSolution`] when a coefficient names an input that is not there,
    /// [`MathsError::WorkLimit`] for more than [`MOST_INPUTS`], [`MathsError::Inconsistent`]
    /// when the matrix is not positive semidefinite.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::uncertainty::correlations::Correlations;
    /// let some = Correlations::none().with(0, 1, 0.6)?;
    /// let factor = some.factor(2)?;
    /// assert!((factor[1][0] - 0.6).abs() < 1e-15 && (factor[1][1] - 0.8).abs() < 1e-15);
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    pub fn factor(&self, count: usize) -> Result<Vec<Vec<f64>>, MathsError> {
        let mut lower = self.lower_triangle(count)?;
        for column in 0..count {
            let (above, below) = lower.split_at_mut(column + 1);
            let Some(own) = above.last_mut() else {
                continue;
            };
            let (before, pivot) = (own[..column].to_vec(), own[column]);
            let square = pivot - dot(&before, &before);
            if square < -ROUNDING {
                return Err(contradictory(square));
            }
            let is_spent = square <= ROUNDING;
            own[column] = if is_spent { 0.0 } else { square.sqrt() };
            let diagonal = own[column];
            for row in below {
                let left = row[column] - dot(&row[..column], &before);
                if is_spent && left * left > ROUNDING {
                    return Err(contradictory(-left * left));
                }
                row[column] = if is_spent { 0.0 } else { left / diagonal };
            }
        }
        Ok(lower)
    }

    fn lower_triangle(&self, count: usize) -> Result<Vec<Vec<f64>>, MathsError> {
        if count > MOST_INPUTS {
            return Err(MathsError::WorkLimit {
                asked: u64::try_from(count).unwrap_or(u64::MAX),
                allowed: 1_000,
            });
        }
        let mut lower = vec![vec![0.0; count]; count];
        for (place, row) in lower.iter_mut().enumerate() {
            row[place] = 1.0;
        }
        for &(column, row, coefficient) in &self.pairs {
            let entry = lower.get_mut(row).and_then(|row| row.get_mut(column));
            *entry.ok_or(MathsError::NoSolution {
                equation: "correlation matrix",
                reason: "a coefficient names an input that is not there",
            })? = coefficient;
        }
        Ok(lower)
    }
}

const fn contradictory(pivot: f64) -> MathsError {
    MathsError::Inconsistent {
        rule: "correlations that can all be true make a positive semidefinite matrix",
        left: pivot,
        right: 0.0,
        unit: "(pivot)",
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).fold(0.0, |sum, (a, b)| sum + a * b)
}
