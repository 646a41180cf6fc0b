//! Each calculation over HTTP: published values, faults of its own, workings.

mod ratio;
mod water_temperature;
