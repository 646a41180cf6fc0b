//! Heat balances: mixing, heating, cooling, refilling a boiler, steaming milk.
//!
//! Reading order: balances of any bodies, then boilers, then milk and the steam that heats it.

pub mod cooling;
pub mod heating;
pub mod mixing;

pub mod refill;

pub mod milk;
pub mod milk_density;
pub mod steaming;
