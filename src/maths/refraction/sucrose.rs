//! The sugar scale of refractometers at 20 °C, both ways.

use crate::maths::error::MathsError;
use crate::maths::quantity::{Brix, RefractiveIndex};

/// Refractive index of water on the scale. `[sucrose-scale]`
pub const WATER_ON_SCALE: f64 = 1.332_99;
/// Coefficients of the first to the fourth power of the mass fraction of sucrose, fitted in this
/// project to the five-digit values of the scale at 0 to 60 %, all within 5e-6. `[sucrose-scale]`
const COEFFICIENTS: [f64; 4] = [0.142_733, 0.054_107, 0.017_269, 0.000_714];
/// Steps of Newton's method; the curve is nearly straight and three or four are enough.
const STEPS: u32 = 50;
/// Readings that differ by less are one, %.
const TOLERANCE_PERCENT: f64 = 1e-12;

/// Refractive index of a sucrose solution at 20 °C.
///
/// # Equation
/// `n = 1.33299 + c1 w + c2 w^2 + c3 w^3 + c4 w^4`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | n | refractive index relative to air, 589 nm (returned) | 1 |
/// | w | mass fraction of sucrose | 1 |
///
/// # Source
/// `[sucrose-scale]`; the polynomial is a fit of this project.
///
/// # Valid for
/// [`Brix::RANGE`]; within 5e-6 of the five-digit scale at 0 to 60 % (0.004 % of sugar).
///
/// # Errors
/// None in practice: every reading has an index inside [`RefractiveIndex::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{refraction::sucrose::sucrose_index, quantity::Brix};
/// let index = sucrose_index(Brix::from_percent(10.0)?)?;
/// assert!((index.ratio() - 1.347_82).abs() < 5e-6);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn sucrose_index(brix: Brix) -> Result<RefractiveIndex, MathsError> {
    RefractiveIndex::from_ratio(index(brix.percent()))
}

/// Reading on the sugar scale of a solution by its refractive index at 20 °C.
///
/// # Equation
/// The w at which [`sucrose_index`] is n.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | w | reading on the sugar scale (returned) | % |
/// | n | refractive index relative to air, 589 nm, 20 °C | 1 |
///
/// # Source
/// As [`sucrose_index`]; Newton's method, which converges from above on a curve that rises and
/// bends upwards.
///
/// # Valid for
/// Indices of [`Brix::RANGE`]: 1.3260 to 1.4419.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{refraction::sucrose::sugar_scale, quantity::RefractiveIndex};
/// let brix = sugar_scale(RefractiveIndex::from_ratio(1.363_84)?)?;
/// assert!((brix.percent() - 20.0).abs() < 0.004);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn sugar_scale(index_at_20: RefractiveIndex) -> Result<Brix, MathsError> {
    solve(index_at_20.ratio(), index, slope)
}

/// The reading at which a rising curve has a value.
pub(super) fn solve(
    wanted: f64,
    curve: impl Fn(f64) -> f64,
    slope: impl Fn(f64) -> f64,
) -> Result<Brix, MathsError> {
    let mut percent = 0.0;
    for _ in 0..STEPS {
        let step = (wanted - curve(percent)) / slope(percent);
        percent += step;
        if libm::fabs(step) < TOLERANCE_PERCENT {
            return Brix::from_percent(percent);
        }
        // a value far off the scale is refused before the polynomial runs away with it
        Brix::from_percent(percent / 4.0)?;
    }
    Err(MathsError::NotConverged {
        method: "Newton's method on the sugar scale",
        iterations: STEPS,
        residual: wanted - curve(percent),
    })
}

/// Index at a reading in percent.
pub(super) fn index(percent: f64) -> f64 {
    let w = percent / 100.0;
    let [c1, c2, c3, c4] = COEFFICIENTS;
    WATER_ON_SCALE + w * (c1 + w * (c2 + w * (c3 + w * c4)))
}

/// Its derivative, per percent.
pub(super) fn slope(percent: f64) -> f64 {
    let w = percent / 100.0;
    let [c1, c2, c3, c4] = COEFFICIENTS;
    (c1 + w * (2.0 * c2 + w * (3.0 * c3 + w * 4.0 * c4))) / 100.0
}
