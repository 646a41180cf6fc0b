//! The maths against published values, independent routes and properties; no server involved.
//! One module a subject, mirroring `src/maths`.
#![cfg(test)]

mod support;

mod dial_in;
mod properties;
mod reference;
mod shot;
mod simulation;
mod stop;
