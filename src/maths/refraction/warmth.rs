//! The sugar scale at other temperatures than 20 °C.

use super::sucrose::{index, slope, solve};
use super::water_index::index_in_air;
use crate::maths::error::MathsError;
use crate::maths::quantity::{Brix, RefractiveIndex, Temperature};
use crate::maths::range::Range;

/// Temperatures of a sample between which the fit holds.
pub const SAMPLE_TEMPERATURE: Range = Range::new("sample temperature", 10.0, 30.0, "°C");
/// Temperature of the scale, °C.
const SCALE_CELSIUS: f64 = 20.0;
/// How much more than water's the index of a solution changes: per percent and kelvin, per percent
/// squared and kelvin, per percent and kelvin squared. Fitted in this project to the table of
/// corrections below 20 °C and to syrup at 30 °C. `[sugar-temperature]`
const BEYOND_WATER: [f64; 3] = [-1.734_8e-6, 1.153_1e-8, 3.609_2e-8];
/// Half the span over which the index of water is differenced, K.
const DIFFERENCE_KELVIN: f64 = 0.05;

/// A reading brought to 20 °C, and how it depends on what was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtTwenty {
    /// What the sample reads at 20 °C.
    pub brix: Brix,
    /// Its derivative by the refractive index, % per unit.
    pub by_index: f64,
    /// Its derivative by the temperature of the sample, %/K.
    pub by_temperature: f64,
    /// How the index of water changes with its temperature, 1/K.
    pub water_per_kelvin: f64,
}

/// Reading on the sugar scale at 20 °C of a sample whose index was read at another temperature.
///
/// # Equation
/// The w at which `n(w, T) = n20(w) + n_w(T) - n_w(20) + w T' (b1 + b2 w + b3 T')`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | w | reading at 20 °C (returned) | % |
/// | n | refractive index as read, relative to air | 1 |
/// | n20 | index on the scale, [`sucrose_index`](super::sucrose::sucrose_index) | 1 |
/// | `n_w` | index of water, [`index_in_air`] | 1 |
/// | T, T' | temperature of the sample, the same less 20 °C | °C, K |
/// | b1 to b3 | what a solution changes more than water | see the code |
///
/// # Source
/// `[iapws1997]` for water; `[sugar-temperature]` for what is fitted.
///
/// # Valid for
/// [`SAMPLE_TEMPERATURE`]; fitted to 2 to 30 % of sugar, and water by itself. Within 0.01 % of
/// the table of corrections at 10 to 17 °C. A dilute solution of coffee is taken to expand like
/// one of sugar.
///
/// # Errors
/// [`MathsError::OutOfRange`] for another temperature, or an index off the scale.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{refraction::{sucrose::sucrose_index, warmth::at_twenty},
/// #     quantity::{Brix, Temperature}};
/// let read = sucrose_index(Brix::from_percent(10.0)?)?;
/// let cold = at_twenty(read, Temperature::from_celsius(15.0)?)?;
/// // the table says 0.32 less
/// assert!((cold.brix.percent() - 9.68).abs() < 0.005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn at_twenty(read: RefractiveIndex, temperature: Temperature) -> Result<AtTwenty, MathsError> {
    let celsius = SAMPLE_TEMPERATURE.check(temperature.celsius())?;
    let above = celsius - SCALE_CELSIUS;
    let water = water_at(celsius)? - water_at(SCALE_CELSIUS)?;
    let [b1, b2, b3] = BEYOND_WATER;
    let curve = |w: f64| index(w) + water + w * above * (b1 + b2 * w + b3 * above);
    let rise = |w: f64| slope(w) + above * (b1 + 2.0 * b2 * w + b3 * above);
    let brix = solve(read.ratio(), curve, rise)?;
    let w = brix.percent();
    let warmer = water_at(celsius + DIFFERENCE_KELVIN)?;
    let water_per_kelvin =
        (warmer - water_at(celsius - DIFFERENCE_KELVIN)?) / (2.0 * DIFFERENCE_KELVIN);
    let warming = water_per_kelvin + w * (b1 + b2 * w + 2.0 * b3 * above);
    Ok(AtTwenty {
        brix,
        by_index: 1.0 / rise(w),
        by_temperature: -warming / rise(w),
        water_per_kelvin,
    })
}

fn water_at(celsius: f64) -> Result<f64, MathsError> {
    Ok(index_in_air(Temperature::from_celsius(celsius)?)?.ratio())
}
