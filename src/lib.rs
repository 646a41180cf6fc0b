//! The maths of coffee extraction, as a stateless HTTP/JSON service.

pub mod maths;
