//! What a dial-in answers.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::reasons::Reason;
use crate::maths::dial_in::{Interval, Prediction, Recipe};

/// The next shot, what is expected of it, and why.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DialInResponse {
    /// What to set, and where to stop; what was not changed is as in the last shot.
    pub next: NextShot,
    /// Whether the target is expected to be reached, as near as the target's fields say.
    pub target_reached: bool,
    /// What is expected of the next shot, by the physics.
    pub predicted: PredictedShot,
    /// The physics and the regression, side by side.
    pub methods: DialInMethods,
    /// What the shots say nothing of.
    pub not_determined: Vec<NotDetermined>,
    /// Why this change, and what to know about it.
    pub why: Vec<Reason>,
}

/// What to set for the next shot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct NextShot {
    /// The grinder's setting, on a step.
    pub grind_setting: f64,
    /// Dry coffee.
    pub dose_g: f64,
    /// Beverage in the cup.
    pub beverage_mass_g: f64,
    /// Beverage over dose.
    pub brew_ratio: f64,
    /// Temperature of the water.
    pub water_temperature_c: f64,
}

/// What is expected of a shot.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PredictedShot {
    /// Pump on to pump off, in s.
    pub shot_time_s: PredictedValue,
    /// Strength of the beverage, in percent; only where the shots determine it.
    pub tds_percent: Option<PredictedValue>,
    /// Dissolved part of the dose, in percent; only where the shots determine it.
    pub extraction_yield_percent: Option<PredictedValue>,
    /// Pump on to the first drop, in s; by the physics only.
    pub first_drop_s: Option<PredictedValue>,
}

/// A quantity of the next shot, and the interval that holds its reading: what the shots leave
/// open, the next puck and the reading together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PredictedValue {
    /// What is expected.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Probability that the reading lies between them.
    pub coverage_probability: f64,
}

/// Two ways to the next shot.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DialInMethods {
    /// A model of the bed whose effective constants are fitted to all shots.
    pub physics: DialInMethod,
    /// Straight lines over the setting, through the shots that differ in nothing but the grind;
    /// left out where these are fewer than three or have one setting.
    pub regression: Option<DialInMethod>,
}

/// One way to the next shot.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DialInMethod {
    /// The setting that this way would take, on a step; left out where it finds none.
    pub grind_setting: Option<f64>,
    /// What this way expects of the next shot as answered.
    pub predicted: PredictedShot,
}

/// Something that the shots say nothing of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum NotDetermined {
    /// The strength: no shot has a reading of it.
    TdsPercent,
    /// The yield: no shot has a reading of the strength.
    ExtractionYieldPercent,
    /// What a step of the dial does: it is what was expected before the first shot.
    MicrometresPerStep,
}

impl NextShot {
    pub(super) fn of(recipe: &Recipe) -> Self {
        Self {
            grind_setting: recipe.setting,
            dose_g: recipe.dose.grams(),
            beverage_mass_g: recipe.beverage.grams(),
            brew_ratio: recipe.brew_ratio(),
            water_temperature_c: recipe.water_temperature.celsius(),
        }
    }
}

impl PredictedValue {
    pub(super) fn of(interval: Interval, coverage_probability: f64) -> Self {
        Self {
            value: interval.value,
            low: interval.low,
            high: interval.high,
            coverage_probability,
        }
    }

    pub(super) fn holds(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

impl PredictedShot {
    pub(super) fn of(prediction: &Prediction, coverage: f64) -> Self {
        let percent = |interval: Interval| PredictedValue::of(interval.times(100.0), coverage);
        Self {
            shot_time_s: PredictedValue::of(prediction.shot_time_s, coverage),
            tds_percent: prediction.dissolved_fraction.map(percent),
            extraction_yield_percent: prediction.extraction_fraction.map(percent),
            first_drop_s: Some(PredictedValue::of(prediction.first_drop_s, coverage)),
        }
    }
}
