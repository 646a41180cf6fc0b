//! Lengths of baskets and beds, and altitudes.

use super::quantity;
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

quantity! {
    /// Geopotential altitude above mean sea level, stored in geopotential metres.
    GeopotentialAltitude, from_metres, metres, Range::new("geopotential altitude", -501.0, 9_001.0, "m")
}
