//! Heating water in a kettle or a boiler: the heat, and the time of a heater.

use crate::maths::error::MathsError;
use crate::maths::quantity::{
    Duration, Heat, HeatCapacity, Mass, MassFraction, Power, Temperature,
};
use crate::maths::water::saturation::liquid_enthalpy;

/// A heater, and the share of its power that arrives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heater {
    /// Power that it draws.
    pub power: Power,
    /// Share of the power that heats what it should.
    pub efficiency: MassFraction,
}

/// Heat that water and the vessel around it take from one temperature to another.
///
/// # Equation
/// `Q = m (h_f(T_2) - h_f(T_1)) + m_k c_k (T_2 - T_1)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Q | heat (returned) | kJ |
/// | m, `h_f` | mass of water, its enthalpy on the saturation line | kg, kJ/kg |
/// | `m_k`, `c_k` | mass and heat capacity of the kettle | kg, kJ/(kg K) |
/// | `T_1`, `T_2` | before, after | °C |
///
/// # Source
/// `[heat-balance]` on the enthalpies of `[iapws2012]`.
///
/// # Valid for
/// [`Temperature::SATURATION`], without losses. The pressure of the air instead of that of
/// saturation changes the enthalpy by at most 0.1 kJ/kg below 100 °C.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range, and for a heat outside [`Heat::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::heating::heating_heat, quantity::{Mass, Temperature}};
/// let (tap, brew) = (Temperature::from_celsius(15.0)?, Temperature::from_celsius(93.0)?);
/// let heat = heating_heat(Mass::from_grams(1000.0)?, None, tap, brew)?;
/// assert!((heat.kilojoules() - 326.6).abs() < 0.05);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn heating_heat(
    water: Mass,
    kettle: Option<(Mass, HeatCapacity)>,
    from: Temperature,
    to: Temperature,
) -> Result<Heat, MathsError> {
    let rise = liquid_enthalpy(to)?.kilojoules_per_kilogram()
        - liquid_enthalpy(from)?.kilojoules_per_kilogram();
    let metal = kettle.map_or(0.0, |(mass, capacity)| {
        mass.grams() / 1000.0 * capacity.kilojoules_per_kilogram_kelvin() * to.minus(from).kelvin()
    });
    Heat::from_kilojoules(water.grams() / 1000.0 * rise + metal)
}

/// Time in which a heater gives a heat.
///
/// # Equation
/// `t = Q / (eta P)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | t | time (returned) | s |
/// | Q | heat | J |
/// | P, eta | power drawn, share of it that arrives | W, 1 |
///
/// # Source
/// `[heat-balance]`.
///
/// # Valid for
/// A heater that runs all the time: the least time, since it may pause for its thermostat.
///
/// # Errors
/// [`MathsError::NoSolution`] for a heater of which nothing arrives or a heat below zero.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::heating::{Heater, heating_time}, quantity::{Heat, MassFraction, Power}};
/// let heater = Heater { power: Power::from_watts(2000.0)?, efficiency: MassFraction::from_fraction(0.9)? };
/// assert!((heating_time(Heat::from_kilojoules(326.6)?, heater)?.seconds() - 181.4).abs() < 0.05);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn heating_time(heat: Heat, heater: Heater) -> Result<Duration, MathsError> {
    let watts = heater.power.watts() * heater.efficiency.fraction();
    let joules = heat.kilojoules() * 1000.0;
    if watts > 0.0 && joules >= 0.0 {
        Duration::from_seconds(joules / watts)
    } else {
        Err(MathsError::NoSolution {
            equation: "t = Q / (eta P)",
            reason: "a heater gives heat, at a power above zero",
        })
    }
}
