//! Solids by drying in an oven: of the beverage, or of the spent grounds.

use super::extracted::{Extracted, Sensitivities};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Mass, MassFraction};

/// Solids left by drying, with the partial derivatives (1/g).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriedSolids {
    /// Dry part of the wet sample.
    pub solids: MassFraction,
    /// Derivative by the mass of the empty dish.
    pub by_tare: f64,
    /// Derivative by the mass of the dish with the wet sample.
    pub by_wet: f64,
    /// Derivative by the mass of the dish with the dry sample.
    pub by_dry: f64,
}

/// Total solids of a sample from three weighings of its dish.
///
/// # Equation
/// `s = (m_d - m_t) / (m_w - m_t)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | s | dry part of the sample (returned) | 1 |
/// | `m_t` | empty dish | g |
/// | `m_w`, `m_d` | dish with the wet and with the dry sample | g |
///
/// # Source
/// Definition of the loss in mass on drying.
///
/// # Valid for
/// Nothing volatile but water, dried to constant mass. In a beverage the suspended solids count,
/// which a filtered sample has lost.
///
/// # Errors
/// [`MathsError::Inconsistent`] when the dry dish is heavier than the wet or lighter than the
/// empty one, or when there is no sample.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::drying::dried_solids, quantity::Mass};
/// let gram = Mass::from_grams;
/// let sample = dried_solids(gram(1.191)?, gram(12.835)?, gram(2.210)?)?;
/// assert!((sample.solids.percent() - 8.7513).abs() < 5e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn dried_solids(tare: Mass, wet: Mass, dry: Mass) -> Result<DriedSolids, MathsError> {
    let (tare_g, wet_g, dry_g) = (tare.grams(), wet.grams(), dry.grams());
    let order = |rule: &'static str, left: f64, right: f64| {
        Err(MathsError::Inconsistent {
            rule,
            left,
            right,
            unit: "g",
        })
    };
    if wet_g <= tare_g {
        return order("a dish with a sample is heavier than empty", wet_g, tare_g);
    }
    if wet_g < dry_g {
        return order("a sample is not heavier dry than wet", dry_g, wet_g);
    }
    if dry_g < tare_g {
        return order(
            "a dish with a dry sample is no lighter than empty",
            dry_g,
            tare_g,
        );
    }
    let sample_g = wet_g - tare_g;
    let solids = (dry_g - tare_g) / sample_g;
    Ok(DriedSolids {
        solids: MassFraction::from_fraction(solids)?,
        by_tare: (solids - 1.0) / sample_g,
        by_wet: -solids / sample_g,
        by_dry: 1.0 / sample_g,
    })
}

/// Yield from what the dried spent grounds still weigh.
///
/// # Equation
/// `E = (D (1 - v) - G s) / D`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | E | extraction yield (returned) | 1 |
/// | D | dose | g |
/// | v | moisture and carbon dioxide of the dose | 1 |
/// | G | spent grounds, wet | g |
/// | s | their dry part, [`dried_solids`] | 1 |
///
/// # Source
/// Mass balance of the dry matter. `[liang2021]`: with immersion brews it comes out too low,
/// since the liquid held by the grounds dries in them; [`held_solids`] is what to add.
///
/// # Valid for
/// All of the spent grounds collected. Moisture that is not known makes the yield too high by
/// as much. Of the derivatives, `beverage` is by G and `strength` by s.
///
/// # Errors
/// [`MathsError::Inconsistent`] when the dry grounds are heavier than the dry dose, or for a
/// yield above [`LARGEST_YIELD`](super::extracted::LARGEST_YIELD).
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::drying::yield_of_spent_grounds,
/// #     quantity::{Mass, MassFraction}};
/// let part = MassFraction::from_fraction;
/// let (dose, grounds) = (Mass::from_grams(20.0)?, Mass::from_grams(40.0)?);
/// let brew = yield_of_spent_grounds(dose, part(0.02)?, grounds, part(0.39)?)?;
/// // 19.6 g went in dry and 15.6 g stayed
/// assert!((brew.extraction_yield.percent() - 20.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn yield_of_spent_grounds(
    dose: Mass,
    volatile: MassFraction,
    grounds: Mass,
    dry_part: MassFraction,
) -> Result<Extracted, MathsError> {
    let dose_g = Mass::DOSE.check(dose.grams())?;
    let dry_dose_g = dose_g * (1.0 - volatile.fraction());
    let dry_grounds_g = grounds.grams() * dry_part.fraction();
    if dry_dose_g < dry_grounds_g {
        return Err(MathsError::Inconsistent {
            rule: "dry spent grounds are not heavier than the dry dose",
            left: dry_grounds_g,
            right: dry_dose_g,
            unit: "g",
        });
    }
    let sensitivities = Sensitivities {
        dose: dry_grounds_g / dose_g / dose_g,
        beverage: -dry_part.fraction() / dose_g,
        strength: -grounds.grams() / dose_g,
        ..Sensitivities::default()
    };
    Extracted::new(dose, dry_dose_g - dry_grounds_g, sensitivities)
}

/// Solids of the liquid that wet spent grounds hold.
///
/// # Equation
/// `S = G (1 - s) t / (1 - t)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | S | solids of the liquid held (returned) | g |
/// | G | spent grounds, wet | g |
/// | s | their dry part | 1 |
/// | t | strength of the liquid: that of the brew for immersion | 1 |
///
/// # Source
/// The water that dries off held them at the strength of the liquid; `[liang2021]`.
///
/// # Valid for
/// Immersion, where the liquid held is the brew. In percolation it is weaker than the cup.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a strength above [`MassFraction::STRENGTH_PERCENT`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::drying::held_solids, quantity::{Mass, MassFraction}};
/// let part = MassFraction::from_fraction;
/// let held = held_solids(Mass::from_grams(50.0)?, part(0.5)?, part(0.02)?)?;
/// assert!((held.grams() - 25.0 * 0.02 / 0.98).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn held_solids(
    grounds: Mass,
    dry_part: MassFraction,
    strength: MassFraction,
) -> Result<Mass, MathsError> {
    let t = MassFraction::STRENGTH_PERCENT.check(strength.percent())? / 100.0;
    Mass::from_grams(grounds.grams() * (1.0 - dry_part.fraction()) * t / (1.0 - t))
}
