//! What is not known before the first shot, and what is expected of it.

use super::dial::Dial;
use crate::maths::error::MathsError;
use crate::maths::simulation::{Parameter, Parameters, Shot};

/// How many unknowns there are.
pub const COUNT: usize = 10;
/// Place of the permeability among the unknowns: the puck's differences act through it.
pub const PERMEABILITY: usize = 0;
/// Prior standard deviation of the logarithm of the permeability.
pub const PERMEABILITY_SPREAD: f64 = 0.5;

/// A constant of the bed with its prior around the model's default.
struct Expected {
    parameter: Parameter,
    /// Prior standard deviation: of the logarithm where `is_log`, in SI units otherwise.
    spread: f64,
    is_log: bool,
}

const fn log(parameter: Parameter, spread: f64) -> Expected {
    Expected {
        parameter,
        spread,
        is_log: true,
    }
}

const fn plain(parameter: Parameter, spread: f64) -> Expected {
    Expected {
        parameter,
        spread,
        is_log: false,
    }
}

/// The constants of the bed that are fitted; the priors are assumptions. The dial's two unknowns
/// follow them.
const EXPECTED: [Expected; COUNT - 2] = [
    log(Parameter::PermeabilityFactor, PERMEABILITY_SPREAD),
    plain(Parameter::PermeabilityExponent, 0.7),
    log(Parameter::ExtractableFraction, 0.07),
    log(Parameter::GrainDiffusivity, 0.5),
    plain(Parameter::Opening, 0.15),
    log(Parameter::CompactionPressure, 0.4),
    plain(Parameter::WaterUptake, 0.04),
    plain(Parameter::Headspace, 3e-6),
];
/// Place of the grind at the anchor.
pub const GRIND: usize = COUNT - 2;
/// Place of the dial's slope.
pub const SLOPE: usize = COUNT - 1;

/// Grind expected at the anchor, µm: where the model was calibrated.
const GRIND_UM: f64 = 350.0;
/// Its prior standard deviation, of the logarithm; an assumption.
const GRIND_SPREAD: f64 = 0.15;
/// Grind of one step when nothing is known of the dial, µm; common practice, no source.
const STEP_UM: f64 = 10.0;
/// Prior standard deviation of the logarithm of that: from a third to three times, roughly, with
/// one in six beyond on either side; an assumption.
const STEP_SPREAD: f64 = 0.8;
/// The same where the maker says what a step is: burrs wear and are mounted differently; an
/// assumption.
const STATED_STEP_SPREAD: f64 = 0.15;
/// Most that pores may open: beyond, dissolution would use up the bed.
const MOST_OPENING: f64 = 1.2;

/// A dial read from a setting that was used: the anchor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anchored {
    /// The dial.
    pub dial: Dial,
    /// The setting at which the grind is expected to be that of the calibration.
    pub anchor: f64,
}

/// All unknowns, in prior standard deviations from the prior mean.
pub type Unknowns = [f64; COUNT];

impl Anchored {
    /// The constants of the bed.
    ///
    /// # Errors
    /// [`MathsError::NonFinite`] for unknowns that are no numbers.
    pub fn parameters(&self, unknowns: &Unknowns) -> Result<Parameters, MathsError> {
        let mut parameters = Parameters::default();
        for (expected, z) in EXPECTED.iter().zip(unknowns) {
            let info = expected.parameter.info();
            let mean = info.default.unwrap_or_default();
            let value = if expected.is_log {
                mean * libm::exp(expected.spread * z)
            } else {
                mean + expected.spread * z
            };
            let most = if expected.parameter == Parameter::Opening {
                MOST_OPENING
            } else {
                info.range.max
            };
            let inside = value.clamp(info.range.min, most);
            parameters.set(expected.parameter, inside)?;
        }
        Ok(parameters)
    }

    /// Grind of one unit of the dial, µm, without its sign.
    #[must_use]
    pub fn um_per_unit(&self, unknowns: &Unknowns) -> f64 {
        let (step_um, spread) = match self.dial.micrometres_per_step {
            Some(stated) => (stated, STATED_STEP_SPREAD),
            None => (STEP_UM, STEP_SPREAD),
        };
        step_um / self.dial.smallest_step * libm::exp(spread * unknowns[SLOPE])
    }

    /// Grind at a setting, µm, also where the model does not go.
    #[must_use]
    pub fn grind_um(&self, setting: f64, unknowns: &Unknowns) -> f64 {
        let at_anchor = GRIND_UM * libm::exp(GRIND_SPREAD * unknowns[GRIND]);
        let coarser = self.dial.higher_is.sign() * (setting - self.anchor);
        at_anchor + coarser * self.um_per_unit(unknowns)
    }

    /// Grind at a setting, µm, or the end of the model's range that it is beyond.
    #[must_use]
    pub fn modelled_grind_um(&self, setting: f64, unknowns: &Unknowns) -> f64 {
        let range = Shot::GRIND_DIAMETER;
        self.grind_um(setting, unknowns).clamp(range.min, range.max)
    }

    /// The setting of a grind, on a step or not.
    #[must_use]
    pub fn setting(&self, grind_um: f64, unknowns: &Unknowns) -> f64 {
        let at_anchor = self.grind_um(self.anchor, unknowns);
        let units = (grind_um - at_anchor) / self.um_per_unit(unknowns);
        self.anchor + self.dial.higher_is.sign() * units
    }
}
