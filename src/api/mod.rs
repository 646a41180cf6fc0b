//! What the service answers: one file a calculation on one seam, and everything that is
//! derived from their list. Knows the maths; knows no socket.
//!
//! Reading order: what a calculation is, how a request is read and judged, what an answer
//! carries, how things fail, then the list of calculations.

pub mod calculation;

pub mod bounds;
pub mod decode;
pub mod limits;
pub mod markup;
pub mod own_form;
pub mod query;
pub mod reserved;
pub mod rule;
pub mod schemas;
pub mod shape;
pub mod units;

pub mod basket_sizes;
pub mod bibliography;
pub mod brew_kind;
pub mod calendar;
pub mod caution;
pub mod control_charts;
pub mod currency;
pub mod display;
pub mod drinks;
pub mod encode;
pub mod milks;
pub mod provenance;
pub mod query_text;
pub mod unit_codes;

pub mod from_maths;
pub mod problem;

pub(crate) mod boiler;
pub(crate) mod both_scales;
pub mod budget;
pub(crate) mod expanded;
pub mod place;
pub mod pressure_profile;
pub mod water;
pub(crate) mod water_steps;

mod answering;
pub mod calculations;
pub mod compose;
pub mod exercises;
pub mod registry;
pub mod solutions;
mod weighing;

pub mod picture;

pub mod chart;
pub mod chart_options;
pub mod charts;

pub mod threads;

pub mod batch;
pub mod batch_schema;
pub mod columnar;
pub mod lookup;
pub mod paths;
pub mod rows;
pub mod wanted;
