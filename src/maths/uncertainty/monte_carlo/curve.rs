//! The bell-shaped curves that numbers are drawn under.

use super::generator::Generator;
use crate::maths::error::MathsError;
use crate::maths::range::Range;
use crate::maths::uncertainty::DegreesOfFreedom;

/// Degrees of freedom for which the standard deviation exists, with a margin: four readings.
/// `[jcgm2008s1]` 6.4.9.4
pub const DEGREES_OF_FREEDOM: Range = Range::new(
    "degrees of freedom of a distribution to be drawn from",
    3.0,
    DegreesOfFreedom::RANGE.max,
    "1",
);

/// A density but for its factor: one at zero, falling to both sides alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Curve {
    /// `exp(-x^2 / 2)`
    Normal,
    /// `(1 + x^2 / v)^(-(v + 1) / 2)`
    Student {
        /// Degrees of freedom v, in [`DEGREES_OF_FREEDOM`].
        degrees: f64,
    },
}

impl Curve {
    /// Student's t distribution.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for degrees of freedom outside
    /// [`DEGREES_OF_FREEDOM`].
    pub fn student(degrees_of_freedom: f64) -> Result<Self, MathsError> {
        let degrees = DEGREES_OF_FREEDOM.check(degrees_of_freedom)?;
        Ok(Self::Student { degrees })
    }

    /// Height at a place.
    pub(super) fn height(self, x: f64) -> f64 {
        libm::exp(match self {
            Self::Normal => -0.5 * x * x,
            Self::Student { degrees } => -0.5 * (degrees + 1.0) * libm::log1p(x * x / degrees),
        })
    }

    /// The place, not negative, where the curve is so high; zero for heights above its top.
    pub(super) fn place(self, height: f64) -> f64 {
        let log = libm::log(height);
        let square = match self {
            Self::Normal => -2.0 * log,
            Self::Student { degrees } => degrees * libm::expm1(-2.0 * log / (degrees + 1.0)),
        };
        square.max(0.0).sqrt()
    }

    /// The power of x with which a curve falls that touches this one at the place and is
    /// nowhere below it beyond. It exists because the logarithm of the height falls ever more
    /// steeply with that of the place.
    fn power(self, place: f64) -> f64 {
        let square = place * place;
        match self {
            Self::Normal => square,
            Self::Student { degrees } => (degrees + 1.0) * square / (degrees + square),
        }
    }

    /// Area under that curve beyond the place.
    pub(super) fn tail_bound(self, place: f64) -> f64 {
        self.height(place) * place / (self.power(place) - 1.0)
    }

    /// A number from beyond the place, or nothing as often as the area under the curve above
    /// is larger than that under this one.
    #[cold]
    pub(super) fn tail(self, place: f64, generator: &mut Generator) -> Option<f64> {
        let power = self.power(place);
        let ratio = libm::pow(generator.open_unit(), -1.0 / (power - 1.0));
        let bound = self.height(place) * libm::pow(ratio, -power);
        let x = place * ratio;
        (generator.unit() * bound < self.height(x)).then_some(x)
    }
}
