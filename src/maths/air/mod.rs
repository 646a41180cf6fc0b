//! Air pressure at the place where people brew: from the altitude alone (standard atmosphere),
//! from an altimeter setting, or from a pressure reduced to sea level with the weather.
//!
//! An altimeter setting (QNH) and a weather service's sea-level pressure (QFF) are reduced by
//! different rules and are not interchangeable. A barometer at the place beats all three.

pub mod atmosphere;

pub mod altimetry;
pub mod sea_level;
