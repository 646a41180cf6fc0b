//! What the temperature of storage does to the age of roasted coffee.

use crate::maths::chemistry::rates::arrhenius_factor;
use crate::maths::error::MathsError;
use crate::maths::quantity::Temperature;
use crate::maths::range::Range;

/// Activation energy of the loss of shelf life of roasted and ground coffee, kJ/mol, as
/// published: about 13. `[cardelli2001]`
pub const ACTIVATION_ENERGY_KJ_PER_MOL: f64 = 13.0;
/// Temperatures between which that energy is carried: those of the published study. Nothing is
/// published for frozen coffee, so freezing lies outside.
pub const STORAGE: Range = Range::new("storage temperature", 4.0, 40.0, "°C");
/// [`STORAGE`] on the Fahrenheit scale, rounded inward.
pub const STORAGE_FAHRENHEIT: Range = Range::new("storage temperature", 39.2, 104.0, "°F");

/// How fast coffee ages at one temperature of storage against another.
///
/// # Equation
/// `f = exp((E / R) (1 / T0 - 1 / T))` with E of [`ACTIVATION_ENERGY_KJ_PER_MOL`]; symbols of
/// [`arrhenius_factor`]
///
/// # Source
/// `[cardelli2001]` for the energy: roasted and ground coffee.
///
/// # Valid for
/// Both temperatures inside [`STORAGE`]; the same package and the same oxygen, which matter
/// more. Outside: refused, since no factor is published for frozen coffee.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{supply::storage::ageing_factor, quantity::Temperature};
/// let celsius = Temperature::from_celsius;
/// let factor = ageing_factor(celsius(30.0)?, celsius(20.0)?)?;
/// assert!(1.15 < factor && factor < 1.23);
/// assert!(ageing_factor(celsius(-18.0)?, celsius(20.0)?).is_err());
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn ageing_factor(storage: Temperature, reference: Temperature) -> Result<f64, MathsError> {
    STORAGE.check(storage.celsius())?;
    STORAGE.check(reference.celsius())?;
    arrhenius_factor(ACTIVATION_ENERGY_KJ_PER_MOL, storage, reference)
}

/// Age at the reference temperature of coffee that was stored at several.
///
/// # Equation
/// `a = sum f_i n_i`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | a | equivalent age (returned) | d |
/// | f | rate of ageing over that at the reference | 1 |
/// | n | days at it | d |
///
/// # Source
/// `[arrhenius]`: the rates of one mechanism add up over time.
///
/// # Valid for
/// One mechanism.
///
/// # Example
/// ```
/// # use extraction_maths::maths::supply::storage::equivalent_age_days;
/// assert!((equivalent_age_days(&[(0.8, 10.0), (1.2, 5.0)]) - 14.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn equivalent_age_days(stays: &[(f64, f64)]) -> f64 {
    stays.iter().map(|(factor, days)| factor * days).sum()
}
