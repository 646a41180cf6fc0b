//! What is asked of a simulated shot, and its translation to the maths.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use super::parameters::{self, ParameterOverrides};
use super::sweep::Sweep;
use crate::api::from_maths::AtField;
use crate::api::pressure_profile::{ProfileRequest, falling};
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::quantity::{Length, Mass, Temperature};
use crate::maths::simulation::{self, Shot};

/// One espresso shot to simulate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShotSimulationRequest {
    /// Dry coffee.
    pub dose_g: f64,
    /// Inner diameter of the basket, taken as a cylinder.
    pub basket_diameter_mm: f64,
    /// Diameter of the coarse grains. The share of the fines follows from it.
    pub grind_diameter_um: f64,
    /// Temperature of the water, and of the bed from the first moment on.
    pub water_temperature_c: f64,
    /// Pressure of the pump over time.
    pub pressure_profile: ProfileRequest,
    /// Beverage at which the shot is judged.
    pub target_beverage_mass_g: f64,
    /// The simulation ends here at the latest. Default: 120.
    pub duration_s: Option<f64>,
    /// When to sample the cup: rising, none after the duration. Default: every whole second up
    /// to the target, or to the duration where the target is not reached.
    pub sample_time_s: Option<Vec<f64>>,
    /// How finely the shot is resolved. Default: `standard`.
    pub accuracy: Option<AccuracyChoice>,
    /// Constants of the model to change.
    pub parameters: Option<ParameterOverrides>,
    /// Whether the answer tells what is left in the bed by depth. Default: false.
    pub include_bed: Option<bool>,
    /// One or two inputs to vary; every combination of their values is simulated beside the
    /// shot itself, 2000 at most.
    #[schema(min_items = 1, max_items = 2)]
    pub sweep: Option<Vec<Sweep>>,
    /// Whether the answer shows how the constants of the shot were worked out.
    pub workings: Option<bool>,
}

/// How finely a shot is resolved. The numbers hold against a much finer solution of the same
/// equations and say nothing of how well the model describes coffee.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum AccuracyChoice {
    /// Extraction within 0.2 % of its value.
    #[default]
    Standard,
    /// Extraction within 0.1 % of its value, for about three times the work.
    Fine,
}

impl From<AccuracyChoice> for simulation::Accuracy {
    fn from(choice: AccuracyChoice) -> Self {
        match choice {
            AccuracyChoice::Standard => Self::Standard,
            AccuracyChoice::Fine => Self::Fine,
        }
    }
}

impl ShotSimulationRequest {
    /// The accuracy asked for.
    pub(super) fn accuracy(&self) -> simulation::Accuracy {
        self.accuracy.unwrap_or_default().into()
    }

    /// When the simulation ends at the latest, s.
    pub(super) fn duration_s(&self) -> f64 {
        self.duration_s.unwrap_or(Shot::DEFAULT_DURATION_S)
    }

    /// The shot of the maths, sampled at the times given.
    pub(super) fn shot(&self, sample_times_s: Vec<f64>) -> Result<Shot, Problem> {
        Ok(Shot {
            dose: Mass::from_grams(self.dose_g).at("dose_g")?,
            basket_diameter: Length::from_millimetres(self.basket_diameter_mm)
                .at("basket_diameter_mm")?,
            grind_diameter_um: self.grind_diameter_um,
            water_temperature: Temperature::from_celsius(self.water_temperature_c)
                .at("water_temperature_c")?,
            pressure_profile: self.pressure_profile.profile().at("pressure_profile")?,
            target_beverage: Mass::from_grams(self.target_beverage_mass_g)
                .at("target_beverage_mass_g")?,
            duration_s: self.duration_s(),
            sample_times_s,
        })
    }

    /// What bounds cannot express: lists of equal length, times that rise and end in time,
    /// constants given once.
    pub(super) fn faults(&self) -> Vec<Fault> {
        let mut faults = self.pressure_profile.faults("/pressure_profile");
        let samples = self.sample_time_s.as_deref().unwrap_or_default();
        faults.extend(falling(samples, "/sample_time_s"));
        faults.extend(parameters::faults(self.parameters.as_ref()));
        let duration_s = self.duration_s();
        let late = samples.iter().position(|time| *time > duration_s);
        faults.extend(late.map(|index| {
            Fault::new(
                format!("/sample_time_s/{index}"),
                FaultCode::Inconsistent,
                format!("the simulation ends at {duration_s} s, before this sample"),
            )
        }));
        faults
    }
}
