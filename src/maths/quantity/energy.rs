//! Heats, powers and the times they take.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// A heat given or taken, stored in kilojoules.
    Heat, from_kilojoules, kilojoules, Range::new("heat", -1e6, 1e6, "kJ")
}

quantity! {
    /// Power of a heater, stored in watts.
    Power, from_watts, watts, Range::new("heater power", 1.0, 100_000.0, "W")
}

quantity! {
    /// A length of time, stored in seconds.
    Duration, from_seconds, seconds, Range::new("duration", 0.0, 1e12, "s")
}

impl Duration {
    /// A wait while something cools, up to a day.
    pub const WAIT: Range = Range::new("wait", 0.0, 86_400.0, "s");
    /// Time constant of something that cools, up to a day.
    pub const TIME_CONSTANT: Range = Range::new("time constant", 1.0, 86_400.0, "s");
}
