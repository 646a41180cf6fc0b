//! Whether a water can drop calcium carbonate: the thermodynamic index.

use super::activity::monovalent_activity;
use super::equilibrium::carbonate_constants;
use super::ions::Ion;
use crate::maths::error::MathsError;
use crate::maths::quantity::{Concentration, IonicStrength, Temperature};
use crate::maths::range::Range;

/// Calcium or bicarbonate of which a logarithm can be taken.
const PRESENT: Range = Range::new("calcium or bicarbonate", 1e-6, 1_000_000.0, "mg/L");

/// pH at which a water of this calcium and bicarbonate is in equilibrium with calcite; the
/// index is the water's own pH less this.
///
/// # Equation
/// `pH_s = pK2 − pK_s − log10[Ca] − log10[HCO3] + 5 p`, `index = pH − pH_s`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pH_s` | pH of saturation (returned) | 1 |
/// | pK2, `pK_s` | second dissociation, solubility of calcite | 1 |
/// | `[Ca]`, `[HCO3]` | concentrations | mol/L |
/// | p | negative logarithm of the activity coefficient of a single charge | 1 |
///
/// # Source
/// `[apha2017]`, 2330 B, from memory, with the constants of `[plummer1982]`.
///
/// # Valid for
/// [`CALCITE_FITTED`](super::equilibrium::CALCITE_FITTED); extrapolated to
/// [`OFFERED`](super::equilibrium::OFFERED). Ion pairs are left out: against a full speciation
/// (`[parkhurst2013]`) of 24 waters the index reads 0.01 to 0.06 high at 25 °C, 0.03 to 0.10 at
/// 90 °C and 0.05 to 0.14 at 125 °C.
///
/// # Errors
/// [`MathsError::OutOfRange`] for a temperature outside, or without calcium or bicarbonate.
///
/// # Example
/// ```
/// # use extraction_maths::maths::chemistry::saturation::saturation_ph;
/// # use extraction_maths::maths::quantity::{Concentration, IonicStrength, Temperature};
/// let mg = Concentration::from_milligrams_per_litre;
/// let strength = IonicStrength::from_moles_per_litre(0.00122)?;
/// let saturated = saturation_ph(Temperature::from_celsius(43.0)?, strength, mg(108.97)?, mg(158.96)?)?;
/// assert!((saturated - 6.840427).abs() < 1e-5);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn saturation_ph(
    temperature: Temperature,
    strength: IonicStrength,
    calcium: Concentration,
    bicarbonate: Concentration,
) -> Result<f64, MathsError> {
    let constants = carbonate_constants(temperature)?;
    let p = monovalent_activity(temperature, strength)?;
    let log_moles = |ion: Ion, concentration: Concentration| {
        let mg = PRESENT.check(concentration.milligrams_per_litre())?;
        Ok::<f64, MathsError>(libm::log10(mg / (1000.0 * ion.molar_mass())))
    };
    let calcium = log_moles(Ion::Calcium, calcium)?;
    let bicarbonate = log_moles(Ion::Bicarbonate, bicarbonate)?;
    Ok(constants.log_k_calcite - constants.log_k2 - calcium - bicarbonate + 5.0 * p)
}
