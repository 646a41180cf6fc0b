//! Water added to the cup: it changes the strength and leaves the solids alone.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;

/// Strength of a brew after water was added.
///
/// # Equation
/// `t_c = t B / (B + V)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `t_c`, t | strength of the cup (returned) and of the brew | 1 |
/// | B | brew before the water | g |
/// | V | bypass water | g |
///
/// # Source
/// Mass balance of the solids.
///
/// # Valid for
/// A brew inside [`Mass::LIQUID`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::bypass::diluted_strength, quantity::{Mass, MassFraction}};
/// let (brew, water) = (Mass::from_grams(100.0)?, Mass::from_grams(40.0)?);
/// let cup = diluted_strength(brew, water, MassFraction::from_percent(2.8)?)?;
/// assert!((cup.percent() - 2.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn diluted_strength(
    brew: Mass,
    bypass: Mass,
    strength: MassFraction,
) -> Result<MassFraction, MathsError> {
    let brew_g = Mass::LIQUID.check(brew.grams())?;
    MassFraction::from_fraction(strength.fraction() * brew_g / (brew_g + bypass.grams()))
}

/// Strength of a brew before water was added to the cup.
///
/// # Equation
/// `t = t_c (B + V) / B`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | t, `t_c` | strength of the brew (returned) and of the cup | 1 |
/// | B | brew before the water | g |
/// | V | bypass water | g |
///
/// # Source
/// Mass balance of the solids.
///
/// # Valid for
/// A brew inside [`Mass::LIQUID`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside, or when the brew would have been more than pure solids.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::bypass::undiluted_strength, quantity::{Mass, MassFraction}};
/// let (brew, water) = (Mass::from_grams(100.0)?, Mass::from_grams(40.0)?);
/// let before = undiluted_strength(brew, water, MassFraction::from_percent(2.0)?)?;
/// assert!((before.percent() - 2.8).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn undiluted_strength(
    brew: Mass,
    bypass: Mass,
    strength: MassFraction,
) -> Result<MassFraction, MathsError> {
    MassFraction::from_fraction(Dilution::before(brew, bypass, strength)?.brew_strength)
}

/// Water that thins a brew to a strength.
///
/// # Equation
/// `V = B (t / t_c - 1)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | V | bypass water (returned) | g |
/// | B | brew | g |
/// | t, `t_c` | strength of the brew and wanted in the cup | 1 |
///
/// # Source
/// Mass balance of the solids.
///
/// # Valid for
/// A wanted strength above zero and not above the brew's.
///
/// # Errors
/// [`MathsError::NoSolution`] when the cup is wanted stronger than the brew,
/// [`MathsError::OutOfRange`] for a strength of zero or more water than [`Mass::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::bypass::bypass_for, quantity::{Mass, MassFraction}};
/// let (brew, cup) = (MassFraction::from_percent(2.8)?, MassFraction::from_percent(2.0)?);
/// assert!((bypass_for(Mass::from_grams(100.0)?, brew, cup)?.grams() - 40.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn bypass_for(
    brew: Mass,
    strength: MassFraction,
    wanted: MassFraction,
) -> Result<Mass, MathsError> {
    const WANTED: Range = Range::new("strength of the cup", 1e-9, 1.0, "1");
    let wanted = WANTED.check(wanted.fraction())?;
    if strength.fraction() < wanted {
        return Err(MathsError::NoSolution {
            equation: "bypass water",
            reason: "adding water makes no cup stronger",
        });
    }
    Mass::from_grams(brew.grams() * (strength.fraction() - wanted) / wanted)
}

/// Strength of the undiluted brew, with its derivatives by what was measured.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dilution {
    pub(super) brew_strength: f64,
    pub(super) by_strength: f64,
    pub(super) by_beverage: f64,
    pub(super) by_bypass: f64,
}

impl Dilution {
    pub(super) const fn none(strength: MassFraction) -> Self {
        Self {
            brew_strength: strength.fraction(),
            by_strength: 1.0,
            by_beverage: 0.0,
            by_bypass: 0.0,
        }
    }

    /// The beverage was weighed before the water was added.
    pub(super) fn before(
        beverage: Mass,
        bypass: Mass,
        strength: MassFraction,
    ) -> Result<Self, MathsError> {
        let brew_g = Mass::LIQUID.check(beverage.grams())?;
        let (bypass_g, strength) = (bypass.grams(), strength.fraction());
        let growth = (brew_g + bypass_g) / brew_g;
        Ok(Self {
            brew_strength: strength * growth,
            by_strength: growth,
            by_beverage: -strength * bypass_g / (brew_g * brew_g),
            by_bypass: strength / brew_g,
        })
    }

    /// The beverage was weighed after the water was added.
    pub(super) fn after(
        final_beverage: Mass,
        bypass: Mass,
        strength: MassFraction,
    ) -> Result<Self, MathsError> {
        let (final_g, bypass_g) = (final_beverage.grams(), bypass.grams());
        let brew_g = final_g - bypass_g;
        if brew_g < Mass::LIQUID.min {
            return Err(MathsError::Inconsistent {
                rule: "the cup holds more than the bypass water",
                left: final_g,
                right: bypass_g,
                unit: "g",
            });
        }
        let strength = strength.fraction();
        let growth = final_g / brew_g;
        Ok(Self {
            brew_strength: strength * growth,
            by_strength: growth,
            by_beverage: -strength * bypass_g / (brew_g * brew_g),
            by_bypass: strength * final_g / (brew_g * brew_g),
        })
    }
}
