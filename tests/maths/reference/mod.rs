//! Values that others published or computed.

mod air;
mod steam;
mod water;
