//! What a refractometer's reading means: the index of water, the sugar scale, and both at
//! another temperature than 20 °C.
//!
//! Reading order: water, the scale at 20 °C, the scale at other temperatures, coffee.

pub mod water_index;

pub mod sucrose;

pub mod warmth;

pub mod coffee;
