//! Steam condensing in milk.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Heat, Mass, MassFraction, Pressure, SpecificEnthalpy, Temperature};
use crate::maths::range::Range;
use crate::maths::water::liquid::liquid_enthalpy as enthalpy_under;
use crate::maths::water::saturation::{liquid_enthalpy, saturation_pressure, vapour_enthalpy};

/// Share of dry steam in what leaves a boiler; with less it spits water.
pub const STEAM_QUALITY: Range = Range::new("steam quality", 0.5, 1.0, "1");
/// Heat lost beside the milk, as a share of what milk and jug take.
pub const LOSS_FRACTION: Range = Range::new("loss", 0.0, 1.0, "1");

/// Steam as it leaves a boiler.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steam {
    /// Temperature of the boiler, where water and steam are in equilibrium.
    pub boiler: Temperature,
    /// Share of dry steam, the rest being droplets.
    pub quality: MassFraction,
}

/// Specific enthalpy of the steam that a boiler gives.
///
/// # Equation
/// `h_s = x h_g + (1 - x) h_f`, both at the boiler
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `h_s` | enthalpy of the steam (returned) | kJ/kg |
/// | x | share of dry steam | 1 |
/// | `h_g`, `h_f` | enthalpies of saturated vapour and liquid | kJ/kg |
///
/// # Source
/// `[heat-balance]` on the enthalpies of `[iapws2012]`. Throttling keeps the enthalpy, so the
/// pressure at the tip of the wand does not matter.
///
/// # Valid for
/// [`Temperature::SATURATION`] and [`STEAM_QUALITY`].
///
/// # Errors
/// [`MathsError::OutOfRange`] outside those ranges.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::steaming::{Steam, steam_enthalpy}, quantity::{MassFraction, Temperature}};
/// let dry = Steam { boiler: Temperature::from_celsius(130.0)?, quality: MassFraction::from_fraction(1.0)? };
/// assert!((steam_enthalpy(dry)?.kilojoules_per_kilogram() - 2720.088).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn steam_enthalpy(steam: Steam) -> Result<SpecificEnthalpy, MathsError> {
    let quality = STEAM_QUALITY.check(steam.quality.fraction())?;
    let vapour = vapour_enthalpy(steam.boiler)?.kilojoules_per_kilogram();
    let liquid = liquid_enthalpy(steam.boiler)?.kilojoules_per_kilogram();
    SpecificEnthalpy::from_kilojoules_per_kilogram(quality * vapour + (1.0 - quality) * liquid)
}

/// Heat that steam must give: what milk and jug take, and what is lost beside them.
///
/// # Equation
/// `Q = (1 + l) (m dh + Q_j)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Q | heat from the steam (returned) | kJ |
/// | m, dh | mass of milk, its rise of enthalpy | kg, kJ/kg |
/// | `Q_j` | heat that the jug takes | kJ |
/// | l | loss as a share of both | 1 |
///
/// # Source
/// `[heat-balance]`.
///
/// # Valid for
/// [`LOSS_FRACTION`]; no published measurement of the loss was found.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a heat outside [`Heat::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::steaming::steaming_heat, quantity::{Heat, Mass, MassFraction, SpecificEnthalpy}};
/// let milk = (Mass::from_grams(200.0)?, SpecificEnthalpy::from_kilojoules_per_kilogram(240.0)?);
/// let jug = Heat::from_kilojoules(7.0)?;
/// let heat = steaming_heat(milk, jug, MassFraction::from_fraction(0.1)?)?;
/// assert!((heat.kilojoules() - 60.5).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn steaming_heat(
    (milk, rise): (Mass, SpecificEnthalpy),
    jug: Heat,
    loss: MassFraction,
) -> Result<Heat, MathsError> {
    let milk = milk.grams() / 1000.0 * rise.kilojoules_per_kilogram();
    Heat::from_kilojoules((1.0 + loss.fraction()) * (milk + jug.kilojoules()))
}

/// Steam that must condense to give a heat, as condensate of the drink's temperature.
///
/// # Equation
/// `m_s = Q / (h_s - h_w(T, p))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `m_s` | mass of steam (returned) | kg |
/// | Q | heat | kJ |
/// | `h_s` | enthalpy of the steam | kJ/kg |
/// | `h_w` | enthalpy of water at the drink's temperature T in the air p | kJ/kg |
///
/// # Source
/// `[heat-balance]` on the enthalpies of `[iapws2012]`.
///
/// # Valid for
/// Drinks below the boiling point of the place, steam that condenses whole.
///
/// # Errors
/// [`MathsError::NoSolution`] for steam no hotter than the drink or a heat below zero,
/// [`MathsError::Inconsistent`] for a drink above the boiling point.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::steaming::condensate, quantity::{Heat, Pressure, SpecificEnthalpy, Temperature}};
/// let air = Pressure::from_hectopascals(1013.25)?;
/// let steam = SpecificEnthalpy::from_kilojoules_per_kilogram(2710.894)?;
/// let drink = (Temperature::from_celsius(65.0)?, air);
/// let mass = condensate(Heat::from_kilojoules(47.583)?, steam, drink)?;
/// assert!((mass.grams() - 19.511).abs() < 1e-3);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn condensate(
    heat: Heat,
    steam: SpecificEnthalpy,
    (drink, air): (Temperature, Pressure),
) -> Result<Mass, MathsError> {
    let left = enthalpy_under(drink, air)?.kilojoules_per_kilogram();
    let given = steam.kilojoules_per_kilogram() - left;
    if given > 0.0 && heat.kilojoules() >= 0.0 {
        Mass::from_grams(heat.kilojoules() * 1000.0 / given)
    } else {
        Err(MathsError::NoSolution {
            equation: "m_s = Q / (h_s - h_w)",
            reason: "steam gives heat only to what is colder",
        })
    }
}

/// Heat that a boiler's heater must give for the steam taken, with cold water coming in for it.
///
/// # Equation
/// `Q = m_s (h_s - h_w(T_c, p_b))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | Q | heat (returned) | kJ |
/// | `m_s`, `h_s` | mass and enthalpy of the steam | kg, kJ/kg |
/// | `h_w` | enthalpy of the water that comes in, at `T_c` under the boiler's pressure `p_b` | kJ/kg |
///
/// # Source
/// `[heat-balance]` on the enthalpies of `[iapws2012]`.
///
/// # Valid for
/// A boiler that ends as it began; without what it loses to the room.
///
/// # Errors
/// [`MathsError::OutOfRange`] and [`MathsError::Inconsistent`] for water coming in that is not
/// liquid under the boiler's pressure.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::steaming::{Steam, recovery_heat}, quantity::{Mass, MassFraction, Temperature}};
/// let steam = Steam { boiler: Temperature::from_celsius(123.4447)?, quality: MassFraction::from_fraction(1.0)? };
/// let heat = recovery_heat(Mass::from_grams(19.511)?, steam, Temperature::from_celsius(15.0)?)?;
/// // 28.7 s of a 2 kW heater of which 90 % arrives
/// assert!((heat.kilojoules() / 1.8 - 28.7).abs() < 0.05);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn recovery_heat(taken: Mass, steam: Steam, feed: Temperature) -> Result<Heat, MathsError> {
    let leaving = steam_enthalpy(steam)?.kilojoules_per_kilogram();
    let coming = enthalpy_under(feed, saturation_pressure(steam.boiler)?)?;
    Heat::from_kilojoules(taken.grams() / 1000.0 * (leaving - coming.kilojoules_per_kilogram()))
}
