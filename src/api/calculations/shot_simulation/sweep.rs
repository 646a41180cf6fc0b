//! A sweep: the shot simulated again for every combination of one or two varied inputs.
//!
//! By the thread of the call and those that it is lent; each asks while it simulates whether to
//! stop. Points do not depend on one another, so the answer is the same for any number of threads.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::request::ShotSimulationRequest;
use super::response::percent;
use crate::api::calculation::Call;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::threads;
use crate::maths::quantity::Length;
use crate::maths::range::Range;
use crate::maths::simulation::{self, Parameters, Shot};

/// Most combinations in one call.
pub(super) const MOST_POINTS: usize = 2000;

/// Union of the ranges of the inputs that can be varied; each value must be in its own.
pub(super) const VALUES: Range = Range::new("swept value", 1.0, 600.0, "1");

/// One input to vary.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Sweep {
    /// The input.
    pub field: SweepField,
    /// Its values, in its unit, each inside the range of the input.
    pub values: Vec<f64>,
}

/// An input that can be varied.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SweepField {
    /// Dry coffee.
    DoseG,
    /// Inner diameter of the basket.
    BasketDiameterMm,
    /// Diameter of the coarse grains.
    GrindDiameterUm,
    /// Temperature of the water.
    WaterTemperatureC,
    /// Beverage at which the shot is judged.
    TargetBeverageMassG,
}

/// The shot at one combination of the varied inputs.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SweepPoint {
    /// Values of the varied inputs, in the order of `sweep`.
    pub values: Vec<f64>,
    /// When the first drop falls; left out when none does in time.
    pub first_drop_s: Option<f64>,
    /// Whether the target was in the cup in time.
    pub target_reached: bool,
    /// When it was; left out when it never was.
    pub time_to_target_s: Option<f64>,
    /// Strength of the cup at that time.
    pub tds_percent: Option<f64>,
    /// Extraction yield at that time.
    pub extraction_yield_percent: Option<f64>,
    /// Beverage running at that time.
    pub flow_g_per_s: Option<f64>,
}

impl SweepField {
    const fn range(self) -> Range {
        match self {
            Self::DoseG => Shot::DOSE,
            Self::BasketDiameterMm => Length::BASKET_DIAMETER,
            Self::GrindDiameterUm => Shot::GRIND_DIAMETER,
            Self::WaterTemperatureC => Shot::WATER_TEMPERATURE,
            Self::TargetBeverageMassG => Shot::TARGET_BEVERAGE,
        }
    }

    const fn put(self, request: &mut ShotSimulationRequest, value: f64) {
        match self {
            Self::DoseG => request.dose_g = value,
            Self::BasketDiameterMm => request.basket_diameter_mm = value,
            Self::GrindDiameterUm => request.grind_diameter_um = value,
            Self::WaterTemperatureC => request.water_temperature_c = value,
            Self::TargetBeverageMassG => request.target_beverage_mass_g = value,
        }
    }
}

/// How many combinations the sweeps have; none without a sweep.
pub(super) fn count(sweeps: Option<&[Sweep]>) -> usize {
    sweeps.map_or(0, |sweeps| {
        sweeps.iter().fold(1, |count: usize, sweep| {
            count.saturating_mul(sweep.values.len())
        })
    })
}

/// The shot with the value of every varied input that asks for the most work: a deep bed of
/// fine grains is cut into the most layers.
pub(super) fn costliest(request: &ShotSimulationRequest) -> ShotSimulationRequest {
    let mut costliest = ShotSimulationRequest {
        sweep: None,
        sample_time_s: None,
        ..request.clone()
    };
    for sweep in request.sweep.iter().flatten() {
        let values = sweep.values.iter().copied();
        let value = match sweep.field {
            SweepField::DoseG => values.fold(request.dose_g, f64::max),
            SweepField::BasketDiameterMm => values.fold(request.basket_diameter_mm, f64::min),
            SweepField::GrindDiameterUm => values.fold(request.grind_diameter_um, f64::min),
            SweepField::WaterTemperatureC | SweepField::TargetBeverageMassG => continue,
        };
        sweep.field.put(&mut costliest, value);
    }
    costliest
}

/// Values outside the range of their input, an input varied twice, too many combinations.
pub(super) fn faults(sweeps: &[Sweep]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (place, sweep) in sweeps.iter().enumerate() {
        let range = sweep.field.range();
        let outside = sweep.values.iter().enumerate();
        faults.extend(outside.filter_map(|(index, value)| {
            let error = range.check(*value).err()?;
            Some(Fault {
                minimum: Some(range.min),
                maximum: Some(range.max),
                unit: Some(range.unit.to_owned()),
                ..Fault::new(
                    format!("/sweep/{place}/values/{index}"),
                    FaultCode::OutOfRange,
                    error.to_string(),
                )
            })
        }));
        if sweeps
            .iter()
            .take(place)
            .any(|other| other.field == sweep.field)
        {
            faults.push(Fault::new(
                format!("/sweep/{place}/field"),
                FaultCode::Contradictory,
                "the input is already varied",
            ));
        }
    }
    let points = count(Some(sweeps));
    if points > MOST_POINTS {
        let detail = format!("{points} combinations are more than {MOST_POINTS}");
        faults.push(Fault::new("/sweep", FaultCode::TooManyItems, detail));
    }
    faults
}

/// The shots at all combinations; the last input runs fastest.
pub(super) fn points(
    request: &ShotSimulationRequest,
    sweeps: &[Sweep],
    parameters: &Parameters,
    call: &Call<'_>,
) -> Result<Vec<SweepPoint>, Problem> {
    let plain = ShotSimulationRequest {
        sweep: None,
        sample_time_s: None,
        parameters: None,
        ..request.clone()
    };
    let one = |values: &Vec<f64>| {
        // what is left when the call has been stopped is not begun
        call.go_on()?;
        let mut varied = plain.clone();
        for (sweep, value) in sweeps.iter().zip(values) {
            sweep.field.put(&mut varied, *value);
        }
        point(&varied, values.clone(), parameters, call)
    };
    let lost = || Err(Problem::internal("a point of a sweep was not simulated"));
    threads::in_order(&combinations(sweeps), call.lender(), one)
        .into_iter()
        .map(|point| point.unwrap_or_else(lost))
        .collect()
}

fn combinations(sweeps: &[Sweep]) -> Vec<Vec<f64>> {
    sweeps.iter().fold(vec![Vec::new()], |so_far, sweep| {
        let longer = |start: &Vec<f64>| {
            let with = |value: &f64| start.iter().chain([value]).copied().collect();
            sweep.values.iter().map(with).collect::<Vec<Vec<f64>>>()
        };
        so_far.iter().flat_map(longer).collect()
    })
}

fn point(
    varied: &ShotSimulationRequest,
    values: Vec<f64>,
    parameters: &Parameters,
    call: &Call<'_>,
) -> Result<SweepPoint, Problem> {
    let shot = varied.shot(Vec::new())?;
    let cancel = || call.is_cancelled();
    let outcome = simulation::run(&shot, parameters, varied.accuracy(), &cancel).at("sweep")?;
    // a shot that was stopped midway is no answer, and a short one ends before it asks
    call.go_on()?;
    let cup = outcome.at_target;
    Ok(SweepPoint {
        values,
        first_drop_s: outcome.first_drop_s,
        target_reached: cup.is_some(),
        time_to_target_s: outcome.time_to_target_s,
        tds_percent: cup.map(|cup| percent(cup.dissolved_fraction)),
        extraction_yield_percent: cup.map(|cup| percent(cup.extraction_fraction)),
        flow_g_per_s: cup.map(|cup| cup.flow_g_per_s),
    })
}
