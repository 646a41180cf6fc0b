//! The whole service over HTTP: a real server on a free port, driven by the shared client.
#![cfg(test)]

mod support;

mod batch;
mod calculations;
mod compute;
mod contract;
mod keys;
mod limits;
mod problems;
mod quota;
