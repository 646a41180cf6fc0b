//! What stands and cools.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Duration, Temperature};

/// How something loses heat to what is around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    /// Temperature around it.
    pub surroundings: Temperature,
    /// Time in which the difference falls to 1/e, about 37 %; fitted to two readings.
    pub time_constant: Duration,
}

/// Temperature of something after it stood for a while.
///
/// # Equation
/// `T = T_a + (T_0 - T_a) exp(-t / tau)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | T | after the wait (returned) | °C |
/// | `T_0`, `T_a` | at its start, of the surroundings | °C |
/// | t, tau | wait, time constant | s |
///
/// # Source
/// `[newton-cooling]`.
///
/// # Valid for
/// Losses in proportion to the difference of temperature, with one time constant; no published
/// constant for brewers was found, so it is fitted by whoever asks.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a time constant outside [`Duration::TIME_CONSTANT`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::cooling::{Cooling, temperature_after}, quantity::{Duration, Temperature}};
/// let cooling = Cooling {
///     surroundings: Temperature::from_celsius(20.0)?,
///     time_constant: Duration::from_seconds(1000.0)?,
/// };
/// let wait = Duration::from_seconds(1000.0)?;
/// let after = temperature_after(Temperature::from_celsius(90.0)?, cooling, wait)?;
/// // 20 + 70 / 2.718_282
/// assert!((after.celsius() - 45.751_56).abs() < 1e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn temperature_after(
    start: Temperature,
    cooling: Cooling,
    wait: Duration,
) -> Result<Temperature, MathsError> {
    let constant = Duration::TIME_CONSTANT.check(cooling.time_constant.seconds())?;
    let around = cooling.surroundings.celsius();
    let left = libm::exp(-wait.seconds() / constant);
    Temperature::from_celsius(around + (start.celsius() - around) * left)
}
