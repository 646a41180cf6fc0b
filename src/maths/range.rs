//! Closed intervals with a name and a unit, and the one range check.

use super::error::MathsError;

/// A closed interval `min <= x <= max` of a named quantity.
///
/// Declared once as a constant; the check, the error text, the published minimum and maximum
/// and the tests all read that constant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Name of the quantity, as it reads in an error.
    pub quantity: &'static str,
    /// Smallest value accepted.
    pub min: f64,
    /// Largest value accepted.
    pub max: f64,
    /// Unit of both ends; `"1"` for a pure number.
    pub unit: &'static str,
}

impl Range {
    /// An interval from `min` to `max`, ends included.
    #[must_use]
    pub const fn new(quantity: &'static str, min: f64, max: f64, unit: &'static str) -> Self {
        Self {
            quantity,
            min,
            max,
            unit,
        }
    }

    /// Whether the value is finite and inside; NaN is not.
    #[must_use]
    pub const fn contains(&self, value: f64) -> bool {
        self.min <= value && value <= self.max
    }

    /// The value itself when it is finite and inside.
    ///
    /// # Errors
    /// [`MathsError::NonFinite`] for NaN and infinities, [`MathsError::OutOfRange`] otherwise.
    pub const fn check(&self, value: f64) -> Result<f64, MathsError> {
        if !value.is_finite() {
            return Err(MathsError::NonFinite {
                quantity: self.quantity,
            });
        }
        if self.contains(value) {
            Ok(value)
        } else {
            Err(MathsError::OutOfRange {
                quantity: self.quantity,
                value,
                min: self.min,
                max: self.max,
                unit: self.unit,
            })
        }
    }
}
