//! Stopping a shot by the scale: filter, drain, streams of a scale drawn from a seed.

#[path = "../../shared/stop_streams.rs"]
mod stop_streams;

mod drain;
mod figures;
mod filter;
mod portions;
mod robust;
mod rule;
