//! The result that every way of brewing shares, and the bound that no coffee passes.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Mass, MassFraction};

/// Above this yield something was probably weighed or read wrongly: the soluble part of
/// roasted coffee is "a little more than 30 %". `[yield-bound]`
pub const UNUSUAL_YIELD: f64 = 0.30;
/// No coffee gives more than this yield; the same text's "one-fourth to one-third", with room.
pub const LARGEST_YIELD: f64 = 0.35;
/// A yield that equals the bound but for rounding is the bound.
const ROUNDING: f64 = 1.0 + 1e-12;

/// What was extracted, and how it depends on what was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extracted {
    /// Coffee dissolved: in the cup for percolation, in cup and grounds for immersion.
    pub solids: Mass,
    /// Dissolved part of the dose as weighed.
    pub extraction_yield: MassFraction,
    /// Partial derivatives of the yield.
    pub sensitivities: Sensitivities,
}

impl Extracted {
    /// Whether the yield is above [`UNUSUAL_YIELD`]: a caution, not an error.
    #[must_use]
    pub const fn is_unusual(&self) -> bool {
        self.extraction_yield.fraction() > UNUSUAL_YIELD * ROUNDING
    }

    /// Checks the yield against the bound.
    pub(crate) fn new(
        dose: Mass,
        solids_g: f64,
        sensitivities: Sensitivities,
    ) -> Result<Self, MathsError> {
        let dose_g = Mass::DOSE.check(dose.grams())?;
        let extraction_yield = solids_g / dose_g;
        if extraction_yield > LARGEST_YIELD * ROUNDING {
            return Err(MathsError::Inconsistent {
                rule: "no coffee gives up more than 35 % of its mass",
                left: extraction_yield * 100.0,
                right: LARGEST_YIELD * 100.0,
                unit: "%",
            });
        }
        Ok(Self {
            solids: Mass::from_grams(solids_g)?,
            extraction_yield: MassFraction::from_fraction(extraction_yield)?,
            sensitivities,
        })
    }
}

/// Partial derivatives of the yield (a fraction) at the measured point. Zero for a quantity
/// that the way of brewing does not use.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sensitivities {
    /// With respect to the dose, 1/g.
    pub dose: f64,
    /// With respect to the beverage mass that was given (before or after bypass), 1/g.
    pub beverage: f64,
    /// With respect to the brew water, 1/g.
    pub water: f64,
    /// With respect to the bypass water, 1/g.
    pub bypass: f64,
    /// With respect to the strength in the cup, fraction per fraction (points per point).
    pub strength: f64,
}
