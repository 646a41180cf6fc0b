//! From the solids to a yield: of the beverage, or of what is missing in the spent grounds.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::dishes::Dishes;
use super::request::OvenDryingRequest;
use crate::api::budget::{Budget, MeasuredInput, Term};
use crate::api::calculation::Call;
use crate::api::calculations::extraction_yield::{ExtractionYield, ExtractionYieldRequest};
use crate::api::compose::answer_of;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::WorkingStep;
use crate::maths::MathsError;
use crate::maths::extraction::drying::{held_solids, yield_of_spent_grounds};
use crate::maths::extraction::extracted::{Extracted, LARGEST_YIELD};
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::uncertainty::DegreesOfFreedom;
use crate::maths::uncertainty::combine::{Correlations, Input, combined_uncertainty};
use crate::maths::uncertainty::type_b::rectangular;

/// Uncertainty of a yield, in short; `extraction-yield` gives the budget of one from a beverage.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DriedYieldUncertainty {
    /// Combined standard uncertainty.
    pub standard_points: f64,
    /// Expanded uncertainty: the coverage factor times the standard uncertainty.
    pub expanded_points: f64,
    /// From the normal distribution, or from Student's t.
    pub coverage_factor: f64,
    /// Probability that the expanded uncertainty covers.
    pub coverage_probability: f64,
}

/// A yield and how it was found.
#[derive(Debug)]
pub(super) struct Brewed {
    pub(super) dose_g: f64,
    pub(super) yield_percent: f64,
    /// Without the solids of the liquid that the grounds held.
    pub(super) corrected_percent: Option<f64>,
    /// All of the spent grounds, wet, g.
    pub(super) grounds_g: Option<f64>,
    pub(super) held_g: Option<f64>,
    pub(super) uncertainty: Option<DriedYieldUncertainty>,
    /// The derivation of the uncertainty.
    pub(super) derived: Vec<WorkingStep>,
}

/// The yield, when a dose was given.
pub(super) fn of(dishes: &Dishes<'_>, call: &Call<'_>) -> Result<Option<Brewed>, Problem> {
    let faults = contradictions(dishes);
    if !faults.is_empty() {
        return Err(Problem::invalid(faults));
    }
    match dishes.request.dose_g {
        None => Ok(None),
        Some(dose_g) if dishes.are_spent_grounds() => spent(dishes, dose_g).map(Some),
        Some(dose_g) => beverage(dishes, dose_g, call).map(Some),
    }
}

/// Fields that belong to the other kind of sample.
fn contradictions(dishes: &Dishes<'_>) -> Vec<Fault> {
    let r = dishes.request;
    let (fields, kind): ([(&str, bool); 2], &str) = if dishes.are_spent_grounds() {
        let given = [
            ("beverage_mass_g", r.beverage_mass_g.is_some()),
            ("water_mass_g", r.water_mass_g.is_some()),
        ];
        (
            given,
            "spent grounds tell of the beverage by the dose alone",
        )
    } else {
        let given = [
            ("spent_grounds_mass_g", r.spent_grounds_mass_g.is_some()),
            ("tds_percent", r.tds_percent.is_some()),
        ];
        (
            given,
            "this belongs to dried spent grounds, and a beverage was dried",
        )
    };
    let given = fields.into_iter().filter(|(_, is_given)| *is_given);
    given
        .map(|(field, _)| Fault::new(format!("/{field}"), FaultCode::Contradictory, kind))
        .collect()
}

/// `extraction-yield` with the solids as the strength.
fn beverage(dishes: &Dishes<'_>, dose_g: f64, call: &Call<'_>) -> Result<Brewed, Problem> {
    let r = dishes.request;
    let has_replicates = dishes.each_percent.len() > 1;
    let request = ExtractionYieldRequest {
        brew_kind: r.brew_kind,
        dose_g,
        beverage_mass_g: r.beverage_mass_g,
        water_mass_g: r.water_mass_g,
        tds_percent: (!has_replicates).then_some(dishes.solids_percent),
        tds_readings_percent: has_replicates.then(|| dishes.each_percent.clone()),
        tds_uncertainty_percent: weighing_points(dishes)?,
        dose_uncertainty_g: r.dose_uncertainty_g,
        dose_half_width_g: r.dose_half_width_g,
        beverage_mass_uncertainty_g: r.brew_mass_uncertainty_g,
        beverage_mass_half_width_g: r.brew_mass_half_width_g,
        coverage_probability: r.coverage_probability,
        workings: Some(true),
        ..ExtractionYieldRequest::default()
    };
    let answer = answer_of::<ExtractionYield>(&request, call);
    let answer = answer.map_err(|problem| at_dish(problem, r))?;
    let found = answer.result;
    Ok(Brewed {
        dose_g,
        yield_percent: found.extraction_yield_percent,
        corrected_percent: None,
        grounds_g: None,
        held_g: None,
        uncertainty: found.uncertainty.map(|found| DriedYieldUncertainty {
            standard_points: found.standard_points,
            expanded_points: found.expanded_points,
            coverage_factor: found.coverage_factor,
            coverage_probability: found.coverage_probability,
        }),
        derived: of_uncertainty(answer.provenance.workings.unwrap_or_default()),
    })
}

/// The steps to the uncertainty of the yield, by the name that it has here.
fn of_uncertainty(steps: Vec<WorkingStep>) -> Vec<WorkingStep> {
    let renamed = steps.into_iter().filter_map(|mut step| {
        let name = match step.step.strip_prefix("uncertainty.") {
            Some(rest) => format!("extraction_yield_uncertainty.{rest}"),
            None if step.step.ends_with(" contribution") => format!("{} to the yield", step.step),
            None => return None,
        };
        step.step = name.into();
        Some(step)
    });
    renamed.collect()
}

/// Standard uncertainty of the solids by what is stated of the weighings, points.
fn weighing_points(dishes: &Dishes<'_>) -> Result<Option<f64>, MathsError> {
    let spread_g = match dishes.spread() {
        (Some(standard), _) => standard,
        (None, Some(half_width)) => rectangular(half_width)?,
        (None, None) => return Ok(None),
    };
    let by = &dishes.by;
    let inputs = [by.by_tare, by.by_wet, by.by_dry].map(|sensitivity| Input {
        standard_uncertainty: spread_g,
        sensitivity: 100.0 * sensitivity,
        degrees_of_freedom: DegreesOfFreedom::INFINITE,
    });
    let combined = combined_uncertainty(&inputs, &Correlations::none())?;
    Ok(Some(combined.standard_uncertainty))
}

/// The strength of the inner request is the dry mass of this one.
fn at_dish(problem: Problem, request: &OvenDryingRequest) -> Problem {
    if problem.faults().is_empty() {
        return problem;
    }
    let dry = match request.dry_mass_g {
        Some(_) => "/dry_mass_g",
        None => "/dry_masses_g",
    };
    let faults = problem.faults().iter().map(|fault| {
        let mut fault = fault.clone();
        if fault.pointer.starts_with("/tds_uncertainty") {
            "/mass_uncertainty_g".clone_into(&mut fault.pointer);
        } else if fault.pointer.starts_with("/tds") {
            dry.clone_into(&mut fault.pointer);
        }
        fault
    });
    Problem::invalid(faults.collect())
}

/// What is missing in the spent grounds.
fn spent(dishes: &Dishes<'_>, dose_g: f64) -> Result<Brewed, Problem> {
    let r = dishes.request;
    let dose = Mass::from_grams(dose_g).at("dose_g")?;
    let grounds_g = grounds_g(dishes)?;
    let grounds = Mass::from_grams(grounds_g).at("spent_grounds_mass_g")?;
    let dry_part = MassFraction::from_percent(dishes.solids_percent)?;
    let volatile = r.coffee_moisture_percent.unwrap_or(0.0) + r.coffee_co2_percent.unwrap_or(0.0);
    let volatile = MassFraction::from_percent(volatile)?;
    let found = yield_of_spent_grounds(dose, volatile, grounds, dry_part)
        .map_err(|error| impossible(r, &error.to_string()))?;
    let held = r.tds_percent.map(|percent| {
        held_solids(grounds, dry_part, MassFraction::from_percent(percent)?).map(Mass::grams)
    });
    let held_g = held.transpose().at("tds_percent")?;
    let corrected = held_g.map(|held_g| found.extraction_yield.fraction() + held_g / dose_g);
    if corrected.is_some_and(|corrected| corrected > LARGEST_YIELD * (1.0 + 1e-12)) {
        return Err(impossible(
            r,
            "with the solids of the liquid held, the yield is above the 35 % that coffee gives",
        ));
    }
    let budget = spent_budget(dishes, &found)?;
    let steps = budget.iter().flat_map(|all| all.workings("uncertainty"));
    Ok(Brewed {
        dose_g,
        yield_percent: found.extraction_yield.percent(),
        corrected_percent: corrected.map(|corrected| 100.0 * corrected),
        grounds_g: Some(grounds_g),
        held_g,
        derived: of_uncertainty(steps.collect()),
        uncertainty: budget.as_ref().map(|budget| {
            let found = &budget.published;
            DriedYieldUncertainty {
                standard_points: found.standard_points,
                expanded_points: found.expanded_points,
                coverage_factor: found.coverage_factor,
                coverage_probability: found.coverage_probability,
            }
        }),
    })
}

/// All of the spent grounds: as given, or what one dish held.
fn grounds_g(dishes: &Dishes<'_>) -> Result<f64, Problem> {
    let fault = |code, detail| {
        Err(Problem::invalid(vec![Fault::new(
            "/spent_grounds_mass_g",
            code,
            detail,
        )]))
    };
    let held: f64 = dishes.wet.iter().sum::<f64>() - dishes.tare.iter().sum::<f64>();
    match (dishes.request.spent_grounds_mass_g, dishes.tare) {
        (Some(given), _) if given < held * (1.0 - 1e-12) => fault(
            FaultCode::Inconsistent,
            "the dishes held more than all of the spent grounds",
        ),
        (Some(given), _) => Ok(given),
        (None, [_]) => Ok(held),
        (None, _) => fault(
            FaultCode::Required,
            "several dishes held parts of the spent grounds: all of them have to be weighed, wet",
        ),
    }
}

fn impossible(request: &OvenDryingRequest, detail: &str) -> Problem {
    let dry = if request.dry_mass_g.is_some() {
        "dry_mass_g"
    } else {
        "dry_masses_g"
    };
    let fields = [
        Some("dose_g"),
        Some(dry),
        request.spent_grounds_mass_g.map(|_| "spent_grounds_mass_g"),
        request.tds_percent.map(|_| "tds_percent"),
    ];
    let fault = |field| Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail);
    Problem::invalid(fields.into_iter().flatten().map(fault).collect())
}

/// The uncertainty of the yield from spent grounds, before anything held is added.
fn spent_budget(dishes: &Dishes<'_>, found: &Extracted) -> Result<Option<Budget>, MathsError> {
    let r = dishes.request;
    let by = &found.sensitivities;
    let by_solids = by.strength;
    let mut terms = Vec::new();
    terms.extend(dishes.scatter()?.map(|scatter| {
        let spread = (scatter.standard_uncertainty, "%");
        Term::scatter(spread, by_solids, scatter.degrees_of_freedom)
    }));
    let through = |by_mass: f64| 100.0 * by_solids * by_mass;
    let (mut tare, mut wet) = (through(dishes.by.by_tare), through(dishes.by.by_wet));
    if r.spent_grounds_mass_g.is_none() {
        // the dish was all of the grounds: its weighings give their mass too
        wet += 100.0 * by.beverage;
        tare -= 100.0 * by.beverage;
    }
    terms.extend(dishes.weighings((tare, wet, through(dishes.by.by_dry)))?);
    let dose = (r.dose_uncertainty_g, r.dose_half_width_g);
    terms.extend(Term::stated(
        MeasuredInput::Dose,
        ("g", 100.0 * by.dose),
        dose,
    )?);
    let grounds = (r.brew_mass_uncertainty_g, r.brew_mass_half_width_g);
    let by_grounds = ("g", 100.0 * by.beverage);
    terms.extend(Term::stated(
        MeasuredInput::SpentGroundsMass,
        by_grounds,
        grounds,
    )?);
    Budget::of(terms, &[], r.coverage_probability)
}
