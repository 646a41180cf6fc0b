//! A boiler after cold water came in.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Mass, SpecificEnthalpy, Temperature};
use crate::maths::water::liquid::{liquid_enthalpy as enthalpy_under, liquid_heat_capacity};
use crate::maths::water::saturation::{liquid_enthalpy, saturation_pressure};

/// Change of the temperature below which the search ends, K.
const TOLERANCE_K: f64 = 1e-11;
/// Steps after which the search gives up; it needs about six.
const MOST_STEPS: u32 = 50;

/// Temperature of a boiler after cold water came in and mixed, before the heater makes up for it.
///
/// # Equation
/// `h_f(T) = (m_b h_f(T_b) + m_c h(T_c, p_b)) / (m_b + m_c)`, solved for T
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | T | after mixing (returned) | °C |
/// | `m_b`, `T_b` | water in the boiler | kg, °C |
/// | `m_c`, `T_c` | water that comes in | kg, °C |
/// | `h_f`, h | enthalpy on the saturation line, under the boiler's pressure `p_b` | kJ/kg |
///
/// Newton's method with the heat capacity as slope; ends when a step is below 1e-11 K.
///
/// # Source
/// `[heat-balance]` on the enthalpies of `[iapws2012]`.
///
/// # Valid for
/// [`Temperature::SATURATION`]. Leaves out the metal and the steam, which hold the temperature up.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range, [`MathsError::Inconsistent`] for water coming in
/// hotter than the boiler, [`MathsError::NoSolution`] for no water at all.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::refill::refilled_temperature, quantity::{Mass, Temperature}};
/// let boiler = (Mass::from_grams(1000.0)?, Temperature::from_celsius(120.0)?);
/// let cold = (Mass::from_grams(100.0)?, Temperature::from_celsius(20.0)?);
/// // a constant heat capacity gives (1000 * 120 + 100 * 20) / 1100 = 110.9
/// assert!((refilled_temperature(boiler, cold)?.celsius() - 110.9).abs() < 0.2);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn refilled_temperature(
    boiler: (Mass, Temperature),
    cold: (Mass, Temperature),
) -> Result<Temperature, MathsError> {
    let wanted = mixed_enthalpy(boiler, cold)?.kilojoules_per_kilogram();
    let total = boiler.0.grams() + cold.0.grams();
    let weighted = boiler.0.grams() * boiler.1.celsius() + cold.0.grams() * cold.1.celsius();
    let mut at = Temperature::from_celsius(weighted / total)?;
    let mut step = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let pressure = saturation_pressure(at)?;
        let slope = liquid_heat_capacity(at, pressure)?.kilojoules_per_kilogram_kelvin();
        step = (wanted - liquid_enthalpy(at)?.kilojoules_per_kilogram()) / slope;
        at = Temperature::from_celsius(at.celsius() + step)?;
        if step.abs() < TOLERANCE_K {
            return Ok(at);
        }
    }
    Err(MathsError::NotConverged {
        method: "Newton's method for the enthalpy of a refilled boiler",
        iterations: MOST_STEPS,
        residual: step,
    })
}

/// Specific enthalpy of a boiler's water after cold water came in.
///
/// # Equation
/// `h = (m_b h_f(T_b) + m_c h(T_c, p_b)) / (m_b + m_c)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | h | after mixing (returned) | kJ/kg |
/// | `m_b`, `T_b` | water in the boiler | kg, °C |
/// | `m_c`, `T_c` | water that comes in, under the boiler's pressure `p_b` | kg, °C |
///
/// # Source
/// `[heat-balance]` on the enthalpies of `[iapws2012]`.
///
/// # Valid for
/// As [`refilled_temperature`].
///
/// # Errors
/// As [`refilled_temperature`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::refill::mixed_enthalpy, quantity::{Mass, Temperature}};
/// let same = (Mass::from_grams(500.0)?, Temperature::from_celsius(130.0)?);
/// assert!((mixed_enthalpy(same, same)?.kilojoules_per_kilogram() - 546.388).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn mixed_enthalpy(
    (boiler, hot): (Mass, Temperature),
    (feed, cold): (Mass, Temperature),
) -> Result<SpecificEnthalpy, MathsError> {
    let total = boiler.grams() + feed.grams();
    if total <= 0.0 {
        return Err(MathsError::NoSolution {
            equation: "h = (m_b h_b + m_c h_c) / (m_b + m_c)",
            reason: "there is no water",
        });
    }
    let boiling = liquid_enthalpy(hot)?.kilojoules_per_kilogram();
    let coming = enthalpy_under(cold, saturation_pressure(hot)?)?.kilojoules_per_kilogram();
    SpecificEnthalpy::from_kilojoules_per_kilogram(
        (boiler.grams() * boiling + feed.grams() * coming) / total,
    )
}
