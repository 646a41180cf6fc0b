//! From the strength and the yield that are wanted back to what is weighed out.

use super::extracted::LARGEST_YIELD;
use crate::maths::error::MathsError;
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;

/// A strength that is divided by.
const STRENGTH: Range = Range::new("strength", 1e-6, 0.999, "1");
/// A yield that is divided by; the bound that no coffee passes has a rule of its own.
const YIELD: Range = Range::new("extraction yield", 1e-6, 1.0, "1");
/// Two strengths or yields that differ by less are one.
const ROUNDING: f64 = 1e-12;

/// How water and coffee meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Through a bed: what is dissolved is what is in the cup.
    Percolation,
    /// Steeped: the liquid that the grounds keep is as strong as the brew.
    Immersion,
}

/// What is wanted of a brew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Targets {
    /// How it is brewed.
    pub way: Way,
    /// Strength of the cup.
    pub cup_strength: MassFraction,
    /// Yield.
    pub extraction_yield: MassFraction,
    /// Strength before bypass water is added; that of the cup when none is.
    pub brew_strength: MassFraction,
    /// Brew water less beverage, over dose, as weighed.
    pub retained_ratio: f64,
}

/// The mass that is given; the others follow from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Given {
    /// Dry coffee.
    Dose(Mass),
    /// Beverage before bypass water.
    Beverage(Mass),
    /// All that is in the cup.
    Cup(Mass),
}

/// Masses that meet the targets, g.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Portions {
    /// Dry coffee.
    pub dose_g: f64,
    /// Brew water.
    pub water_g: f64,
    /// Beverage before bypass water.
    pub beverage_g: f64,
    /// Bypass water; zero when the brew is as strong as the cup.
    pub bypass_g: f64,
    /// All that is in the cup.
    pub cup_g: f64,
    /// Beverage before bypass water over dose.
    pub brew_ratio: f64,
    /// Brew water over dose.
    pub water_ratio: f64,
}

/// Strength of a brew before bypass water, from its yield and one of its ratios.
///
/// # Equation
/// percolation: `t = E / r`, `r = R - a`; immersion: `t = E / (R + E)`, `R = r + a`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | t | strength (returned) | 1 |
/// | E | extraction yield | 1 |
/// | r | beverage over dose | 1 |
/// | R | brew water over dose | 1 |
/// | a | brew water less beverage, over dose, as weighed | 1 |
///
/// `ratio` is r for percolation and R for immersion.
///
/// # Source
/// Mass balance of the solids; `[liang2021]` for immersion.
///
/// # Valid for
/// A ratio above zero.
///
/// # Errors
/// [`MathsError::NoSolution`] for a ratio of zero or less, [`MathsError::OutOfRange`] when the
/// strength would be above one.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::targets::{Way, brew_strength}, quantity::MassFraction};
/// let strength = brew_strength(Way::Percolation, MassFraction::from_percent(20.0)?, 2.0)?;
/// assert!((strength.percent() - 10.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn brew_strength(
    way: Way,
    extraction_yield: MassFraction,
    ratio: f64,
) -> Result<MassFraction, MathsError> {
    if !(0.0 < ratio && ratio.is_finite()) {
        return Err(NOTHING_LEFT);
    }
    let extracted = extraction_yield.fraction();
    MassFraction::from_fraction(match way {
        Way::Percolation => extracted / ratio,
        Way::Immersion => extracted / (ratio + extracted),
    })
}

/// Masses with which a brew reaches a strength and a yield.
///
/// # Equation
/// percolation: `r = E / t`, `R = r + a`; immersion: `R = E (1 - t) / t`, `r = R - a`;
/// `B = r D`, `W = R D`, `F = B t / t_c`, `V = F - B`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | D, W | dose and brew water (returned) | g |
/// | B, F | beverage before and after bypass water (returned) | g |
/// | V | bypass water (returned) | g |
/// | r, R | beverage and brew water over dose (returned) | 1 |
/// | E | extraction yield | 1 |
/// | t, `t_c` | strength of the brew and of the cup | 1 |
/// | a | brew water less beverage, over dose, as weighed | 1 |
///
/// # Source
/// Inverse of the mass balances of [`percolation`](super::percolation) and
/// [`immersion`](super::immersion).
///
/// # Valid for
/// Yields up to [`LARGEST_YIELD`]; the given mass comes back bit for bit.
///
/// # Errors
/// [`MathsError::Inconsistent`] for a yield above the bound, [`MathsError::NoSolution`] when the
/// brew is weaker than the cup, or when the grounds of an immersion brew would keep all of it,
/// [`MathsError::OutOfRange`] for a strength or yield of zero.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::targets::{Given, Targets, Way, portions},
/// #     quantity::{Mass, MassFraction}};
/// let percent = MassFraction::from_percent;
/// let targets = Targets {
///     way: Way::Percolation,
///     cup_strength: percent(1.25)?,
///     extraction_yield: percent(20.0)?,
///     brew_strength: percent(1.25)?,
///     retained_ratio: 2.0,
/// };
/// let brew = portions(&targets, Given::Dose(Mass::from_grams(20.0)?))?;
/// assert!((brew.cup_g - 320.0).abs() < 1e-9 && (brew.water_g - 360.0).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn portions(targets: &Targets, given: Given) -> Result<Portions, MathsError> {
    let (brew_ratio, water_ratio) = ratios(targets)?;
    let growth = growth(targets)?;
    let dose_g = match given {
        Given::Dose(dose) => dose.grams(),
        Given::Beverage(beverage) => beverage.grams() / brew_ratio,
        Given::Cup(cup) => cup.grams() / growth / brew_ratio,
    };
    let beverage_g = match given {
        Given::Beverage(beverage) => beverage.grams(),
        Given::Cup(cup) => cup.grams() / growth,
        Given::Dose(_) => brew_ratio * dose_g,
    };
    let cup_g = match given {
        Given::Cup(cup) => cup.grams(),
        Given::Dose(_) | Given::Beverage(_) => beverage_g * growth,
    };
    Ok(Portions {
        dose_g,
        water_g: water_ratio * dose_g,
        beverage_g,
        bypass_g: cup_g - beverage_g,
        cup_g,
        brew_ratio,
        water_ratio,
    })
}

/// Beverage and brew water over dose.
fn ratios(targets: &Targets) -> Result<(f64, f64), MathsError> {
    let extracted = YIELD.check(targets.extraction_yield.fraction())?;
    if extracted > LARGEST_YIELD * (1.0 + ROUNDING) {
        return Err(MathsError::Inconsistent {
            rule: "no coffee gives up more than 35 % of its mass",
            left: targets.extraction_yield.percent(),
            right: LARGEST_YIELD * 100.0,
            unit: "%",
        });
    }
    let strength = STRENGTH.check(targets.brew_strength.fraction())?;
    let retained = targets.retained_ratio;
    let (brew_ratio, water_ratio) = match targets.way {
        Way::Percolation => (extracted / strength, extracted / strength + retained),
        Way::Immersion => {
            let water_ratio = extracted * (1.0 - strength) / strength;
            (water_ratio - retained, water_ratio)
        }
    };
    if 0.0 < brew_ratio {
        Ok((brew_ratio, water_ratio))
    } else {
        Err(NOTHING_LEFT)
    }
}

/// Cup over brew, by mass; one without bypass water.
fn growth(targets: &Targets) -> Result<f64, MathsError> {
    let (brew, cup) = (
        targets.brew_strength.fraction(),
        STRENGTH.check(targets.cup_strength.fraction())?,
    );
    let growth = brew / cup;
    if growth < 1.0 - ROUNDING {
        return Err(MathsError::NoSolution {
            equation: "bypass water",
            reason: "the brew would be weaker than the cup, and adding water makes no cup stronger",
        });
    }
    Ok(if growth < 1.0 + ROUNDING { 1.0 } else { growth })
}

const NOTHING_LEFT: MathsError = MathsError::NoSolution {
    equation: "mass balance of the brew",
    reason: "the grounds would keep all of the brew",
};
