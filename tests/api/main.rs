//! The whole service over HTTP: a real server on a free port, driven by the shared client.
#![cfg(test)]

mod support;

mod caching;
mod calculations;
mod compatibility;
mod compression;
mod contract;
mod cors;
mod hostile;
mod pages;
mod problems;
mod properties;
mod query;
mod representation;
mod rows;
mod streams;
