//! A shot that was caught in slices: what has come out after each of them.

use super::extracted::{Extracted, Sensitivities};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Mass, MassFraction};

/// Strengths that differ by less are one, and so are masses, relative.
const ROUNDING: f64 = 1e-12;

/// One slice of a shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slice {
    /// Its mass.
    pub mass: Mass,
    /// Its strength.
    pub strength: MassFraction,
}

/// The cup once a slice has been added to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Caught {
    /// All slices so far, g.
    pub beverage_g: f64,
    /// Their solids and yield.
    pub extracted: Extracted,
    /// Strength of the slices so far, mixed.
    pub strength: MassFraction,
}

/// Strength, solids and yield of a shot after each of its slices.
///
/// # Equation
/// `B_k = sum(m_i)`, `S_k = sum(m_i t_i)`, `T_k = S_k / B_k`, `E_k = S_k / D`, i up to k
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `B_k`, `S_k` | beverage and solids after slice k (returned) | g |
/// | `T_k`, `E_k` | strength and yield after slice k (returned) | 1 |
/// | `m_i`, `t_i` | mass and strength of a slice | g, 1 |
/// | D | dose | g |
///
/// # Source
/// Mass balance of the solids.
///
/// # Valid for
/// Slices that are the whole shot, in order.
///
/// # Errors
/// [`MathsError::Inconsistent`] for a yield above
/// [`LARGEST_YIELD`](super::extracted::LARGEST_YIELD), [`MathsError::OutOfRange`] for a dose
/// outside [`Mass::DOSE`] or a slice without mass.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::fractions::{Slice, after_each},
/// #     quantity::{Mass, MassFraction}};
/// let slice = |grams, percent| Ok::<_, extraction_maths::maths::MathsError>(Slice {
///     mass: Mass::from_grams(grams)?,
///     strength: MassFraction::from_percent(percent)?,
/// });
/// let cups = after_each(Mass::from_grams(20.0)?, &[slice(20.0, 15.0)?, slice(20.0, 5.0)?])?;
/// assert!((cups[1].strength.percent() - 10.0).abs() < 1e-12);
/// assert!((cups[1].extracted.extraction_yield.percent() - 20.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn after_each(dose: Mass, slices: &[Slice]) -> Result<Vec<Caught>, MathsError> {
    let (mut beverage_g, mut solids_g) = (0.0, 0.0);
    let mut cups = Vec::with_capacity(slices.len());
    for slice in slices {
        beverage_g += slice.mass.grams();
        solids_g += slice.mass.grams() * slice.strength.fraction();
        Mass::RANGE.check(beverage_g)?;
        cups.push(Caught {
            beverage_g,
            extracted: Extracted::new(dose, solids_g, Sensitivities::default())?,
            strength: MassFraction::from_fraction(solids_g / beverage_g)?,
        });
    }
    Ok(cups)
}

/// What a shot is stopped at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StopAt {
    /// Beverage in the cup, g.
    Beverage(f64),
    /// Yield, a fraction.
    Yield(f64),
    /// Strength of the cup, a fraction, which falls as the shot runs.
    Strength(f64),
}

/// Where a target is met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Met {
    /// Place of the slice, from zero.
    pub slice: usize,
    /// Beverage in the cup then, g.
    pub beverage_g: f64,
}

/// The slice in which a shot first meets a target, and the beverage then.
///
/// # Equation
/// within slice k, whose strength counts as even: `B = B_(k-1) + x`, where x is
/// `B' - B_(k-1)`, `(E' D - S_(k-1)) / t_k` or `(S_(k-1) - T' B_(k-1)) / (T' - t_k)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | B | beverage when the target is met (returned) | g |
/// | B', E', T' | the target: beverage, yield or strength | g, 1, 1 |
/// | others | as in [`after_each`] | |
///
/// # Source
/// As [`after_each`]; that a slice is even is an assumption, worse the thicker the slices.
///
/// # Valid for
/// The slices that gave the cups. A target that is met with the first drop is in slice 0 with
/// no beverage; one that is never met has none. A strength is met where the strength of the
/// cup crosses it, from above or below.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{extraction::fractions::{Slice, StopAt, after_each, first_met},
/// #     quantity::{Mass, MassFraction}};
/// let (dose, strong) = (Mass::from_grams(20.0)?, MassFraction::from_percent(10.0)?);
/// let slices = [Slice { mass: Mass::from_grams(30.0)?, strength: strong }];
/// let cups = after_each(dose, &slices)?;
/// let met = first_met(&slices, &cups, StopAt::Yield(0.1)).ok_or("never")?;
/// assert!((met.beverage_g - 20.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn first_met(slices: &[Slice], cups: &[Caught], target: StopAt) -> Option<Met> {
    let (mut beverage_g, mut solids_g, mut extracted) = (0.0, 0.0, 0.0);
    for (place, (slice, cup)) in slices.iter().zip(cups).enumerate() {
        let (mass_g, own) = (slice.mass.grams(), slice.strength.fraction());
        let after = cup.extracted.extraction_yield.fraction();
        let share_g = match target {
            StopAt::Beverage(wanted_g) => wanted_g - beverage_g,
            StopAt::Yield(wanted) => mass_g * (wanted - extracted) / (after - extracted),
            StopAt::Strength(wanted) if place == 0 => {
                // the first slice is as strong as the cup all along
                if (wanted - own).abs() <= ROUNDING {
                    0.0
                } else {
                    f64::NAN
                }
            }
            StopAt::Strength(wanted) => (solids_g - wanted * beverage_g) / (wanted - own),
        };
        if (0.0..=mass_g * (1.0 + ROUNDING)).contains(&share_g) {
            return Some(Met {
                slice: place,
                beverage_g: beverage_g + share_g,
            });
        }
        (beverage_g, solids_g, extracted) = (cup.beverage_g, cup.extracted.solids.grams(), after);
    }
    None
}
