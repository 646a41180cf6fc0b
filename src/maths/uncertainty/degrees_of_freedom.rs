//! How well an uncertainty is itself known.

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Degrees of freedom of a standard uncertainty: a real number from one, or infinite for an
/// uncertainty taken as exactly known.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct DegreesOfFreedom(f64);

impl DegreesOfFreedom {
    /// What finite degrees of freedom can be.
    pub const RANGE: Range = Range::new("degrees of freedom", 1.0, 1e15, "1");
    /// Of an uncertainty taken as exactly known.
    pub const INFINITE: Self = Self(f64::INFINITY);

    /// A finite number of degrees of freedom.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] when the value is not inside
    /// [`Self::RANGE`].
    pub const fn finite(value: f64) -> Result<Self, MathsError> {
        match Self::RANGE.check(value) {
            Ok(value) => Ok(Self(value)),
            Err(error) => Err(error),
        }
    }

    /// The number, or nothing when it is infinite.
    #[must_use]
    pub const fn value(self) -> Option<f64> {
        if self.0.is_finite() {
            Some(self.0)
        } else {
            None
        }
    }

    /// One over the number; zero when it is infinite.
    #[must_use]
    pub const fn reciprocal(self) -> f64 {
        1.0 / self.0
    }

    /// The next lower integer, as the GUM (G.4.1) takes it for the coverage factor.
    #[must_use]
    pub fn floor(self) -> Self {
        Self(self.0.floor())
    }
}
