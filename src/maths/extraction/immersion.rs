//! Brewing with all the water on the coffee: what stays in the grounds is as strong as the cup.

use super::bypass::Dilution;
use super::extracted::{Extracted, Sensitivities};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Mass, MassFraction};

/// Solids and yield of a well mixed immersion brew.
///
/// # Equation
/// `E = (W / D) t / (1 - t)`, `S = E D`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | E | extraction yield (returned) | 1 |
/// | S | dissolved solids, those in the liquid held by the grounds too (returned) | g |
/// | W | brew water | g |
/// | D | dose | g |
/// | t | strength of the brew | 1 |
///
/// # Source
/// Closed mass balance `t = S / (W + S)`: the liquid in cup and grounds is one. `[liang2021]`
/// finds the yield so defined independent of the brew ratio, and oven-dried grounds to
/// understate it.
///
/// # Valid for
/// No bypass water, nothing evaporated; a dose inside [`Mass::DOSE`].
///
/// # Errors
/// [`MathsError::OutOfRange`] for a dose outside or a strength above
/// [`MassFraction::STRENGTH_PERCENT`], [`MathsError::Inconsistent`] for a yield above
/// [`LARGEST_YIELD`](super::extracted::LARGEST_YIELD).
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::immersion::immersion, quantity::{Mass, MassFraction}};
/// let (dose, water) = (Mass::from_grams(20.0)?, Mass::from_grams(300.0)?);
/// let brew = immersion(dose, water, MassFraction::from_percent(1.380_671)?)?;
/// assert!((brew.extraction_yield.percent() - 21.0).abs() < 1e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn immersion(dose: Mass, water: Mass, strength: MassFraction) -> Result<Extracted, MathsError> {
    balance(dose, water, Dilution::none(strength))
}

/// Solids and yield of an immersion brew that was poured, weighed and then diluted.
///
/// # Equation
/// `t = t_c (P + V) / P`, `E = (W / D) t / (1 - t)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | E | extraction yield (returned) | 1 |
/// | t, `t_c` | strength of the brew and of the cup | 1 |
/// | P | beverage poured off, before bypass water | g |
/// | V | bypass water | g |
/// | W | brew water | g |
/// | D | dose | g |
///
/// # Source
/// Mass balance of the cup undoes the dilution, then as [`immersion`]. The grounds hold
/// undiluted brew, so the poured mass is needed to know how strong that is.
///
/// # Valid for
/// As [`immersion`]; no more is poured than there was.
///
/// # Errors
/// As [`immersion`], and [`MathsError::Inconsistent`] when more was poured than water and
/// solids make up, or when the brew would have been pure solids.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::immersion::immersion_with_bypass,
/// #     quantity::{Mass, MassFraction}};
/// let (dose, water) = (Mass::from_grams(20.0)?, Mass::from_grams(200.0)?);
/// let (poured, added) = (Mass::from_grams(160.0)?, Mass::from_grams(40.0)?);
/// let cup = MassFraction::from_percent(1.6)?;
/// let brew = immersion_with_bypass(dose, water, poured, added, cup)?;
/// // the brew was 2 %: 10 x 0.02 / 0.98
/// assert!((brew.extraction_yield.fraction() - 0.2 / 0.98).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn immersion_with_bypass(
    dose: Mass,
    water: Mass,
    beverage: Mass,
    bypass: Mass,
    strength: MassFraction,
) -> Result<Extracted, MathsError> {
    let dilution = Dilution::before(beverage, bypass, strength)?;
    poured_fits(water, beverage.grams(), dilution)?;
    balance(dose, water, dilution)
}

/// Solids and yield of an immersion brew weighed after it was diluted.
///
/// # Equation
/// `t = t_c F / (F - V)`, `E = (W / D) t / (1 - t)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | E | extraction yield (returned) | 1 |
/// | t, `t_c` | strength of the brew and of the cup | 1 |
/// | F | all that is in the cup | g |
/// | V | bypass water, part of F | g |
/// | W | brew water | g |
/// | D | dose | g |
///
/// # Source
/// As [`immersion_with_bypass`] with `P = F - V`.
///
/// # Valid for
/// As [`immersion_with_bypass`].
///
/// # Errors
/// As [`immersion_with_bypass`], and [`MathsError::Inconsistent`] when the cup holds nothing
/// but bypass water.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::immersion::immersion_with_bypass_in_cup,
/// #     quantity::{Mass, MassFraction}};
/// let (dose, water) = (Mass::from_grams(20.0)?, Mass::from_grams(200.0)?);
/// let (cup, added) = (Mass::from_grams(200.0)?, Mass::from_grams(40.0)?);
/// let strength = MassFraction::from_percent(1.6)?;
/// let brew = immersion_with_bypass_in_cup(dose, water, cup, added, strength)?;
/// assert!((brew.extraction_yield.fraction() - 0.2 / 0.98).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn immersion_with_bypass_in_cup(
    dose: Mass,
    water: Mass,
    final_beverage: Mass,
    bypass: Mass,
    strength: MassFraction,
) -> Result<Extracted, MathsError> {
    let dilution = Dilution::after(final_beverage, bypass, strength)?;
    poured_fits(water, final_beverage.grams() - bypass.grams(), dilution)?;
    balance(dose, water, dilution)
}

/// Strength that an immersion brew reaches at a yield: the inverse of [`immersion`].
///
/// # Equation
/// `t = E / (W / D + E)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | t | strength (returned) | 1 |
/// | E | extraction yield | 1 |
/// | W | brew water | g |
/// | D | dose | g |
///
/// # Source
/// As [`immersion`].
///
/// # Valid for
/// A dose inside [`Mass::DOSE`] and water inside [`Mass::LIQUID`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::immersion::immersion_strength,
/// #     quantity::{Mass, MassFraction}};
/// let (dose, water) = (Mass::from_grams(20.0)?, Mass::from_grams(300.0)?);
/// let strength = immersion_strength(dose, water, MassFraction::from_percent(21.0)?)?;
/// assert!((strength.percent() - 1.3807).abs() < 5e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn immersion_strength(
    dose: Mass,
    water: Mass,
    extraction_yield: MassFraction,
) -> Result<MassFraction, MathsError> {
    let solids_g = extraction_yield.fraction() * Mass::DOSE.check(dose.grams())?;
    MassFraction::from_fraction(solids_g / (Mass::LIQUID.check(water.grams())? + solids_g))
}

/// Brew water that brings an immersion brew to a strength at a yield.
///
/// # Equation
/// `W = E D (1 - t) / t`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | W | brew water (returned) | g |
/// | E | extraction yield | 1 |
/// | D | dose | g |
/// | t | strength | 1 |
///
/// # Source
/// As [`immersion`].
///
/// # Valid for
/// A strength above zero.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a strength of zero or water
/// outside [`Mass::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::immersion::immersion_water,
/// #     quantity::{Mass, MassFraction}};
/// let water = immersion_water(
///     Mass::from_grams(20.0)?,
///     MassFraction::from_percent(21.0)?,
///     MassFraction::from_percent(1.380_671)?,
/// )?;
/// assert!((water.grams() - 300.0).abs() < 1e-4);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn immersion_water(
    dose: Mass,
    extraction_yield: MassFraction,
    strength: MassFraction,
) -> Result<Mass, MathsError> {
    let strength = strength.fraction();
    Mass::from_grams(extraction_yield.fraction() * dose.grams() * (1.0 - strength) / strength)
}

/// The closed balance, with the derivatives carried through the dilution.
fn balance(dose: Mass, water: Mass, dilution: Dilution) -> Result<Extracted, MathsError> {
    let dose_g = Mass::DOSE.check(dose.grams())?;
    let brew_percent = dilution.brew_strength * 100.0;
    let brew = MassFraction::STRENGTH_PERCENT.check(brew_percent)? / 100.0;
    let per_water = brew / (1.0 - brew);
    let solids_g = water.grams() * per_water;
    let by_brew = water.grams() / dose_g / ((1.0 - brew) * (1.0 - brew));
    let sensitivities = Sensitivities {
        dose: -solids_g / dose_g / dose_g,
        beverage: by_brew * dilution.by_beverage,
        water: per_water / dose_g,
        bypass: by_brew * dilution.by_bypass,
        strength: by_brew * dilution.by_strength,
    };
    Extracted::new(dose, solids_g, sensitivities)
}

/// No more can be poured than the water and what it dissolved.
fn poured_fits(water: Mass, poured_g: f64, dilution: Dilution) -> Result<(), MathsError> {
    let liquid_g = water.grams() / (1.0 - dilution.brew_strength);
    // a brew of pure solids makes this negative and is refused here as well
    if 0.0 < liquid_g && poured_g <= liquid_g * (1.0 + 1e-12) {
        return Ok(());
    }
    Err(MathsError::Inconsistent {
        rule: "no more is poured off than water and solids make up",
        left: poured_g,
        right: water.grams(),
        unit: "g",
    })
}
