//! Lines of equal brew ratio on a chart of strength against yield.

use crate::maths::error::MathsError;
use crate::maths::quantity::MassFraction;
use crate::maths::range::Range;

/// Brew water per dose.
pub const WATER_RATIO: Range = Range::new("water ratio", 0.1, 100_000.0, "1");
/// Liquid kept by the grounds per dose.
pub const RETAINED_RATIO: Range = Range::new("retained ratio", 0.0, 10.0, "1");

/// What the grounds are taken to keep. The two differ by some 1.2 % of the strength at a yield
/// of 20 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RatioLine {
    /// Beverage = water - retained, both as weighed: `t = E / (R - a)`. What a scale shows, and
    /// the form this service uses.
    AsWeighed,
    /// The grounds keep pure water and the beverage gains the solids: `t = E / (R - a + E)`.
    PureWaterRetained,
}

impl RatioLine {
    /// Strength on the line of a water ratio at a yield.
    ///
    /// # Equation
    /// `t = E / (R - a)` or `t = E / (R - a + E)`
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | t | strength (returned) | 1 |
    /// | E | extraction yield | 1 |
    /// | R | brew water per dose | 1 |
    /// | a | retained liquid per dose | 1 |
    ///
    /// # Source
    /// Mass balance of the beverage.
    ///
    /// # Valid for
    /// R inside [`WATER_RATIO`] and above a; a inside [`RETAINED_RATIO`].
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] outside or for a strength above one,
    /// [`MathsError::Inconsistent`] when all water is retained.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::{extraction::ratio_line::RatioLine, quantity::MassFraction};
    /// // 55 g of coffee to a kilogram of water
    /// let twenty = MassFraction::from_percent(20.0)?;
    /// let strength = RatioLine::AsWeighed.strength(twenty, 1000.0 / 55.0, 2.0)?;
    /// assert!((strength.percent() - 1.2360).abs() < 5e-5);
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    pub fn strength(
        self,
        extraction_yield: MassFraction,
        water_ratio: f64,
        retained_ratio: f64,
    ) -> Result<MassFraction, MathsError> {
        let passed = passed_ratio(water_ratio, retained_ratio)?;
        let extraction_yield = extraction_yield.fraction();
        MassFraction::from_fraction(match self {
            Self::AsWeighed => extraction_yield / passed,
            Self::PureWaterRetained => extraction_yield / (passed + extraction_yield),
        })
    }

    /// Yield on the line of a water ratio at a strength.
    ///
    /// # Equation
    /// `E = t (R - a)` or `E = (R - a) t / (1 - t)`; symbols of [`RatioLine::strength`]
    ///
    /// # Source
    /// Its inverse.
    ///
    /// # Valid for
    /// As [`RatioLine::strength`].
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] outside or for a yield above one,
    /// [`MathsError::NonFinite`] for a strength of one,
    /// [`MathsError::Inconsistent`] when all water is retained.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::{extraction::ratio_line::RatioLine, quantity::MassFraction};
    /// let strength = MassFraction::from_percent(1.3)?;
    /// let found = RatioLine::AsWeighed.extraction_yield(strength, 16.0, 1.5)?;
    /// assert!((found.percent() - 18.85).abs() < 1e-12);
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    pub fn extraction_yield(
        self,
        strength: MassFraction,
        water_ratio: f64,
        retained_ratio: f64,
    ) -> Result<MassFraction, MathsError> {
        let passed = passed_ratio(water_ratio, retained_ratio)?;
        let strength = strength.fraction();
        MassFraction::from_fraction(match self {
            Self::AsWeighed => passed * strength,
            Self::PureWaterRetained => passed * strength / (1.0 - strength),
        })
    }

    /// Water ratio of the line through a point of the chart.
    ///
    /// # Equation
    /// `R = a + E / t` or `R = a + E (1 - t) / t`; symbols of [`RatioLine::strength`]
    ///
    /// # Source
    /// Its inverse.
    ///
    /// # Valid for
    /// A strength above zero.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::{extraction::ratio_line::RatioLine, quantity::MassFraction};
    /// let percent = MassFraction::from_percent;
    /// let line = RatioLine::PureWaterRetained;
    /// assert!((line.water_ratio(percent(20.0)?, percent(1.25)?, 2.0)? - 17.8).abs() < 1e-12);
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    pub fn water_ratio(
        self,
        extraction_yield: MassFraction,
        strength: MassFraction,
        retained_ratio: f64,
    ) -> Result<f64, MathsError> {
        let retained = RETAINED_RATIO.check(retained_ratio)?;
        let (extraction_yield, strength) = (extraction_yield.fraction(), strength.fraction());
        WATER_RATIO.check(match self {
            Self::AsWeighed => retained + extraction_yield / strength,
            Self::PureWaterRetained => retained + extraction_yield * (1.0 - strength) / strength,
        })
    }
}

fn passed_ratio(water_ratio: f64, retained_ratio: f64) -> Result<f64, MathsError> {
    let (water, retained) = (
        WATER_RATIO.check(water_ratio)?,
        RETAINED_RATIO.check(retained_ratio)?,
    );
    if water > retained {
        return Ok(water - retained);
    }
    Err(MathsError::Inconsistent {
        rule: "more water is given than the grounds retain",
        left: water,
        right: retained,
        unit: "g/g",
    })
}
