//! Lengths of baskets and beds, and altitudes.

use super::quantity;
use crate::maths::error::MathsError;
use crate::maths::range::Range;

quantity! {
    /// A length of a basket or a bed, stored in millimetres.
    Length, from_millimetres, millimetres, Range::new("length", 0.0, 1_000.0, "mm")
}

impl Length {
    /// Diameter of a filter basket, at its rim or its bottom.
    pub const BASKET_DIAMETER: Range = Range::new("basket diameter", 30.0, 80.0, "mm");
}

quantity! {
    /// Geometric altitude above mean sea level (map, satellite), stored in metres.
    Altitude, from_metres, metres, Range::new("altitude", -500.0, 9_000.0, "m")
}

impl Altitude {
    /// Metres in a foot; exact by definition of the international foot.
    pub const METRES_PER_FOOT: f64 = 0.304_8;
    /// [`Altitude::RANGE`] in feet, rounded inward: its ends are -1640.4 and 29 527.6 ft.
    pub const RANGE_FEET: Range = Range::new("altitude", -1_640.0, 29_527.0, "ft");

    /// The altitude from feet.
    ///
    /// # Errors
    /// As [`Altitude::from_metres`].
    pub fn from_feet(value: f64) -> Result<Self, MathsError> {
        Self::from_metres(value * Self::METRES_PER_FOOT)
    }
}

quantity! {
    /// Geopotential altitude above mean sea level, stored in geopotential metres.
    GeopotentialAltitude, from_metres, metres, Range::new("geopotential altitude", -501.0, 9_001.0, "m")
}
