//! Waters as requests and answers write them: shared by the calculations about brewing water.

mod given;
mod made;
pub mod profiles;
pub mod salts;

pub use given::WaterGiven;
pub(crate) use given::{Known, NUMBERS};
pub use made::{HardnessInUnits, HardnessUnitName, IonName, WaterMade};
