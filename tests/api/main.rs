//! The whole service over HTTP: a real server on a free port, driven by the shared client.
#![cfg(test)]

mod support;

mod caching;
mod calculations;
mod compression;
mod contract;
mod cors;
mod dialects;
mod pages;
mod problems;
mod query;
mod representation;
mod rows;
mod streams;
