//! Dissolved solids and ionic strength as a conductivity meter tells them.

use super::ions::{Ion, Ions};
use crate::maths::constants::{ATOMIC_WEIGHT_C, ATOMIC_WEIGHT_O};
use crate::maths::error::MathsError;
use crate::maths::quantity::{Concentration, Conductivity, IonicStrength};
use crate::maths::range::Range;

/// Factors from conductivity to dissolved solids that are in use. `[tds442]`
pub const TDS_FACTOR: Range = Range::new("solids per conductivity", 0.4, 1.0, "mg/L per µS/cm");

/// Standards of the 4-4-2 convention: conductivity at 25 °C, µS/cm, and solids, mg/L. `[tds442]`
const STANDARDS_442: [(f64, f64); 3] = [(84.0, 50.5), (447.0, 300.0), (1413.0, 1000.0)];

/// Solids per conductivity under the 4-4-2 convention (40 % sodium sulfate, 40 % sodium
/// bicarbonate, 20 % sodium chloride).
///
/// # Equation
/// `f = s(k) / k`, `s` linear between the standards, in proportion below the first and above the last
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | f | solids per conductivity (returned) | mg/L per µS/cm |
/// | k | conductivity at 25 °C | µS/cm |
///
/// # Source
/// `[tds442]`: the three standards; the lines between them are ours.
///
/// # Valid for
/// A convention, not a measurement: the real factor of drinking waters is about 0.5 to 0.6.
///
/// # Errors
/// None for a conductivity that exists.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::conductivity::tds_factor_442, quantity::Conductivity};
/// let meter = Conductivity::from_microsiemens_per_centimetre(447.0)?;
/// assert!((tds_factor_442(meter)? * 447.0 - 300.0).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn tds_factor_442(conductivity: Conductivity) -> Result<f64, MathsError> {
    let k = conductivity.microsiemens_per_centimetre();
    let [low, middle, high] = STANDARDS_442;
    let between =
        |(k0, s0): (f64, f64), (k1, s1): (f64, f64)| (s0 + (k - k0) * (s1 - s0) / (k1 - k0)) / k;
    TDS_FACTOR.check(if k <= low.0 {
        low.1 / low.0
    } else if k <= middle.0 {
        between(low, middle)
    } else if k <= high.0 {
        between(middle, high)
    } else {
        high.1 / high.0
    })
}

/// Dissolved solids as a meter shows them.
///
/// # Equation
/// `s = f k`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | s | dissolved solids (returned) | mg/L |
/// | f | factor of the meter | mg/L per µS/cm |
/// | k | conductivity at 25 °C | µS/cm |
///
/// # Source
/// Convention; say which factor was used.
///
/// # Valid for
/// A factor inside [`TDS_FACTOR`].
///
/// # Errors
/// [`MathsError::OutOfRange`] for a factor outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::conductivity::dissolved_solids, quantity::Conductivity};
/// let meter = Conductivity::from_microsiemens_per_centimetre(300.0)?;
/// assert!((dissolved_solids(meter, 0.5)?.milligrams_per_litre() - 150.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn dissolved_solids(
    conductivity: Conductivity,
    factor: f64,
) -> Result<Concentration, MathsError> {
    let k = conductivity.microsiemens_per_centimetre();
    Concentration::from_milligrams_per_litre(TDS_FACTOR.check(factor)? * k)
}

/// Ionic strength per conductivity, mol/L per µS/cm. `[apha2017]`, 2330 B, from memory
pub const STRENGTH_PER_CONDUCTIVITY: f64 = 1.6e-5;

/// Ionic strength estimated from a conductivity, where the ions are not known.
///
/// # Equation
/// `I = 1.6e-5 k`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | I | ionic strength (returned) | mol/L |
/// | k | conductivity at 25 °C | µS/cm |
///
/// # Source
/// `[apha2017]`, 2330 B, from memory.
///
/// # Valid for
/// Drinking waters; good to some tens of percent.
///
/// # Errors
/// [`MathsError::OutOfRange`] above 0.5 mol/L.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{chemistry::conductivity::ionic_strength_of, quantity::Conductivity};
/// let meter = Conductivity::from_microsiemens_per_centimetre(500.0)?;
/// assert!((ionic_strength_of(meter)?.moles_per_litre() - 0.008).abs() < 1e-15);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn ionic_strength_of(conductivity: Conductivity) -> Result<IonicStrength, MathsError> {
    let k = conductivity.microsiemens_per_centimetre();
    IonicStrength::from_moles_per_litre(STRENGTH_PER_CONDUCTIVITY * k)
}

/// Solids that stay when a water is evaporated: bicarbonate leaves as carbonate.
///
/// # Equation
/// `s = Σ c − c(HCO3) (1 − ½ M(CO3) / M(HCO3))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | s | dissolved solids (returned) | mg/L |
/// | c | concentration of each ion | mg/L |
/// | M | molar masses | g/mol |
///
/// # Source
/// Stoichiometry of `2 HCO3 = CO3 + CO2 + H2O`; `[apha2017]`, 1030 E, from memory.
///
/// # Valid for
/// Waters whose main ions are all known; an unknown one counts as absent.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside [`Concentration::RANGE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::{conductivity::dry_residue, ions::{Ion, Ions}};
/// # use extraction_maths::maths::quantity::Concentration;
/// let bicarbonate = Concentration::from_milligrams_per_litre(122.032)?;
/// let residue = dry_residue(&Ions::default().with(Ion::Bicarbonate, bicarbonate))?;
/// assert!((residue.milligrams_per_litre() - 60.008).abs() < 1e-9);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn dry_residue(ions: &Ions) -> Result<Concentration, MathsError> {
    let bicarbonate = ions.milliequivalents(Ion::Bicarbonate);
    let carbonate = ATOMIC_WEIGHT_C + 3.0 * ATOMIC_WEIGHT_O;
    let lost = bicarbonate * (Ion::Bicarbonate.molar_mass() - 0.5 * carbonate);
    Concentration::from_milligrams_per_litre(ions.sum_mg_per_l() - lost)
}
