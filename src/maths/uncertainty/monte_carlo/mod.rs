//! Propagation of distributions by the Monte Carlo method: JCGM 101.
//!
//! Nothing here is random in the sense of unforeseeable: a seed decides every number, and each
//! block of trials has a stream of its own, so that the same seed gives the same bits whoever
//! works the blocks and in whatever order.
//!
//! Reading order: the stream of a block, the normal and the t distribution, the distribution of
//! an input, the trials, what they say, and what they say about first order.

pub mod generator;

pub mod distribution;
pub mod gamma;
pub mod ziggurat;

pub mod inputs;
pub mod interval;
pub mod propagate;
pub mod tolerance;

pub mod validation;
