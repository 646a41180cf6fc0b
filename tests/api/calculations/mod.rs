//! Each calculation over HTTP: published values, faults of its own, workings.

mod ratio;
mod shot_simulation;
mod water_temperature;
