//! The maths against published values, independent routes and properties; no server involved.
//! One module a subject, mirroring `src/maths`.

mod support;

mod simulation;
