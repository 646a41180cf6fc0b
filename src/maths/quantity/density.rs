//! Densities of coffee as it lies in a basket.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// Mass of ground coffee per volume of the bed, pores included, stored in g/mL.
    BulkDensity, from_grams_per_millilitre, grams_per_millilitre,
    Range::new("bulk density", 0.2, 1.0, "g/mL")
}
