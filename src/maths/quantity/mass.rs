//! Masses of coffee, water and beverage.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// A mass of coffee, water, milk or beverage, stored in grams.
    Mass, from_grams, grams, Range::new("mass", 0.0, 100_000.0, "g")
}

impl Mass {
    /// A dose of dry coffee, from a pinch to a batch brewer.
    pub const DOSE: Range = Range::new("dose", 0.1, 5_000.0, "g");
    /// Brewed beverage, brew water or bypass water.
    pub const LIQUID: Range = Range::new("liquid mass", 0.1, 100_000.0, "g");
}
