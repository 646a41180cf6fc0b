//! Units of measure: a table of exact factors, and conversions that round as late as they can.
//!
//! Reading order: exact fractions, the table, conversions.

pub mod fraction;

pub mod table;

pub mod conversion;
