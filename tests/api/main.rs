//! The whole service over HTTP: a real server on a free port, driven by the shared client.
#![cfg(test)]

mod support;

mod calculations;
mod compatibility;
mod contract;
mod hostile;
mod problems;
mod properties;
