//! All inputs of a measurement, drawn together.

use super::distribution::{Distribution, Kind};
use super::generator::Generator;
use super::ziggurat::Ziggurat;
use crate::maths::error::MathsError;
use crate::maths::uncertainty::correlations::Correlations;

/// The joint distribution of the inputs.
#[derive(Debug, Clone)]
pub struct Inputs {
    distributions: Vec<Distribution>,
    /// For each correlated input its row of the Cholesky factor, last input first.
    mixed: Vec<(usize, Vec<f64>)>,
    ziggurat: Ziggurat,
}

impl Inputs {
    /// Inputs with their correlations, which must be between normal inputs: for others a
    /// coefficient does not determine the joint distribution. `[jcgm2008s1]` 6.4.8
    ///
    /// # Errors
    /// Those of [`Correlations::factor`]; [`MathsError::NoSolution`] for a correlated input
    /// that is not normal.
    pub fn new(
        distributions: Vec<Distribution>,
        correlations: &Correlations,
    ) -> Result<Self, MathsError> {
        let factor = correlations.factor(distributions.len())?;
        let pairs = correlations.pairs().iter();
        let correlated: Vec<_> = pairs
            .filter(|(_, _, coefficient)| *coefficient != 0.0)
            .flat_map(|&(one, other, _)| [one, other])
            .collect();
        let is_normal = |place: &usize| distributions[*place].kind == Kind::Normal;
        if !correlated.iter().all(is_normal) {
            return Err(MathsError::NoSolution {
                equation: "joint distribution of correlated inputs",
                reason: "a coefficient determines it for normal inputs only",
            });
        }
        let rows = factor.into_iter().enumerate().rev();
        let mixed = rows.filter(|(place, _)| correlated.contains(place));
        Ok(Self {
            mixed: mixed.collect(),
            distributions,
            ziggurat: Ziggurat::new(),
        })
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.distributions.len()
    }

    /// Fills a column for each input, all equally long, input after input.
    pub fn draw(&self, generator: &mut Generator, columns: &mut [Vec<f64>]) {
        for (distribution, column) in self.distributions.iter().zip(columns.iter_mut()) {
            distribution.draw(&self.ziggurat, generator, column);
        }
        for (place, row) in &self.mixed {
            // a later input is mixed of earlier ones, which are mixed themselves afterwards
            let (before, own) = columns.split_at_mut(*place);
            let Some(own) = own.first_mut() else {
                continue;
            };
            for (trial, value) in own.iter_mut().enumerate() {
                let earlier = before.iter().zip(row);
                *value = earlier.fold(row[*place] * *value, |sum, (column, weight)| {
                    sum + weight * column[trial]
                });
            }
        }
        for (distribution, column) in self.distributions.iter().zip(columns) {
            distribution.place(column);
        }
    }
}
