//! Many brews on one chart.

use std::sync::OnceLock;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use super::brew::Brew;
use super::{bounds, picture};
use crate::api::brew_kind::BrewKind;
use crate::api::calculation::Call;
use crate::api::calculations::extraction_yield::ControlChartId;
use crate::api::calculations::extraction_yield::ExtractionYield;
use crate::api::calculations::extraction_yield::ExtractionYieldRequest;
use crate::api::chart::{Drawing, Many};
use crate::api::compose::answer_of;
use crate::api::decode::{self, MOST_FAULTS};
use crate::api::limits;
use crate::api::problem::{Fault, Problem, ProblemCode};
use crate::api::schemas::Schemas;
use crate::api::shape::{Plan, Shape, patch_bounds};

/// Brews on one chart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct StrengthAndYieldPointsRequest {
    /// How all of them were brewed; `espresso` by default.
    brew_kind: Option<BrewKind>,
    /// Chart that they are drawn on; the default follows `brew_kind`.
    control_chart: Option<ControlChartId>,
    /// Probability that the ellipses cover; 0.95 by default.
    coverage_probability: Option<f64>,
    /// The brews.
    #[validate(length(min = 1, max = 500), nested)]
    #[schema(min_items = 1, max_items = 500)]
    points: Vec<BrewPoint>,
}

/// A brew, as `extraction-yield` takes it, with a label.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
struct BrewPoint {
    /// What stands beside its point.
    #[validate(length(max = 60))]
    #[schema(max_length = 60)]
    label: Option<String>,
    /// Dry coffee, as weighed.
    dose_g: f64,
    /// Beverage weighed before any bypass water was added.
    beverage_mass_g: Option<f64>,
    /// Beverage weighed after the bypass water was added.
    final_beverage_mass_g: Option<f64>,
    /// Brew water, bypass water not counted.
    water_mass_g: Option<f64>,
    /// Water added to the cup after brewing.
    bypass_water_g: Option<f64>,
    /// Strength of what is in the cup.
    tds_percent: Option<f64>,
    /// Repeated readings of the strength of what is in the cup.
    #[validate(length(min = 1, max = 1000))]
    tds_readings_percent: Option<Vec<f64>>,
    /// Standard uncertainty of the dose.
    dose_uncertainty_g: Option<f64>,
    /// Half-width of a rectangular distribution of the dose.
    dose_half_width_g: Option<f64>,
    /// Standard uncertainty of the beverage mass.
    beverage_mass_uncertainty_g: Option<f64>,
    /// Half-width of a rectangular distribution of the beverage mass.
    beverage_mass_half_width_g: Option<f64>,
    /// Standard uncertainty of the brew water.
    water_mass_uncertainty_g: Option<f64>,
    /// Half-width of a rectangular distribution of the brew water.
    water_mass_half_width_g: Option<f64>,
    /// Standard uncertainty of the bypass water.
    bypass_water_uncertainty_g: Option<f64>,
    /// Half-width of a rectangular distribution of the bypass water.
    bypass_water_half_width_g: Option<f64>,
    /// Standard uncertainty of the strength that repeating does not show.
    tds_uncertainty_percent: Option<f64>,
    /// Half-width of a rectangular distribution in its place.
    tds_half_width_percent: Option<f64>,
    /// Standard deviation of one reading, pooled from earlier days.
    tds_repeatability_percent: Option<f64>,
    /// Degrees of freedom of `tds_repeatability_percent`.
    tds_repeatability_degrees_of_freedom: Option<f64>,
}

/// How many brews at once are asked for.
pub(super) const MANY: Many = Many {
    field: "points",
    schema: schemas,
    read,
    example: (
        "lab-session",
        "A lab session: brews of one recipe on one chart, with labels",
        include_str!("../../../../demo-data/charts/strength-and-yield/lab-session.json"),
    ),
};

/// Brews from which on a picture is worth a thread of the pool.
const HEAVY_FROM: usize = 20;

fn schemas() -> Schemas {
    let mut schemas = Schemas::of::<StrengthAndYieldPointsRequest>();
    patch_bounds(&mut schemas.root, bounds());
    limits::patch(&mut schemas.root);
    for (_, component) in &mut schemas.components {
        patch_bounds(component, bounds());
        limits::patch(component);
    }
    schemas
}

fn plan() -> &'static Plan {
    static PLAN: OnceLock<Plan> = OnceLock::new();
    PLAN.get_or_init(|| {
        let schemas = schemas();
        Plan::new(Shape::compile(&schemas.root, &schemas.components), &[])
    })
}

fn read(body: &[u8]) -> Result<Drawing, Problem> {
    let request: StrengthAndYieldPointsRequest = decode::json_of(body, plan())?;
    let is_heavy = request.points.len() >= HEAVY_FROM;
    Ok(Drawing::new(is_heavy, move |call, options| {
        let brews = brews(&request, call)?;
        picture(request.brew_kind.unwrap_or_default(), &brews, options)
    }))
}

/// The answers for all points, or the faults of all points.
fn brews(request: &StrengthAndYieldPointsRequest, call: &Call<'_>) -> Result<Vec<Brew>, Problem> {
    let mut brews = Vec::with_capacity(request.points.len());
    let mut faults: Vec<Fault> = Vec::new();
    for (place, point) in request.points.iter().enumerate() {
        match answer_of::<ExtractionYield>(&request.of(point), call) {
            Ok(answer) => {
                let label = point.label.clone().unwrap_or_default();
                brews.push(Brew::new(label, &answer.result));
            }
            Err(problem) if problem.code() == ProblemCode::ValidationFailed => {
                let moved = problem.faults().iter().map(|fault| Fault {
                    pointer: format!("/points/{place}{}", fault.pointer),
                    ..fault.clone()
                });
                faults.extend(moved);
            }
            Err(problem) => return Err(problem),
        }
        if faults.len() >= MOST_FAULTS {
            faults.truncate(MOST_FAULTS);
            break;
        }
    }
    if faults.is_empty() {
        Ok(brews)
    } else {
        Err(Problem::invalid(faults))
    }
}

impl StrengthAndYieldPointsRequest {
    /// What `extraction-yield` is asked about a point.
    fn of(&self, point: &BrewPoint) -> ExtractionYieldRequest {
        ExtractionYieldRequest {
            brew_kind: self.brew_kind,
            dose_g: point.dose_g,
            beverage_mass_g: point.beverage_mass_g,
            final_beverage_mass_g: point.final_beverage_mass_g,
            water_mass_g: point.water_mass_g,
            bypass_water_g: point.bypass_water_g,
            tds_percent: point.tds_percent,
            tds_readings_percent: point.tds_readings_percent.clone(),
            dose_uncertainty_g: point.dose_uncertainty_g,
            dose_half_width_g: point.dose_half_width_g,
            beverage_mass_uncertainty_g: point.beverage_mass_uncertainty_g,
            beverage_mass_half_width_g: point.beverage_mass_half_width_g,
            water_mass_uncertainty_g: point.water_mass_uncertainty_g,
            water_mass_half_width_g: point.water_mass_half_width_g,
            bypass_water_uncertainty_g: point.bypass_water_uncertainty_g,
            bypass_water_half_width_g: point.bypass_water_half_width_g,
            tds_uncertainty_percent: point.tds_uncertainty_percent,
            tds_half_width_percent: point.tds_half_width_percent,
            tds_repeatability_percent: point.tds_repeatability_percent,
            tds_repeatability_degrees_of_freedom: point.tds_repeatability_degrees_of_freedom,
            coverage_probability: self.coverage_probability,
            control_chart: self.control_chart,
            ..ExtractionYieldRequest::default()
        }
    }
}
