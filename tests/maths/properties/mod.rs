//! What must hold for every input: round trips, conservation, order, limits, edges.

mod air;
mod basket;
mod chemistry;
mod extraction;
mod heat;
mod joint_conformity;
mod process;
mod supply;
mod targets;
mod uncertainty;
mod units;
mod water;
mod water_edges;
