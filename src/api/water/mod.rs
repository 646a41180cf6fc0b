//! Waters as requests and answers write them: shared by the calculations about brewing water.

mod aims;
mod given;
mod made;
pub mod profiles;
pub mod salts;

pub use aims::{TargetMissed, WaterQuantity};
pub(crate) use aims::{aims, missed, needed};
pub(crate) use given::Known;
pub use given::WaterGiven;
pub use made::{HardnessInUnits, HardnessUnitName, IonName, WaterMade};

/// Lowest chloride at which a source drops a common steel, mg/L. `[chloride-corrosion]`
pub(crate) const CHLORIDE_FROM: f64 = 10.0;
/// Sodium at or near which a published standard puts it, mg/L. `[scaa-water]`
pub(crate) const SODIUM_NEAR: f64 = 10.0;
