//! What must hold for every input: round trips, conservation, order, edges.

mod basket;
mod extraction;
mod uncertainty;
