//! Brewing with water that runs through the bed: what is dissolved is what is in the cup.

use super::extracted::{Extracted, Sensitivities};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;

/// Solids and yield of a percolation brew from the beverage in the cup.
///
/// # Equation
/// `S = t B`, `E = S / D`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | S | dissolved solids (returned) | g |
/// | E | extraction yield (returned) | 1 |
/// | t | strength of the cup | 1 |
/// | B | all that is in the cup, bypass water included | g |
/// | D | dose | g |
///
/// # Source
/// Mass balance of the solids; `[lockhart1957]` for the quantities.
///
/// # Valid for
/// A dose inside [`Mass::DOSE`]; liquid left in the bed counts as not extracted.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a dose outside, [`MathsError::Inconsistent`] for a yield
/// above [`LARGEST_YIELD`](super::extracted::LARGEST_YIELD).
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::percolation::percolation, quantity::{Mass, MassFraction}};
/// let (dose, cup) = (Mass::from_grams(20.0)?, Mass::from_grams(320.0)?);
/// let brew = percolation(dose, cup, MassFraction::from_percent(1.25)?)?;
/// assert!((brew.extraction_yield.percent() - 20.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn percolation(
    dose: Mass,
    beverage: Mass,
    strength: MassFraction,
) -> Result<Extracted, MathsError> {
    let none = Mass::from_grams(0.0)?;
    let diluted = percolation_with_bypass(dose, beverage, none, strength)?;
    Ok(Extracted {
        sensitivities: Sensitivities {
            bypass: 0.0,
            ..diluted.sensitivities
        },
        ..diluted
    })
}

/// Solids and yield of a percolation brew weighed before water was added to the cup.
///
/// # Equation
/// `S = t (B + W)`, `E = S / D`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | S | dissolved solids (returned) | g |
/// | E | extraction yield (returned) | 1 |
/// | t | strength of the cup, after the water was added | 1 |
/// | B | beverage before the water was added | g |
/// | W | bypass water | g |
/// | D | dose | g |
///
/// # Source
/// Mass balance of the solids, which bypass water does not change.
///
/// # Valid for
/// A dose inside [`Mass::DOSE`].
///
/// # Errors
/// As [`percolation`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::percolation::percolation_with_bypass,
/// #     quantity::{Mass, MassFraction}};
/// let (dose, brew) = (Mass::from_grams(15.0)?, Mass::from_grams(100.0)?);
/// let added = Mass::from_grams(40.0)?;
/// let cup = percolation_with_bypass(dose, brew, added, MassFraction::from_percent(2.0)?)?;
/// assert!((cup.solids.grams() - 2.8).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn percolation_with_bypass(
    dose: Mass,
    beverage: Mass,
    bypass: Mass,
    strength: MassFraction,
) -> Result<Extracted, MathsError> {
    let dose_g = Mass::DOSE.check(dose.grams())?;
    let cup_g = beverage.grams() + bypass.grams();
    let solids_g = strength.fraction() * cup_g;
    let per_gram = strength.fraction() / dose_g;
    let sensitivities = Sensitivities {
        dose: -solids_g / dose_g / dose_g,
        beverage: per_gram,
        water: 0.0,
        bypass: per_gram,
        strength: cup_g / dose_g,
    };
    Extracted::new(dose, solids_g, sensitivities)
}

/// Beverage that carries a yield at a strength: the inverse of [`percolation`].
///
/// # Equation
/// `B = E D / t`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | B | beverage (returned) | g |
/// | E | extraction yield | 1 |
/// | D | dose | g |
/// | t | strength | 1 |
///
/// # Source
/// As [`percolation`].
///
/// # Valid for
/// A strength above zero.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a strength of zero or a beverage outside [`Mass::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::percolation::beverage_for,
/// #     quantity::{Mass, MassFraction}};
/// let beverage = beverage_for(
///     Mass::from_grams(20.0)?,
///     MassFraction::from_percent(20.0)?,
///     MassFraction::from_percent(1.25)?,
/// )?;
/// assert!((beverage.grams() - 320.0).abs() < 1e-10);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn beverage_for(
    dose: Mass,
    extraction_yield: MassFraction,
    strength: MassFraction,
) -> Result<Mass, MathsError> {
    let strength = POSITIVE.check(strength.fraction())?;
    Mass::from_grams(extraction_yield.fraction() * dose.grams() / strength)
}

/// Dose that gives a beverage its strength at a yield: the inverse of [`percolation`].
///
/// # Equation
/// `D = t B / E`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | D | dose (returned) | g |
/// | t | strength | 1 |
/// | B | beverage | g |
/// | E | extraction yield | 1 |
///
/// # Source
/// As [`percolation`].
///
/// # Valid for
/// A yield above zero.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a yield of zero or a dose outside [`Mass::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::percolation::dose_for,
/// #     quantity::{Mass, MassFraction}};
/// let dose = dose_for(
///     Mass::from_grams(320.0)?,
///     MassFraction::from_percent(20.0)?,
///     MassFraction::from_percent(1.25)?,
/// )?;
/// assert!((dose.grams() - 20.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn dose_for(
    beverage: Mass,
    extraction_yield: MassFraction,
    strength: MassFraction,
) -> Result<Mass, MathsError> {
    let extraction_yield = POSITIVE.check(extraction_yield.fraction())?;
    Mass::from_grams(strength.fraction() * beverage.grams() / extraction_yield)
}

/// A strength or yield that is divided by.
const POSITIVE: Range = Range::new("strength or yield divided by", 1e-9, 1.0, "1");
