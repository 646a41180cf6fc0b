//! Readings of a shot: what a scale, and where there is one a pressure gauge, say of the cup.
//!
//! Reading order: the readings put in order (`clock`), what happened to the scale (`limit`,
//! `steps`, `bumps`), the stream that comes out of it (`stream`), flow (`smooth`), first drop,
//! end (`stop`), phases, resistance, evenness, and all of it together (`analysis`).

mod bumps;
mod clock;
mod jumps;
mod limit;
mod line;
mod steps;

pub mod fault;
pub mod series;
pub mod stream;

pub mod first_drop;
pub mod smooth;
pub mod stop;

pub mod evenness;
pub mod phases;
pub mod resistance;

pub mod analysis;

pub use analysis::{Analysis, Recording};
pub use fault::{Fault, FaultKind};
pub use series::Series;
pub use stream::{Reading, Stream};
