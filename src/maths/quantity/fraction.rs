//! Mass fractions. Percent exists only at the API, with `_percent` in its name.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// A part by mass, stored as a fraction of one.
    MassFraction, from_fraction, fraction, Range::new("mass fraction", 0.0, 1.0, "1")
}

impl MassFraction {
    /// Beverage strength in percent by mass; the strongest first drops stay below 30 %.
    pub const STRENGTH_PERCENT: Range = Range::new("strength", 0.0, 30.0, "%");
    /// Moisture or carbon dioxide of roasted coffee in percent by mass.
    pub const VOLATILE_PERCENT: Range = Range::new("moisture or carbon dioxide", 0.0, 15.0, "%");

    /// The fraction from a percentage.
    ///
    /// # Errors
    /// As [`MassFraction::from_fraction`].
    pub fn from_percent(percent: f64) -> Result<Self, crate::maths::error::MathsError> {
        Self::from_fraction(percent / 100.0)
    }

    /// The fraction in percent.
    #[must_use]
    pub const fn percent(self) -> f64 {
        self.0 * 100.0
    }
}
