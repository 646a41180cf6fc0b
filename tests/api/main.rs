//! The whole service over HTTP: a real server on a free port, driven by the shared client.
#![cfg(test)]

mod admin;
mod batch;
mod caching;
mod calculations;
mod charts;
mod compatibility;
mod compression;
mod compute;
mod contract;
mod cors;
mod dialects;
mod drain;
mod guide;
mod hostile;
mod keys;
mod limits;
mod pages;
mod problems;
mod properties;
mod query;
mod quota;
mod readme;
mod representation;
mod rows;
#[cfg(feature = "otlp")]
mod spans;
mod specification;
mod streams;
mod support;
mod telemetry;
#[cfg(feature = "tls")]
mod tls;
