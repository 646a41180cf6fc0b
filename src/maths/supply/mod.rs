//! Roasted coffee on the shelf: its age and window, how much to order and when, what storage
//! does to it, and the gas that ground coffee loses. Dates are the caller's: here a day is a
//! number.

pub mod window;

pub mod stock;

pub mod storage;

pub mod degassing;
