//! Liquid water, steam and the line between them, after the industrial formulation of 1997.
//!
//! `region1`, `region2` and `region4` are its equations as released, in the release's units and
//! over the release's range. The other files answer in typed quantities, over the narrower range
//! that brewing needs, and refuse everything else.

mod powers;

pub mod region1;
pub mod region2;
pub mod region4;

pub mod saturation;

pub mod gauge;

pub mod liquid;
pub mod viscosity;

pub mod altitude;
pub mod flash;
