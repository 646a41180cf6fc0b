//! What the bed sets against the water: resistance, and permeability by Darcy's law.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Length, Viscosity};
use crate::maths::range::Range;

/// Pressure over a bed from which a resistance is told, bar.
pub const PRESSURE: Range = Range::new("pressure over the bed", 0.1, 20.0, "bar");

/// Flow through a bed from which a resistance is told, mL/s.
pub const FLOW: Range = Range::new("flow through the bed", 0.01, 50.0, "mL/s");

/// Depth of a bed, m.
pub const DEPTH: Range = Range::new("depth of the bed", 1e-4, 0.5, "m");

const PASCALS_PER_BAR: f64 = 1e5;
const MILLILITRES_PER_CUBIC_METRE: f64 = 1e6;

/// Resistance of a bed to the flow through it.
///
/// # Equation
/// `R = dp / Q`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | R | resistance (returned) | bar s/mL |
/// | dp | pressure over the bed | bar |
/// | Q | flow through it | mL/s |
///
/// # Source
/// Definition, after `[darcy1856]`: the flow is proportional to the pressure.
///
/// # Valid for
/// [`PRESSURE`] and [`FLOW`], means over one stretch of time. A bed that water has not yet wetted
/// through takes up water that does not run out.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside those ranges.
///
/// # Example
/// ```
/// # use extraction_maths::maths::shot::resistance::resistance_bar_s_per_ml;
/// assert!((resistance_bar_s_per_ml(9.0, 2.0)? - 4.5).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn resistance_bar_s_per_ml(pressure_bar: f64, flow_ml_per_s: f64) -> Result<f64, MathsError> {
    Ok(PRESSURE.check(pressure_bar)? / FLOW.check(flow_ml_per_s)?)
}

/// Permeability of a cylindrical bed from its resistance.
///
/// # Equation
/// `k = mu L / (A R)`, `A = pi d^2 / 4`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | k | permeability (returned) | m² |
/// | mu | dynamic viscosity of the liquid | Pa s |
/// | L | depth of the bed | m |
/// | d | diameter of the bed | mm |
/// | R | resistance | bar s/mL |
///
/// # Source
/// `[darcy1856]`
///
/// # Valid for
/// Slow flow through one homogeneous bed of [`DEPTH`]. A beverage is more viscous than water, so
/// with water's viscosity this is an effective value.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside [`DEPTH`] and [`Length::BASKET_DIAMETER`], or for a
/// resistance that is not positive.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{shot::resistance::permeability_m2, quantity::{Length, Viscosity}};
/// let mu = Viscosity::from_pascal_seconds(3e-4)?;
/// let bed = (0.02, Length::from_millimetres(58.0)?);
/// // 4.5 bar s/mL is 4.5e11 Pa s/m³; 3e-4 x 0.02 / (2.642e-3 x 4.5e11) = 5.05e-15
/// assert!((permeability_m2(4.5, mu, bed)? - 5.05e-15).abs() < 1e-17);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn permeability_m2(
    resistance_bar_s_per_ml: f64,
    viscosity: Viscosity,
    (depth_m, diameter): (f64, Length),
) -> Result<f64, MathsError> {
    const RESISTANCE: Range = Range::new("resistance of the bed", 1e-3, 2_000.0, "bar s/mL");
    let diameter_m = Length::BASKET_DIAMETER.check(diameter.millimetres())? * 1e-3;
    let area_m2 = std::f64::consts::PI * diameter_m * diameter_m / 4.0;
    let resistance =
        RESISTANCE.check(resistance_bar_s_per_ml)? * PASCALS_PER_BAR * MILLILITRES_PER_CUBIC_METRE;
    Ok(viscosity.pascal_seconds() * DEPTH.check(depth_m)? / (area_m2 * resistance))
}
