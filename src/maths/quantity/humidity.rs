//! Relative humidity of air.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// Relative humidity of air over liquid water, stored in percent.
    RelativeHumidity, from_percent, percent, Range::new("relative humidity", 0.0, 100.0, "%")
}
