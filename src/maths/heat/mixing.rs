//! One temperature of several bodies brought together without loss.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Heat, HeatCapacity, Mass, Temperature};

/// Something with one temperature and a constant heat capacity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Its mass.
    pub mass: Mass,
    /// Its specific heat capacity.
    pub capacity: HeatCapacity,
    /// Its temperature before.
    pub temperature: Temperature,
}

impl Body {
    /// Heat that one kelvin takes, kJ/K.
    fn kilojoules_per_kelvin(&self) -> f64 {
        self.mass.grams() / 1000.0 * self.capacity.kilojoules_per_kilogram_kelvin()
    }

    /// Heat that the body takes to reach a temperature; negative when it gives heat.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] for a heat outside [`Heat::RANGE`].
    pub fn heat_to(&self, temperature: Temperature) -> Result<Heat, MathsError> {
        let rise = temperature.minus(self.temperature).kelvin();
        Heat::from_kilojoules(self.kilojoules_per_kelvin() * rise)
    }
}

/// Temperature of several bodies after they came together without loss.
///
/// # Equation
/// `T = sum(m c T_i) / sum(m c)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | T | after mixing (returned) | °C |
/// | m, c, `T_i` | mass, specific heat capacity and temperature of each body | kg, kJ/(kg K), °C |
///
/// # Source
/// `[heat-balance]`, closed and adiabatic.
///
/// # Valid for
/// Bodies whose heat capacity is constant between their temperatures (water: within 0.7 % from 20
/// to 100 °C). Leaves out the heat of wetting and what the surroundings take.
///
/// # Errors
/// [`MathsError::NoSolution`] when nothing has a heat capacity.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::mixing::{Body, mixed_temperature}, quantity::{HeatCapacity, Mass, Temperature}};
/// let body = |grams, capacity, celsius| Ok::<_, extraction_maths::maths::MathsError>(Body {
///     mass: Mass::from_grams(grams)?,
///     capacity: HeatCapacity::from_kilojoules_per_kilogram_kelvin(capacity)?,
///     temperature: Temperature::from_celsius(celsius)?,
/// });
/// let mixed = mixed_temperature(&[body(300.0, 4.2, 90.0)?, body(100.0, 4.2, 20.0)?])?;
/// assert!((mixed.celsius() - 72.5).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn mixed_temperature(bodies: &[Body]) -> Result<Temperature, MathsError> {
    let (mut weighted, mut total) = (0.0, 0.0);
    for body in bodies {
        let capacity = body.kilojoules_per_kelvin();
        weighted += capacity * body.temperature.celsius();
        total += capacity;
    }
    if total > 0.0 {
        Temperature::from_celsius(weighted / total)
    } else {
        Err(MathsError::NoSolution {
            equation: "T = sum(m c T) / sum(m c)",
            reason: "nothing that is mixed has a heat capacity",
        })
    }
}

/// Temperature that one body must have so that the mixture gets a temperature.
///
/// # Equation
/// `T_1 = T + sum(m c (T - T_i)) / (m_1 c_1)`, the sum over the others
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `T_1` | of the body sought, before mixing (returned) | °C |
/// | T | wanted of the mixture | °C |
/// | `m_1`, `c_1` | mass and heat capacity of the body sought | kg, kJ/(kg K) |
/// | m, c, `T_i` | the other bodies | kg, kJ/(kg K), °C |
///
/// # Source
/// `[heat-balance]`, the inverse of [`mixed_temperature`].
///
/// # Valid for
/// As [`mixed_temperature`].
///
/// # Errors
/// [`MathsError::NoSolution`] when the body sought has no heat capacity;
/// [`MathsError::OutOfRange`] for a temperature that nothing can have.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::mixing::{Body, pouring_temperature}, quantity::{HeatCapacity, Mass, Temperature}};
/// let water = HeatCapacity::from_kilojoules_per_kilogram_kelvin(4.2)?;
/// let cold = Body {
///     mass: Mass::from_grams(100.0)?,
///     capacity: water,
///     temperature: Temperature::from_celsius(20.0)?,
/// };
/// let hot = pouring_temperature((Mass::from_grams(300.0)?, water), &[cold], Temperature::from_celsius(72.5)?)?;
/// assert!((hot.celsius() - 90.0).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn pouring_temperature(
    (mass, capacity): (Mass, HeatCapacity),
    others: &[Body],
    mixed: Temperature,
) -> Result<Temperature, MathsError> {
    let own = mass.grams() / 1000.0 * capacity.kilojoules_per_kilogram_kelvin();
    if own <= 0.0 {
        return Err(MathsError::NoSolution {
            equation: "T_1 = T + sum(m c (T - T_i)) / (m_1 c_1)",
            reason: "what is poured has no heat capacity",
        });
    }
    let mut taken = 0.0;
    for body in others {
        taken += body.heat_to(mixed)?.kilojoules();
    }
    Temperature::from_celsius(mixed.celsius() + taken / own)
}
