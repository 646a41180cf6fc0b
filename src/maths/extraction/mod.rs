//! Extraction yield: how much of the dose ended up dissolved, from what a scale and a
//! refractometer show.
//!
//! Reading order: the yield and its bound, the two ways to brew, dilution of the cup, the way
//! back from strength and yield to the masses, density of the cup, drying in an oven, shots in
//! slices, all of these for drawn values, the dry basis, lines of equal ratio, control charts.

pub mod extracted;

pub mod immersion;
pub mod percolation;

pub mod bypass;

pub mod sampled;

pub mod targets;

pub mod beverage_density;

pub mod drying;

pub mod fractions;

pub mod dry_basis;

pub mod ratio_line;

pub mod chart;
