//! The whole service over HTTP: a real server on a free port, driven by the shared client.
#![cfg(test)]

mod support;

mod calculations;
mod contract;
mod problems;
mod query;
mod rows;
mod streams;
