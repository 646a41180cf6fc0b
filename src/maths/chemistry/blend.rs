//! Two waters mixed.

use super::ions::{Ion, Ions};
use crate::maths::error::MathsError;
use crate::maths::quantity::Concentration;
use crate::maths::range::Range;

/// Share of the first water, by volume.
pub const FRACTION: Range = Range::new("share of the first water", 0.0, 1.0, "1");

/// One quantity of two waters and of the water wanted; all three in one unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aimed {
    /// In the first water.
    pub first: f64,
    /// In the second water.
    pub second: f64,
    /// In the water wanted.
    pub target: f64,
}

/// Value of a quantity after mixing.
///
/// # Equation
/// `c = f a + (1 − f) b`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | c | after mixing (returned) | any |
/// | a, b | in the first and second water | the same |
/// | f | share of the first water, by volume | 1 |
///
/// # Source
/// Conservation of each ion, and of alkalinity and hardness; `[massbalance]`.
///
/// # Valid for
/// What mixes in proportion: ions, hardness, alkalinity; not pH.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a share outside [`FRACTION`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::blend::mixed;
/// assert_eq!(mixed(250.0, 50.0, 0.25)?, 100.0);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn mixed(first: f64, second: f64, fraction: f64) -> Result<f64, MathsError> {
    let f = FRACTION.check(fraction)?;
    Ok(f * first + (1.0 - f) * second)
}

/// Ions that are known of both waters, after mixing.
///
/// # Equation
/// [`mixed`], ion by ion.
///
/// # Source
/// As [`mixed`].
///
/// # Valid for
/// As [`mixed`].
///
/// # Errors
/// As [`mixed`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::{blend::mixed_ions, ions::{Ion, Ions}};
/// # use extraction_maths::maths::quantity::Concentration;
/// let mg = Concentration::from_milligrams_per_litre;
/// let (tap, soft) = (Ions::default().with(Ion::Calcium, mg(90.0)?), Ions::default());
/// assert_eq!(mixed_ions(&tap, &soft, 0.5)?.get(Ion::Calcium), None);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn mixed_ions(first: &Ions, second: &Ions, fraction: f64) -> Result<Ions, MathsError> {
    let mut ions = Ions::default();
    for ion in Ion::ALL {
        if let (Some(a), Some(b)) = (first.get(ion), second.get(ion)) {
            let c = mixed(a.milligrams_per_litre(), b.milligrams_per_litre(), fraction)?;
            ions = ions.with(ion, Concentration::from_milligrams_per_litre(c)?);
        }
    }
    Ok(ions)
}

/// Share of the first water that brings the mixture nearest to a target.
///
/// # Equation
/// `f = Σ (t − b)(a − b) / Σ (a − b)²`, held inside 0 to 1; for one quantity `(t − b) / (a − b)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | f | share of the first water, by volume (returned) | 1 |
/// | a, b, t | first water, second water, target | one unit for all |
///
/// # Source
/// Least squares of [`mixed`]; one share cannot meet two targets but by chance. Derived.
///
/// # Valid for
/// Quantities in one unit, such as meq/L, so that none outweighs another.
///
/// # Errors
/// [`MathsError::NoSolution`] when the two waters do not differ in what is wanted.
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::blend::{Aimed, nearest_fraction};
/// let alkalinity = Aimed { first: 200.0, second: 5.0, target: 40.0 };
/// assert!((nearest_fraction(&[alkalinity])? - 0.179487).abs() < 1e-6);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn nearest_fraction(aimed: &[Aimed]) -> Result<f64, MathsError> {
    let sum = |term: fn(&Aimed) -> f64| aimed.iter().fold(0.0, |sum, a| sum + term(a));
    let spread = sum(|a| (a.first - a.second) * (a.first - a.second));
    if spread <= 0.0 {
        return Err(MathsError::NoSolution {
            equation: "share of the first water",
            reason: "the two waters do not differ in what is wanted",
        });
    }
    let wanted = sum(|a| (a.target - a.second) * (a.first - a.second));
    Ok((wanted / spread).clamp(FRACTION.min, FRACTION.max))
}
