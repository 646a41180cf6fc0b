//! The yield counted on what the dose holds besides water and gas.

use crate::maths::error::MathsError;
use crate::maths::quantity::MassFraction;

/// A yield on the dry basis with its partial derivatives (fraction per fraction).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryBasis {
    /// Dissolved part of the dry dose.
    pub extraction_yield: MassFraction,
    /// Derivative by the yield of the dose as weighed.
    pub by_yield: f64,
    /// Derivative by the moisture, and by the carbon dioxide: the same.
    pub by_volatile: f64,
}

/// Extraction yield referred to the dose without its moisture and carbon dioxide.
///
/// # Equation
/// `E_d = E / (1 - m - c)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `E_d` | yield on the dry basis (returned) | 1 |
/// | E | yield of the dose as weighed | 1 |
/// | m, c | moisture and carbon dioxide of the dose | 1 |
///
/// # Source
/// Definition; moisture of roasted ground coffee by `[iso11294]` (loss in mass at 103 °C).
///
/// # Valid for
/// Moisture and carbon dioxide inside [`MassFraction::VOLATILE_PERCENT`] each.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside, or for a yield above one.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::dry_basis::dry_basis, quantity::MassFraction};
/// let percent = MassFraction::from_percent;
/// let dry = dry_basis(percent(20.0)?, percent(2.0)?, percent(1.0)?)?;
/// assert!((dry.extraction_yield.percent() - 20.6186).abs() < 5e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn dry_basis(
    extraction_yield: MassFraction,
    moisture: MassFraction,
    carbon_dioxide: MassFraction,
) -> Result<DryBasis, MathsError> {
    MassFraction::VOLATILE_PERCENT.check(moisture.percent())?;
    MassFraction::VOLATILE_PERCENT.check(carbon_dioxide.percent())?;
    let dry = 1.0 - moisture.fraction() - carbon_dioxide.fraction();
    Ok(DryBasis {
        extraction_yield: MassFraction::from_fraction(extraction_yield.fraction() / dry)?,
        by_yield: 1.0 / dry,
        by_volatile: extraction_yield.fraction() / (dry * dry),
    })
}
