//! Equilibrium constants of the carbonate system, by temperature.

use crate::maths::error::MathsError;
use crate::maths::quantity::Temperature;
use crate::maths::range::Range;

/// Temperatures at which the solubility of calcite was fitted. `[plummer1982]`
pub const CALCITE_FITTED: Range = Range::new("temperature", 0.0, 90.0, "°C");
/// Temperatures at which the constants are offered: beyond the fit they are extrapolated.
pub const OFFERED: Range = Range::new("temperature", 0.0, 150.0, "°C");

/// Decimal logarithms of equilibrium constants at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarbonateConstants {
    /// First dissociation of carbonic acid.
    pub log_k1: f64,
    /// Second dissociation of carbonic acid.
    pub log_k2: f64,
    /// Solubility product of calcite.
    pub log_k_calcite: f64,
    /// Solubility product of aragonite.
    pub log_k_aragonite: f64,
    /// Solubility of carbon dioxide.
    pub log_kh: f64,
}

/// Coefficients of `log10 K = c0 + c1 T + c2 / T + c3 log10 T + c4 / T²`. `[plummer1982]`
type Fit = [f64; 5];
const K1: Fit = [-356.3094, -0.060_919_64, 21_834.37, 126.8339, -1_684_915.0];
const K2: Fit = [-107.8871, -0.032_528_49, 5_151.79, 38.925_61, -563_713.9];
const CALCITE: Fit = [-171.9065, -0.077_993, 2_839.319, 71.595, 0.0];
const ARAGONITE: Fit = [-171.9773, -0.077_993, 2_903.293, 71.595, 0.0];
const KH: Fit = [108.3865, 0.019_850_76, -6_919.53, -40.451_54, 669_365.0];

/// Equilibrium constants of carbon dioxide, carbonic acid, calcite and aragonite in water.
///
/// # Equation
/// `log10 K = c0 + c1 T + c2 / T + c3 log10 T + c4 / T²`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | K | each constant (its logarithm returned) | activities, mol/L |
/// | T | temperature | K |
///
/// # Source
/// `[plummer1982]`, the abstract; the divisions by T that its text lost are restored, and
/// checked against the values that it prints for 25 °C.
///
/// # Valid for
/// Calcite and aragonite [`CALCITE_FITTED`], the acid 0 to 250 °C; offered for [`OFFERED`],
/// extrapolated beyond the fit.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside [`OFFERED`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::equilibrium::carbonate_constants, quantity::Temperature};
/// let constants = carbonate_constants(Temperature::from_celsius(25.0)?)?;
/// assert!((constants.log_k_calcite - -8.480).abs() < 5e-4);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn carbonate_constants(temperature: Temperature) -> Result<CarbonateConstants, MathsError> {
    OFFERED.check(temperature.celsius())?;
    let t = temperature.kelvin();
    let log = libm::log10(t);
    let fitted = |c: &Fit| c[0] + c[1] * t + c[2] / t + c[3] * log + c[4] / (t * t);
    Ok(CarbonateConstants {
        log_k1: fitted(&K1),
        log_k2: fitted(&K2),
        log_k_calcite: fitted(&CALCITE),
        log_k_aragonite: fitted(&ARAGONITE),
        log_kh: fitted(&KH),
    })
}
