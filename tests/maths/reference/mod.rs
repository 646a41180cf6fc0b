//! Values printed in sources we did not write, and figures of reference libraries.

mod air;
mod basket;
mod chemistry;
mod comparisons;
mod distributions;
mod extraction;
mod gum;
mod milk;
mod monte_carlo;
mod process;
mod refraction;
mod rows;
mod steam;
mod supply;
mod targets;
mod thermal;
mod uncertainty;
mod units;
mod water;
