//! Student's t as a normal number over the root of a chi-squared one.

use super::generator::Generator;
use super::ziggurat::Ziggurat;
use crate::maths::error::MathsError;
use crate::maths::range::Range;
use crate::maths::uncertainty::DegreesOfFreedom;

/// From this d the quick test below holds. `[marsaglia2000g]`
const QUICK_FROM: f64 = 2.0 / 3.0;
/// Constant of the quick test. `[marsaglia2000g]`
const QUICK: f64 = 0.0331;

/// A t distribution with mean zero and scale one, ready for drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Student {
    d: f64,
    c: f64,
    /// Degrees of freedom over twice d.
    ratio: f64,
}

impl Student {
    /// Degrees of freedom for which the standard deviation exists, with a margin: four readings.
    /// `[jcgm2008s1]` 6.4.9.4
    pub const DEGREES_OF_FREEDOM: Range = Range::new(
        "degrees of freedom of a distribution to be drawn from",
        3.0,
        DegreesOfFreedom::RANGE.max,
        "1",
    );

    /// The distribution with these degrees of freedom.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] outside [`Self::DEGREES_OF_FREEDOM`].
    pub fn new(degrees_of_freedom: f64) -> Result<Self, MathsError> {
        let degrees = Self::DEGREES_OF_FREEDOM.check(degrees_of_freedom)?;
        let d = 0.5 * degrees - 1.0 / 3.0;
        Ok(Self {
            d,
            c: 1.0 / (9.0 * d).sqrt(),
            ratio: degrees / (2.0 * d),
        })
    }

    /// The next number.
    ///
    /// `t = z sqrt(v / chi2)`, where `chi2 / 2` is gamma-distributed with shape `v / 2`, by the
    /// method of `[marsaglia2000g]`.
    #[inline]
    pub fn draw(&self, ziggurat: &Ziggurat, generator: &mut Generator) -> f64 {
        let z = ziggurat.normal(generator);
        loop {
            let x = ziggurat.normal(generator);
            let root = 1.0 + self.c * x;
            if root <= 0.0 {
                continue;
            }
            let v = root * root * root;
            let u = generator.open_unit();
            let square = x * x;
            let is_quick = self.d >= QUICK_FROM && u < 1.0 - QUICK * square * square;
            if is_quick || self.is_accepted(u, square, v) {
                return z * (self.ratio / v).sqrt();
            }
        }
    }

    fn is_accepted(&self, u: f64, square: f64, v: f64) -> bool {
        libm::log(u) < 0.5 * square + self.d * (1.0 - v + libm::log(v))
    }
}
