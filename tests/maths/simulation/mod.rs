//! The simulated shot against an independent program, analytic limits, properties and edges.

mod cases;

mod bounds;
mod edges;
mod grains;
mod limits;
mod parameters;
mod pathologies;
mod reference;
mod refinement;
