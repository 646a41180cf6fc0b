//! What is known of one input, as a distribution to draw from.

use super::gamma::Student;
use super::generator::Generator;
use super::ziggurat::Ziggurat;
use crate::maths::error::MathsError;
use crate::maths::range::Range;
use crate::maths::uncertainty::SPREAD;

/// Middles accepted.
const MIDDLE: Range = Range::new("best estimate", -1e100, 1e100, "unit of the quantity");

/// The distribution of an input around its best estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distribution {
    pub(super) middle: f64,
    /// Half-width, standard deviation or scale.
    pub(super) spread: f64,
    pub(super) kind: Kind,
}

/// The distribution with middle zero and spread one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    Rectangular,
    Triangular,
    Normal,
    Student(Student),
}

impl Distribution {
    /// Anywhere within a half-width, all values alike. `[jcgm2008s1]` 6.4.2
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a half-width outside
    /// [`SPREAD`] or an estimate beyond 1e100, here and below.
    pub fn rectangular(middle: f64, half_width: f64) -> Result<Self, MathsError> {
        Self::new(middle, half_width, Kind::Rectangular)
    }

    /// Within a half-width, values near the middle likelier. `[jcgm2008s1]` 6.4.5
    ///
    /// # Errors
    /// As [`Self::rectangular`].
    pub fn triangular(middle: f64, half_width: f64) -> Result<Self, MathsError> {
        Self::new(middle, half_width, Kind::Triangular)
    }

    /// A best estimate and a standard uncertainty, and nothing else. `[jcgm2008s1]` 6.4.7
    ///
    /// # Errors
    /// As [`Self::rectangular`].
    pub fn normal(mean: f64, standard_uncertainty: f64) -> Result<Self, MathsError> {
        Self::new(mean, standard_uncertainty, Kind::Normal)
    }

    /// The mean of few normal readings: a t distribution, shifted to the mean and scaled by the
    /// standard uncertainty of type A. `[jcgm2008s1]` 6.4.9
    ///
    /// # Errors
    /// As [`Self::rectangular`]; [`MathsError::OutOfRange`] for degrees of freedom outside
    /// [`Student::DEGREES_OF_FREEDOM`].
    pub fn student(mean: f64, scale: f64, degrees_of_freedom: f64) -> Result<Self, MathsError> {
        let student = Student::new(degrees_of_freedom)?;
        Self::new(mean, scale, Kind::Student(student))
    }

    fn new(middle: f64, spread: f64, kind: Kind) -> Result<Self, MathsError> {
        Ok(Self {
            middle: MIDDLE.check(middle)?,
            spread: SPREAD.check(spread)?,
            kind,
        })
    }

    /// Fills a column with numbers of middle zero and spread one.
    pub(super) fn draw(&self, ziggurat: &Ziggurat, generator: &mut Generator, column: &mut [f64]) {
        match self.kind {
            Kind::Rectangular => {
                for value in column {
                    *value = 2.0 * generator.open_unit() - 1.0;
                }
            }
            Kind::Triangular => {
                for value in column {
                    *value = generator.open_unit() - generator.open_unit();
                }
            }
            Kind::Normal => {
                for value in column {
                    *value = ziggurat.normal(generator);
                }
            }
            Kind::Student(student) => {
                for value in column {
                    *value = student.draw(ziggurat, generator);
                }
            }
        }
    }

    /// Moves such numbers to the middle and the spread.
    pub(super) fn place(&self, column: &mut [f64]) {
        for value in column {
            *value = self.middle + self.spread * *value;
        }
    }
}
