//! Extraction yield: how much of the dose ended up dissolved, from what a scale and a
//! refractometer show.
//!
//! Reading order: the yield and its bound, the two ways to brew, dilution of the cup, all of
//! these for drawn values, the dry basis, lines of equal ratio, control charts.

pub mod extracted;

pub mod immersion;
pub mod percolation;

pub mod bypass;

pub mod sampled;

pub mod dry_basis;

pub mod ratio_line;

pub mod chart;
