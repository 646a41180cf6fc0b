//! The whole service over HTTP: a real server on a free port, driven by the shared client.
#![cfg(test)]

mod support;

mod batch;
mod caching;
mod calculations;
mod compression;
mod compute;
mod contract;
mod cors;
mod keys;
mod limits;
mod dialects;
mod pages;
mod problems;
mod query;
mod quota;
mod representation;
mod rows;
mod streams;
