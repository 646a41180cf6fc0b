//! What is asked of a dial-in, and its translation to the maths.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::from_maths::AtField;
use crate::api::pressure_profile::ProfileRequest;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::dial_in::{Aims, Dial, HigherIs, Limits, PulledShot, Recipe};
use crate::maths::quantity::{GaugePressure, Length, Mass, Temperature};
use crate::maths::simulation::PressureProfile;

/// Brewing temperature where none is given, °C; common practice, no source.
const USUAL_TEMPERATURE_C: f64 = 93.0;
/// Pressure where no profile is given, bar; common practice, no source.
const USUAL_PRESSURE_BAR: f64 = 9.0;
/// A profile has to reach this somewhere, bar: below, no shot ends.
const LEAST_PRESSURE_BAR: f64 = 0.5;
/// No coffee gives more, %.
const MOST_YIELD_PERCENT: f64 = 35.0;

/// A grinder, the shots pulled so far, and what the next one should be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DialInRequest {
    /// The grinder's dial.
    pub grinder: GrinderDial,
    /// The shots pulled so far with this coffee, the last one last: it is the one to go on from.
    #[schema(min_items = 1, max_items = 50)]
    pub shots: Vec<DialInShot>,
    /// What the next shot should be: at least one of the four.
    pub target: DialInTarget,
    /// What may be changed. Default: the grind setting, and the beverage where a ratio is aimed at.
    #[schema(min_items = 1, max_items = 4)]
    pub may_change: Option<Vec<MayChange>>,
    /// Probability that an interval holds the next reading. Default: 0.9.
    pub coverage_probability: Option<f64>,
    /// Whether the answer shows how the interval of the shot time was worked out.
    pub workings: Option<bool>,
}

/// The dial of a grinder. Its steps are counted from zero.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct GrinderDial {
    /// What a higher number does.
    pub higher_is: HigherSetting,
    /// Difference of two neighbouring settings; the finest that is worth setting on a dial
    /// without steps.
    pub smallest_step: f64,
    /// What the maker says a step changes, in grain diameter; only expected, since burrs wear.
    pub micrometres_per_step: Option<f64>,
    /// Lowest setting there is.
    pub lowest_setting: Option<f64>,
    /// Highest setting there is.
    pub highest_setting: Option<f64>,
}

/// What a higher number on a dial does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum HigherSetting {
    /// It grinds coarser.
    Coarser,
    /// It grinds finer.
    Finer,
}

/// A shot that was pulled.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DialInShot {
    /// The grinder's setting.
    pub grind_setting: f64,
    /// Dry coffee.
    pub dose_g: f64,
    /// Inner diameter of the basket.
    pub basket_diameter_mm: f64,
    /// Beverage in the cup.
    pub beverage_mass_g: f64,
    /// Pump on to pump off.
    pub shot_time_s: f64,
    /// Strength of the beverage.
    pub tds_percent: Option<f64>,
    /// Pump on to the first drop.
    pub first_drop_s: Option<f64>,
    /// Temperature of the water. Default: 93.
    pub water_temperature_c: Option<f64>,
    /// Pressure over time. Default: 9 bar from the start.
    pub pressure_profile: Option<ProfileRequest>,
    /// What it tasted of. Nothing is computed from it; the answer says whether the change agrees.
    pub taste: Option<ShotTaste>,
}

/// What a shot tasted of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShotTaste {
    /// Sour.
    Sour,
    /// Bitter.
    Bitter,
    /// Drying.
    Astringent,
    /// Thin.
    Thin,
    /// Harsh.
    Harsh,
    /// Salty.
    Salty,
    /// As it should be.
    Balanced,
}

/// What the next shot should be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DialInTarget {
    /// Pump on to pump off; within 1 s is there.
    pub shot_time_s: Option<f64>,
    /// Strength of the beverage; within 0.2 points is there.
    pub tds_percent: Option<f64>,
    /// Dissolved part of the dose; within 0.4 points is there.
    pub extraction_yield_percent: Option<f64>,
    /// Beverage over dose.
    pub brew_ratio: Option<f64>,
}

/// Something that may be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum MayChange {
    /// The grinder's setting.
    GrindSetting,
    /// Dry coffee.
    DoseG,
    /// Beverage in the cup.
    BeverageMassG,
    /// Temperature of the water.
    WaterTemperatureC,
}

impl DialInRequest {
    /// What bounds cannot express.
    pub(super) fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        for (place, shot) in self.shots.iter().enumerate() {
            faults.extend(shot.faults(&format!("/shots/{place}")));
        }
        let target = &self.target;
        let aims = [
            target.shot_time_s,
            target.tds_percent,
            target.extraction_yield_percent,
            target.brew_ratio,
        ];
        if aims.iter().all(Option::is_none) {
            let detail = "a target names at least one of its four quantities";
            faults.push(Fault::new(
                "/target/shot_time_s",
                FaultCode::Required,
                detail,
            ));
        }
        let ends = (self.grinder.lowest_setting, self.grinder.highest_setting);
        if let (Some(lowest), Some(highest)) = ends
            && lowest >= highest
        {
            let detail = format!("the highest setting is not above the lowest, {lowest}");
            let pointer = "/grinder/highest_setting";
            faults.push(Fault::new(pointer, FaultCode::Inconsistent, detail));
        }
        faults
    }

    pub(super) fn dial(&self) -> Dial {
        Dial {
            higher_is: match self.grinder.higher_is {
                HigherSetting::Coarser => HigherIs::Coarser,
                HigherSetting::Finer => HigherIs::Finer,
            },
            smallest_step: self.grinder.smallest_step,
            micrometres_per_step: self.grinder.micrometres_per_step,
            lowest: self.grinder.lowest_setting,
            highest: self.grinder.highest_setting,
        }
    }

    pub(super) fn pulled(&self) -> Result<Vec<PulledShot>, Problem> {
        self.shots
            .iter()
            .enumerate()
            .map(|(place, shot)| shot.pulled(&format!("shots/{place}")))
            .collect()
    }

    /// The aims; those of strength only where the shots speak of it.
    pub(super) fn aims(&self, has_strength: bool) -> Aims {
        let fraction = |percent: Option<f64>| percent.filter(|_| has_strength).map(|p| p / 100.0);
        Aims {
            shot_time_s: self.target.shot_time_s,
            dissolved_fraction: fraction(self.target.tds_percent),
            extraction_fraction: fraction(self.target.extraction_yield_percent),
            brew_ratio: self.target.brew_ratio,
        }
    }

    pub(super) fn limits(&self) -> Limits {
        let usual = [MayChange::GrindSetting, MayChange::BeverageMassG];
        let count = if self.target.brew_ratio.is_some() {
            2
        } else {
            1
        };
        let may = self.may_change.as_deref().unwrap_or(&usual[..count]);
        Limits {
            may: [
                MayChange::GrindSetting,
                MayChange::BeverageMassG,
                MayChange::DoseG,
                MayChange::WaterTemperatureC,
            ]
            .map(|change| may.contains(&change)),
        }
    }
}

impl DialInShot {
    pub(super) fn temperature_c(&self) -> f64 {
        self.water_temperature_c.unwrap_or(USUAL_TEMPERATURE_C)
    }

    fn faults(&self, pointer: &str) -> Vec<Fault> {
        let mut faults = Vec::new();
        let mut refuse = |field: &str, detail: String| {
            let pointer = format!("{pointer}/{field}");
            faults.push(Fault::new(pointer, FaultCode::Inconsistent, detail));
        };
        if self
            .first_drop_s
            .is_some_and(|drop| drop >= self.shot_time_s)
        {
            let detail = format!(
                "the shot ends at {} s, before its first drop",
                self.shot_time_s
            );
            refuse("first_drop_s", detail);
        }
        let yielded = |tds: f64| tds * self.beverage_mass_g / self.dose_g;
        if let Some(most) = self
            .tds_percent
            .map(yielded)
            .filter(|y| *y > MOST_YIELD_PERCENT)
        {
            let detail = format!("the yield would be {most} %, which no coffee gives");
            refuse("tds_percent", detail);
        }
        if let Some(profile) = &self.pressure_profile {
            let highest = profile.pressure_bar.iter().copied().fold(0.0, f64::max);
            if highest < LEAST_PRESSURE_BAR {
                let detail = format!("no shot is pulled with {highest} bar at most");
                refuse("pressure_profile", detail);
            }
            faults.extend(profile.faults(&format!("{pointer}/pressure_profile")));
        }
        faults
    }

    fn pulled(&self, at: &str) -> Result<PulledShot, Problem> {
        let profile = match &self.pressure_profile {
            Some(profile) => profile.profile(),
            None => GaugePressure::from_bar(USUAL_PRESSURE_BAR).map(PressureProfile::constant),
        };
        let recipe = Recipe {
            setting: self.grind_setting,
            dose: Mass::from_grams(self.dose_g).at(at)?,
            basket_diameter: Length::from_millimetres(self.basket_diameter_mm).at(at)?,
            beverage: Mass::from_grams(self.beverage_mass_g).at(at)?,
            water_temperature: Temperature::from_celsius(self.temperature_c()).at(at)?,
            pressure_profile: profile.at(&format!("{at}/pressure_profile"))?,
        };
        Ok(PulledShot {
            recipe,
            shot_time_s: self.shot_time_s,
            dissolved_fraction: self.tds_percent.map(|percent| percent / 100.0),
            first_drop_s: self.first_drop_s,
        })
    }
}
