//! A list of shots with their labels, and the series that stand in it.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::extraction::percolation::percolation;
use crate::maths::quantity::{Mass, MassFraction};

/// Shots in the order in which they were made.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ConsistencyRequest {
    /// The shots, in the order in which they were made.
    #[schema(min_items = 2, max_items = 5000)]
    pub shots: Vec<ShotMade>,
    /// Probability with which the intervals hold the true value. Default: 0.95.
    pub coverage_probability: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// A shot as it was weighed and timed, and under which labels it stands.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShotMade {
    /// Dry coffee.
    pub dose_g: Option<f64>,
    /// Beverage in the cup.
    pub beverage_mass_g: Option<f64>,
    /// From pump on to pump off.
    pub shot_time_s: Option<f64>,
    /// Strength of the beverage.
    pub tds_percent: Option<f64>,
    /// Who made it; any text, such as a number.
    pub barista: Option<String>,
    /// The grinder it was ground on; any text.
    pub grinder: Option<String>,
    /// The group of the machine; any text.
    pub group: Option<String>,
    /// The day; any text.
    pub day: Option<String>,
}

/// A quantity of a shot; its unit stands in its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShotQuantity {
    /// Dry coffee.
    DoseG,
    /// Beverage in the cup.
    BeverageMassG,
    /// Beverage mass over dose.
    BrewRatio,
    /// Shot time.
    ShotTimeS,
    /// Strength of the beverage.
    TdsPercent,
    /// Dissolved solids over dose.
    ExtractionYieldPercent,
}

impl ShotQuantity {
    pub(super) const ALL: [Self; 6] = [
        Self::DoseG,
        Self::BeverageMassG,
        Self::BrewRatio,
        Self::ShotTimeS,
        Self::TdsPercent,
        Self::ExtractionYieldPercent,
    ];

    /// The name of the field.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::DoseG => "dose_g",
            Self::BeverageMassG => "beverage_mass_g",
            Self::BrewRatio => "brew_ratio",
            Self::ShotTimeS => "shot_time_s",
            Self::TdsPercent => "tds_percent",
            Self::ExtractionYieldPercent => "extraction_yield_percent",
        }
    }

    /// The quantity in words.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::DoseG => "dose",
            Self::BeverageMassG => "beverage mass",
            Self::BrewRatio => "brew ratio",
            Self::ShotTimeS => "shot time",
            Self::TdsPercent => "strength",
            Self::ExtractionYieldPercent => "extraction yield",
        }
    }
}

/// A free label of the shots.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Label {
    Barista,
    Grinder,
    Group,
    Day,
}

impl Label {
    pub(super) const ALL: [Self; 4] = [Self::Barista, Self::Grinder, Self::Group, Self::Day];

    pub(super) fn of(self, shot: &ShotMade) -> Option<&str> {
        match self {
            Self::Barista => shot.barista.as_deref(),
            Self::Grinder => shot.grinder.as_deref(),
            Self::Group => shot.group.as_deref(),
            Self::Day => shot.day.as_deref(),
        }
    }
}

/// The values of one quantity, each with the place of its shot.
pub(super) struct Series {
    pub(super) quantity: ShotQuantity,
    pub(super) places: Vec<usize>,
    pub(super) values: Vec<f64>,
}

/// All series, those of ratio and yield worked out of the others.
///
/// # Errors
/// Every shot whose yield no coffee gives.
pub(super) fn series(shots: &[ShotMade]) -> Result<Vec<Series>, Problem> {
    let mut faults = Vec::new();
    let mut all = Vec::new();
    for quantity in ShotQuantity::ALL {
        let (mut places, mut values) = (Vec::new(), Vec::new());
        for (place, shot) in shots.iter().enumerate() {
            match value(quantity, shot) {
                Ok(Some(value)) => {
                    places.push(place);
                    values.push(value);
                }
                Ok(None) => {}
                Err(error) => faults.push(Fault::new(
                    format!("/shots/{place}/tds_percent"),
                    FaultCode::Inconsistent,
                    error.to_string(),
                )),
            }
        }
        all.push(Series {
            quantity,
            places,
            values,
        });
    }
    if faults.is_empty() {
        Ok(all)
    } else {
        Err(Problem::invalid(faults))
    }
}

fn value(quantity: ShotQuantity, shot: &ShotMade) -> Result<Option<f64>, MathsError> {
    let masses = shot.dose_g.zip(shot.beverage_mass_g);
    Ok(match quantity {
        ShotQuantity::DoseG => shot.dose_g,
        ShotQuantity::BeverageMassG => shot.beverage_mass_g,
        ShotQuantity::ShotTimeS => shot.shot_time_s,
        ShotQuantity::TdsPercent => shot.tds_percent,
        ShotQuantity::BrewRatio => masses.map(|(dose, beverage)| beverage / dose),
        ShotQuantity::ExtractionYieldPercent => {
            let Some(((dose, beverage), tds)) = masses.zip(shot.tds_percent) else {
                return Ok(None);
            };
            let extracted = percolation(
                Mass::from_grams(dose)?,
                Mass::from_grams(beverage)?,
                MassFraction::from_percent(tds)?,
            )?;
            Some(extracted.extraction_yield.percent())
        }
    })
}
