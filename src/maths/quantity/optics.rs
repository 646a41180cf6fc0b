//! What a refractometer shows.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// Refractive index for the light of a sodium lamp, relative to air unless said otherwise.
    RefractiveIndex, from_ratio, ratio, Range::new("refractive index", 1.0, 1.6, "1")
}

quantity! {
    /// Reading on the sugar scale: percent by mass of sucrose that has the same refractive index.
    /// A little below zero for water that is warmer than the scale supposes.
    Brix, from_percent, percent, Range::new("sugar scale", -5.0, 60.0, "%")
}
