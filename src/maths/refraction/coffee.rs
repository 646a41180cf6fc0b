//! From the sugar scale to the solids of coffee: what is published about the factor.

use crate::maths::range::Range;

/// Coffee solids by percent on the sugar scale: the middle of what is published.
/// `[coffee-solids-factor]`
pub const SOLIDS_PER_BRIX: f64 = 0.825;
/// How far what is published reaches from there. `[coffee-solids-factor]`
pub const SOLIDS_PER_BRIX_HALF_WIDTH: f64 = 0.035;
/// Factors that any dissolved matter of plants may have.
pub const SOLIDS_PER_BRIX_RANGE: Range =
    Range::new("coffee solids by percent of sugar", 0.5, 1.2, "1");
