//! Round trips, monotony, limits and the edges of ranges.

mod air;
mod water;
mod water_edges;
