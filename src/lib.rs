//! The maths of coffee extraction, as a stateless HTTP/JSON service.
//!
//! Layers, and which way they look: `server` → [`api`] → [`maths`]. Nothing points back.

pub mod maths;

pub mod api;
