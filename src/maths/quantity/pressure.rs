//! Absolute and gauge pressure are different types: adding them up is a mistake.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// Absolute pressure, stored in hectopascals.
    Pressure, from_hectopascals, hectopascals, Range::new("absolute pressure", 1.0, 20_000.0, "hPa")
}

impl Pressure {
    /// Air pressure at a place where people brew.
    pub const AIR: Range = Range::new("air pressure", 300.0, 1_100.0, "hPa");

    /// The pressure in pascals.
    #[must_use]
    pub const fn pascals(self) -> f64 {
        self.0 * 100.0
    }
}

quantity! {
    /// Pressure above the air around, as a machine's gauge shows it, stored in bar.
    GaugePressure, from_bar, bar, Range::new("gauge pressure", 0.0, 15.0, "bar")
}
