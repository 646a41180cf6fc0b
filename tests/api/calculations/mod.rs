//! Each calculation over HTTP: published values, faults of its own, workings.

mod brewing_water;
mod ratio;
mod water_blend;
mod water_dosing;
mod water_temperature;
