//! Simulation of an espresso shot: water fills the headspace, wets a packed bed from the top
//! and runs through it, while fine and coarse grains give up their solubles.
//!
//! One space dimension, SI units, depth counted down from the top of the bed. The model is
//! verified, not validated: two independent programs agree on its solution, but no raw
//! experimental curve has been compared with it. It leaves out the heating of the puck,
//! capillary suction, gas, migrating fines, slow swelling, inertia and hold-up in the spout,
//! and it says nothing of taste. A homogeneous bed does not show the fall of extraction at
//! very fine grinds that experiments show.
//!
//! Reading order: what can be changed, what is asked, constants of the shot, the physics of
//! grains, flow, liquid and front, then the driver and what it reports.

pub mod parameters;

pub mod profile;
pub mod shot;

pub mod accuracy;
pub mod bed;

mod eigen;
pub mod grains;

pub mod flow;

mod front;
mod infiltration;
mod liquid;
mod through_flow;
mod wet;

pub mod diagnostics;
pub mod outcome;
mod recorder;

pub mod run;

pub use accuracy::{Accuracy, Resolution};
pub use bed::Bed;
pub use outcome::{BedLayer, Cup, Ending, Outcome};
pub use parameters::{Parameter, Parameters};
pub use profile::PressureProfile;
pub use run::{run, run_bed};
pub use shot::Shot;
