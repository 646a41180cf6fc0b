//! Filter baskets: their volume, the bed of a dose, and the doses they hold.

pub mod geometry;

pub mod capacity;
