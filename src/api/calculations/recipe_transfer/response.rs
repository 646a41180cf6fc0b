//! The recipe on the other set-up, and what became of it on the way.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use crate::api::pressure_profile::ProfileRequest;

/// The recipe on the set-up that it goes to.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RecipeTransferResponse {
    /// Dry coffee: the same bed depth as before where the basket allows it.
    pub dose_g: f64,
    /// Dry coffee at the same bed depth, whether the basket allows it or not; left out where no
    /// basket is known.
    pub same_depth_dose_g: Option<f64>,
    /// Beverage at the same brew ratio; left out when the recipe names none.
    pub beverage_mass_g: Option<f64>,
    /// Beverage mass over dose.
    pub brew_ratio: Option<f64>,
    /// The brew ratio as it is spoken: `1:2`.
    pub brew_ratio_text: Option<String>,
    /// Strength to aim at, the recipe's own.
    pub tds_percent: Option<f64>,
    /// Depth of the tamped, dry bed; no depth for a simulation.
    pub tamped_depth_mm: Option<f64>,
    /// Smallest dose of the basket.
    pub dose_min_g: Option<f64>,
    /// Largest dose of the basket.
    pub dose_max_g: Option<f64>,
    /// Whether the basket holds the dose.
    pub fits_basket: Option<bool>,
    /// Whether the cup holds the beverage, a gram taken as a millilitre and foam not counted.
    pub fits_cup: Option<bool>,
    /// Temperature of the brew water that can be reached there.
    pub brew_temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub brew_temperature_f: f64,
    /// Whether the recipe's own temperature can be reached there; left out where the place is
    /// not known.
    pub temperature_reachable: Option<bool>,
    /// Temperature at which water boils there in an open vessel.
    pub boiling_point_c: Option<f64>,
    /// The same in degrees Fahrenheit.
    pub boiling_point_f: Option<f64>,
    /// Pressure of the pump over time, held down to what the machine gives.
    pub pressure_profile: Option<ProfileRequest>,
    /// Shot time to expect, the recipe's own scaled by the simulated times; left out where none
    /// was simulated.
    pub shot_time_s: Option<f64>,
    /// How the shot time changes.
    pub shot_time_change: ShotTimeChange,
    /// What is as it was.
    pub kept: Vec<CarriedNote>,
    /// What is another than it was.
    pub changed: Vec<CarriedNote>,
    /// What cannot be had there, and what to do instead.
    pub not_met: Vec<NotCarried>,
    /// What to check in the first cups, the first one first; empty when nothing has changed.
    pub check_first: Vec<CupCheck>,
}

/// How the shot time changes from one set-up to the other.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ShotTimeChange {
    /// Whether both shots were simulated or only the direction is told.
    pub method: ShotTimeMethod,
    /// Which way the time goes.
    pub direction: ShotTimeDirection,
    /// Change of the shot time; only by simulation, and for a recipe with a shot time.
    pub change_s: Option<f64>,
    /// Simulated time on the new set-up over that on the old one.
    pub time_ratio: Option<f64>,
    /// Simulated time to the beverage on the old set-up.
    pub simulated_from_s: Option<f64>,
    /// Simulated time to the beverage on the new set-up.
    pub simulated_to_s: Option<f64>,
    /// Simulated strength on the new set-up less that on the old one.
    pub tds_change_points: Option<f64>,
    /// Simulated yield on the new set-up less that on the old one.
    pub extraction_yield_change_points: Option<f64>,
    /// What drives the time, each with its direction.
    pub because: Vec<TimeDriver>,
    /// Why no shot was simulated; left out when it was.
    pub not_simulated: Option<NotSimulated>,
}

/// How a change of the shot time is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShotTimeMethod {
    /// Both shots were simulated.
    Simulation,
    /// Only the direction is told, from what changes.
    Direction,
}

/// Which way the shot time goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShotTimeDirection {
    /// The shot takes longer.
    Longer,
    /// The shot takes less time.
    Shorter,
    /// The time stays.
    Unchanged,
    /// What changes drives the time both ways, or too little is known.
    Undetermined,
}

/// Something that changes the shot time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TimeDriver {
    /// What changes.
    pub code: TimeDriverCode,
    /// Which way it drives the time.
    pub direction: ShotTimeDirection,
    /// Why, in words.
    pub detail: String,
}

/// What changes the shot time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum TimeDriverCode {
    /// Another grind.
    Grind,
    /// Water of another temperature.
    BrewTemperature,
    /// Another pressure.
    Pressure,
    /// A deeper or shallower bed.
    BedDepth,
    /// Another diameter at the same bed depth.
    BasketDiameter,
}

/// Why no shot was simulated.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct NotSimulated {
    /// Stable code.
    pub code: NotSimulatedCode,
    /// The reason in words.
    pub detail: String,
}

/// Why no shot was simulated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum NotSimulatedCode {
    /// No grind is known.
    GrindUnknown,
    /// No basket is known.
    BasketUnknown,
    /// The recipe names no beverage mass.
    BeverageUnknown,
    /// Neither a profile nor a machine's pressure is known.
    PressureUnknown,
    /// The simulation does not take such a shot.
    OutsideTheModel,
}

/// Something that was kept or changed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CarriedNote {
    /// What it is about.
    pub code: CarriedCode,
    /// What became of it, in words.
    pub detail: String,
}

/// A part of a recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CarriedCode {
    /// Dry coffee.
    Dose,
    /// Depth of the tamped bed.
    BedDepth,
    /// Beverage mass over dose.
    BrewRatio,
    /// Beverage in the cup.
    BeverageMass,
    /// Strength of the beverage.
    Strength,
    /// Temperature of the brew water.
    BrewTemperature,
    /// Pressure over time.
    PressureProfile,
    /// Shot time.
    ShotTime,
}

/// Something of the recipe that the new set-up does not give.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct NotCarried {
    /// Stable code.
    pub code: NotCarriedCode,
    /// What cannot be had, in words.
    pub detail: String,
    /// What to do instead.
    pub instead: String,
}

/// What the new set-up does not give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum NotCarriedCode {
    /// The dose at the same bed depth is more than the basket is made for.
    DoseTooLarge,
    /// The dose at the same bed depth is less than the basket is made for.
    DoseTooSmall,
    /// The cup does not hold the beverage.
    CupTooSmall,
    /// The water cannot be had that hot.
    TemperatureOutOfReach,
    /// The machine gives less pressure than the recipe asks for.
    PressureOutOfReach,
    /// The simulated shot does not give the beverage in time.
    BeverageNotReached,
}

/// What to check in the cup.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CupCheck {
    /// Stable code.
    pub code: CupCheckCode,
    /// What to check and what to do about it, in words.
    pub detail: String,
}

/// What to check in the cup; common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CupCheckCode {
    /// Sourness, after cooler water.
    Sourness,
    /// The time that the shot takes.
    ShotTime,
    /// How evenly the shot runs.
    Evenness,
    /// The strength.
    Strength,
}
