//! The maths of coffee extraction, as a stateless HTTP/JSON service.
//!
//! Layers, and which way they look: [`command`] → [`server`] → [`api`] → [`maths`]; the
//! [`client`] knows the types of [`api`]. Nothing points back.

pub mod maths;

pub mod api;

pub mod server;

pub mod client;

pub mod command;
