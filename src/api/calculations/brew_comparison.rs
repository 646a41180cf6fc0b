//! `brew-comparison`: whether two brews differ by more than their uncertainties.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::expanded::USUAL_COVERAGE;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::{Answer, Basis, WorkingStep, shown};
use crate::maths::MathsError;
use crate::maths::range::Range;
use crate::maths::uncertainty::DegreesOfFreedom;
use crate::maths::uncertainty::coverage::coverage_factor;
use crate::maths::uncertainty::difference::{Difference, Measured, difference};
use crate::maths::uncertainty::type_a::type_a;

/// A measured quantity of a brew.
const VALUE: Range = Range::new("measured value", -1e9, 1e9, "any, the same in both");
/// Its standard uncertainty.
const UNCERTAINTY: Range = Range::new("standard uncertainty", 0.0, 1e9, "as the value");
/// Probability that an expanded uncertainty may be asked to cover.
const COVERAGE: Range = Range::new("coverage probability", 0.5, 0.9999, "1");

/// Two brews of which the same quantity was measured, in the same unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BrewComparisonRequest {
    /// The first brew.
    pub first: MeasuredBrew,
    /// The second brew.
    pub second: MeasuredBrew,
    /// Probability that expanded uncertainties cover, 0.95 by default; the brews differ when
    /// less than the rest of it is left to chance.
    pub coverage_probability: Option<f64>,
    /// Smallest difference that matters to the caller, in the unit of the values.
    pub relevant_difference: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// What was measured of a brew: repeated readings, or a value with its standard uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MeasuredBrew {
    /// Two or more independent readings, such as the strengths of several cups.
    #[validate(length(min = 1, max = 1000))]
    pub readings: Option<Vec<f64>>,
    /// A value in place of readings, such as a yield.
    pub value: Option<f64>,
    /// Standard uncertainty of the value.
    pub standard_uncertainty: Option<f64>,
    /// Degrees of freedom of that uncertainty; infinite when left out.
    pub degrees_of_freedom: Option<f64>,
}

/// The difference and how sure it is.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BrewComparisonResponse {
    /// The first value, or the mean of its readings.
    pub first_value: f64,
    /// The second value, or the mean of its readings.
    pub second_value: f64,
    /// Second less first.
    pub difference: f64,
    /// Standard uncertainty of the difference.
    pub standard_uncertainty: f64,
    /// Expanded uncertainty of the difference.
    pub expanded_uncertainty: f64,
    /// Coverage factor of the expanded uncertainty.
    pub coverage_factor: f64,
    /// Probability that it covers.
    pub coverage_probability: f64,
    /// By Welch and Satterthwaite, not rounded; left out when infinite.
    pub effective_degrees_of_freedom: Option<f64>,
    /// Difference over its standard uncertainty (Welch's t); left out when that is zero.
    pub t: Option<f64>,
    /// Probability of a difference this large, either way, when the brews do not differ.
    pub p_value: Option<f64>,
    /// The number `E_n`: difference over the root of the summed squares of both expanded uncertainties; within
    /// −1 and 1 the two agree.
    pub normalised_error: Option<f64>,
    /// Whether the difference is larger than its expanded uncertainty.
    pub differ: bool,
    /// Whether it is larger than `relevant_difference` by its expanded uncertainty.
    pub differ_relevantly: Option<bool>,
}

/// The `brew-comparison` calculation.
#[derive(Debug)]
pub struct BrewComparison;

impl Calculation for BrewComparison {
    const NAME: &'static str = "brew-comparison";
    const SUMMARY: &'static str = "Whether two brews differ by more than their uncertainties";
    const DESCRIPTION: &'static str = "Compares one measured quantity of two brews, each given by repeated readings or by a \
        value with its standard uncertainty: the difference with its expanded uncertainty, Welch's t with effective degrees \
        of freedom, and the normalised error E_n. Values must be in one unit, which the answer shares. The two are taken as \
        independent: leave out of both what they share, such as the calibration of one refractometer.\n\n\
        Each brew needs either `readings` (two or more) or `value` with `standard_uncertainty`.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::Measured;
    const BOUNDS: &'static [Bound] = &[
        Bound::list("readings", VALUE, 1, 1000),
        Bound::new("value", VALUE),
        Bound::new("standard_uncertainty", UNCERTAINTY),
        Bound::new("degrees_of_freedom", DegreesOfFreedom::RANGE),
        Bound::new("coverage_probability", COVERAGE),
        Bound::new("relevant_difference", UNCERTAINTY),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("difference", 3),
        Headline::new("expanded_uncertainty", 3),
        Headline::new("normalised_error", 2),
        Headline::new("p_value", 3),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "brew-comparison",
            "lab-two-grinds",
            "Lab course: strengths of cups from two grinds, with workings"
        ),
        example!(
            "brew-comparison",
            "harbour-two-yields",
            "Two yields with their standard uncertainties"
        ),
    ];

    type Request = BrewComparisonRequest;
    type Response = BrewComparisonResponse;

    fn answer(
        request: &BrewComparisonRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<BrewComparisonResponse>, Problem> {
        let brews = [("/first", &request.first), ("/second", &request.second)];
        let faults: Vec<Fault> = brews
            .iter()
            .flat_map(|(at, brew)| brew.faults(at))
            .collect();
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let (first, second) = (request.first.measured()?, request.second.measured()?);
        let probability = request.coverage_probability.unwrap_or(USUAL_COVERAGE);
        let found = difference(first, second, probability)?;
        let expanded = found.coverage_factor * found.standard_uncertainty;
        let response = BrewComparisonResponse {
            first_value: first.value,
            second_value: second.value,
            difference: found.difference,
            standard_uncertainty: found.standard_uncertainty,
            expanded_uncertainty: expanded,
            coverage_factor: found.coverage_factor,
            coverage_probability: probability,
            effective_degrees_of_freedom: found.degrees_of_freedom.value(),
            t: found.t,
            p_value: found.p_value,
            normalised_error: found.normalised_error,
            differ: found.difference.abs() > expanded,
            differ_relevantly: request
                .relevant_difference
                .map(|relevant| found.difference.abs() - expanded > relevant),
        };
        let workings =
            (request.workings == Some(true)).then(|| steps(first, second, &found, probability));
        Ok(Answer::of::<Self>(response, &["jcgm2008", "iso13528"]).with_workings(workings))
    }
}

impl MeasuredBrew {
    fn faults(&self, at: &str) -> Vec<Fault> {
        let fault = |field: &str, code, detail: &str| {
            Fault::new(format!("{at}/{field}"), code, detail.to_owned())
        };
        let others = [
            ("value", self.value),
            ("standard_uncertainty", self.standard_uncertainty),
            ("degrees_of_freedom", self.degrees_of_freedom),
        ];
        let mut faults = Vec::new();
        if let Some(readings) = &self.readings {
            let beside = others.iter().filter(|(_, given)| given.is_some());
            let detail = "readings speak for themselves and exclude this";
            faults.extend(beside.map(|(field, _)| fault(field, FaultCode::Contradictory, detail)));
            if readings.len() < 2 {
                let detail = "one reading does not show a spread: give two, or its uncertainty";
                faults.push(fault("readings", FaultCode::Inconsistent, detail));
            }
            return faults;
        }
        let detail = "give `readings`, or a value with its standard uncertainty";
        let missing = others.iter().take(2).filter(|(_, given)| given.is_none());
        faults.extend(missing.map(|(field, _)| fault(field, FaultCode::Required, detail)));
        faults
    }

    fn measured(&self) -> Result<Measured, MathsError> {
        if let Some(readings) = &self.readings {
            let found = type_a(readings)?;
            return Ok(Measured {
                value: found.mean,
                standard_uncertainty: found.standard_uncertainty,
                degrees_of_freedom: found.degrees_of_freedom,
            });
        }
        Ok(Measured {
            // the faults above leave no such request
            value: self.value.unwrap_or(f64::NAN),
            standard_uncertainty: self.standard_uncertainty.unwrap_or(f64::NAN),
            degrees_of_freedom: match self.degrees_of_freedom {
                Some(degrees) => DegreesOfFreedom::finite(degrees)?,
                None => DegreesOfFreedom::INFINITE,
            },
        })
    }
}

fn step(name: &'static str, formula: &'static str, substituted: String, value: f64) -> WorkingStep {
    WorkingStep::new(name, (formula, "jcgm2008"), substituted, (value, "1"))
}

fn steps(
    first: Measured,
    second: Measured,
    found: &Difference,
    probability: f64,
) -> Vec<WorkingStep> {
    let (a, b) = (
        shown(first.standard_uncertainty),
        shown(second.standard_uncertainty),
    );
    let (d, u) = (shown(found.difference), shown(found.standard_uncertainty));
    let values = format!("{} − {}", shown(second.value), shown(first.value));
    let mut steps = vec![
        step("difference", "d = y₂ − y₁", values, found.difference),
        step(
            "standard_uncertainty",
            "u(d) = √(u₁² + u₂²)",
            format!("√({a}² + {b}²)"),
            found.standard_uncertainty,
        ),
    ];
    steps.extend(found.degrees_of_freedom.value().map(|degrees| {
        let formula = "ν = u⁴ / (u₁⁴ / ν₁ + u₂⁴ / ν₂)";
        let own = |one: Measured| one.degrees_of_freedom.value().map_or("∞".to_owned(), shown);
        let (v, w) = (own(first), own(second));
        let written = format!("{u}⁴ / ({a}⁴ / {v} + {b}⁴ / {w})");
        step("effective_degrees_of_freedom", formula, written, degrees)
    }));
    steps.push(factor(
        found.degrees_of_freedom,
        (probability, found.coverage_factor),
    ));
    steps.push(step(
        "expanded_uncertainty",
        "U(d) = k u(d)",
        format!("{} × {u}", shown(found.coverage_factor)),
        found.coverage_factor * found.standard_uncertainty,
    ));
    let t = found.t;
    steps.extend(t.map(|t| step("t", "t = d / u(d)", format!("{d} / {u}"), t)));
    steps.extend(chance(found));
    steps.extend(normalised(first, second, found, probability));
    steps
}

fn factor(degrees: DegreesOfFreedom, (probability, factor): (f64, f64)) -> WorkingStep {
    let p = shown(probability);
    let (formula, written) = match degrees.value() {
        Some(degrees) => (
            "k = t_p(⌊ν⌋), Student's t, two-sided",
            format!("p = {p}, ν = {}", shown(libm::floor(degrees))),
        ),
        None => ("k: normal distribution, two-sided", format!("p = {p}")),
    };
    step("coverage_factor", formula, written, factor)
}

fn chance(found: &Difference) -> Option<WorkingStep> {
    let (t, p) = (found.t?, found.p_value?);
    let (formula, written) = match found.degrees_of_freedom.value() {
        Some(degrees) => (
            "P(|Student's t| ≥ |t|)",
            format!("t = {}, ν = {}", shown(t), shown(degrees)),
        ),
        None => ("P(|normal| ≥ |t|)", format!("t = {}", shown(t))),
    };
    Some(step("p_value", formula, written, p))
}

/// The expanded uncertainty of each value is its own factor times its own uncertainty.
fn normalised(
    first: Measured,
    second: Measured,
    found: &Difference,
    probability: f64,
) -> Option<WorkingStep> {
    let expanded = |one: Measured| {
        let factor = coverage_factor(probability, one.degrees_of_freedom).ok()?;
        Some(shown(factor * one.standard_uncertainty))
    };
    let (a, b) = (expanded(first)?, expanded(second)?);
    let written = format!("{} / √({a}² + {b}²)", shown(found.difference));
    let formula = ("E_n = d / √(U₁² + U₂²), U = k u", "iso13528");
    let value = (found.normalised_error?, "1");
    Some(WorkingStep::new(
        "normalised_error",
        formula,
        written,
        value,
    ))
}
