//! How much scale a water can drop at most.

use crate::maths::error::MathsError;
use crate::maths::quantity::Hardness;
use crate::maths::range::Range;

/// How many litres of feed water become one litre of boiler water, as steam leaves.
pub const CYCLES: Range = Range::new("cycles of concentration", 1.0, 50.0, "1");

/// Most calcium carbonate that a litre of boiler water can drop, when all carbon dioxide is
/// driven off.
///
/// # Equation
/// `s = N min(c, a)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | s | scale per litre of boiler water (returned) | mg/L as `CaCO3` |
/// | N | cycles of concentration | 1 |
/// | c, a | calcium hardness and alkalinity of the feed | mg/L as `CaCO3` |
///
/// # Source
/// Stoichiometry of `Ca + 2 HCO3 = CaCO3 + CO2 + H2O`; derived.
///
/// # Valid for
/// An upper bound: a closed system drops less. Full speciation (`[parkhurst2013]`) of a water with
/// 250 of hardness and 200 of alkalinity gives 78 mg/L at 93 °C and 113 at 125 °C.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside [`CYCLES`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::scale::scale_bound, quantity::Hardness};
/// let mg = Hardness::from_milligrams_per_litre;
/// assert_eq!(scale_bound(mg(250.0)?, mg(200.0)?, 1.0)?, mg(200.0)?);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn scale_bound(
    calcium: Hardness,
    alkalinity: Hardness,
    cycles: f64,
) -> Result<Hardness, MathsError> {
    let least = calcium
        .milligrams_per_litre()
        .min(alkalinity.milligrams_per_litre());
    Hardness::from_milligrams_per_litre(CYCLES.check(cycles)? * least)
}
