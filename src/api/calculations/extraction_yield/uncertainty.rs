//! The uncertainty of the yield: what was stated and what repeated readings show, combined
//! after the GUM.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::brew::{Brew, Weighed};
use super::monte_carlo::YieldMonteCarlo;
use super::request::{ExtractionYieldRequest, HalfWidthDistribution};
use super::shared_scale;
use crate::api::expanded::Expanded;
use crate::api::problem::Problem;
use crate::maths::MathsError;
use crate::maths::uncertainty::DegreesOfFreedom;
use crate::maths::uncertainty::combine::{Combined, Input, combined_uncertainty};
use crate::maths::uncertainty::correlations::Correlations;
use crate::maths::uncertainty::type_a::{Repeatability, TypeA, type_a, with_known_repeatability};
use crate::maths::uncertainty::type_b::{rectangular, triangular};
use crate::maths::uncertainty::welch_satterthwaite::effective_degrees_of_freedom;

/// Uncertainty of the yield of the dose as weighed, after JCGM 100 (the GUM), to first order.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct YieldUncertainty {
    /// Combined standard uncertainty of the yield.
    pub standard_points: f64,
    /// Expanded uncertainty: the coverage factor times the standard uncertainty.
    pub expanded_points: f64,
    /// From the normal distribution, or from Student's t at the effective degrees of freedom
    /// rounded down.
    pub coverage_factor: f64,
    /// Probability that the expanded uncertainty covers.
    pub coverage_probability: f64,
    /// By Welch and Satterthwaite, not rounded; left out when infinite or inputs are correlated.
    pub effective_degrees_of_freedom: Option<f64>,
    /// What each input adds.
    pub budget: Vec<BudgetLine>,
    /// Inputs of this brew for which no uncertainty was given: they are taken as exact.
    pub not_included: Vec<YieldInput>,
    /// The distribution of the yield by trials; only when `method` asks for it.
    pub monte_carlo: Option<YieldMonteCarlo>,
}

/// What one input adds to the uncertainty of the yield.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BudgetLine {
    /// The input.
    pub input: YieldInput,
    /// Its standard uncertainty, in `unit`.
    #[schema(extensions(("x-unit" = json!("as `unit` says"))))]
    pub standard_uncertainty: f64,
    /// Unit of the standard uncertainty: `g` or `%`.
    pub unit: Cow<'static, str>,
    /// Change of the yield in percentage points for a change of the input by one `unit`.
    #[schema(extensions(("x-unit" = json!("percentage points per `unit`"))))]
    pub sensitivity: f64,
    /// Sensitivity times standard uncertainty, without its sign.
    pub contribution_points: f64,
    /// Part of the variance of the yield; all parts add up to 100. What two correlated inputs
    /// share is halved between them, so that a part may be negative.
    pub share_percent: f64,
}

/// An input whose uncertainty counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum YieldInput {
    /// The dose.
    Dose,
    /// The beverage mass, before or after bypass water, as given.
    BeverageMass,
    /// The brew water.
    WaterMass,
    /// The bypass water.
    BypassWater,
    /// Scatter of the strength: from the readings, or from a pooled repeatability.
    TdsRepeatability,
    /// What is stated of the strength and does not show in its scatter.
    TdsCalibration,
}

/// The uncertainty, and what the assessment and the workings need of it.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) terms: Vec<Term>,
    pub(super) inputs: Vec<Input>,
    pub(super) correlations: Correlations,
    pub(super) combined: Combined,
    pub(super) expanded: Expanded,
    pub(super) published: YieldUncertainty,
}

/// An input with an uncertainty.
#[derive(Debug, Clone, Copy)]
pub(super) struct Term {
    pub(super) input: YieldInput,
    pub(super) unit: &'static str,
    pub(super) value: Input,
    /// Half-width that the uncertainty comes from, when it does.
    pub(super) half_width: Option<f64>,
}

/// The uncertainty, unless none was given and none shows.
pub(super) fn of(brew: &Brew<'_>) -> Result<Option<Found>, Problem> {
    let slots = terms(brew)?;
    if slots.iter().all(Option::is_none) {
        return Ok(None);
    }
    let terms: Vec<Term> = slots.into_iter().flatten().collect();
    let inputs: Vec<Input> = terms.iter().map(|term| term.value).collect();
    let correlations = shared_scale::of(brew.request, &terms)?;
    let combined = combined_uncertainty(&inputs, &correlations)?;
    let expanded = Expanded::of(&combined, brew.request.coverage_probability)?;
    let published = YieldUncertainty {
        standard_points: expanded.standard_points,
        expanded_points: expanded.expanded_points,
        coverage_factor: expanded.coverage_factor,
        coverage_probability: expanded.coverage_probability,
        effective_degrees_of_freedom: expanded.effective_degrees_of_freedom,
        budget: budget(&terms, &combined),
        not_included: not_included(brew, &terms),
        monte_carlo: None,
    };
    Ok(Some(Found {
        terms,
        inputs,
        correlations,
        combined,
        expanded,
        published,
    }))
}

impl Found {
    /// Standard uncertainty of the strength in percent, and how well it is known.
    pub(super) fn of_strength(&self) -> Result<(f64, DegreesOfFreedom), MathsError> {
        let mut variance = 0.0;
        let mut parts = Vec::with_capacity(2);
        for term in self.terms.iter().filter(|term| term.is_of_strength()) {
            let spread = term.value.standard_uncertainty;
            variance += spread * spread;
            parts.push((spread, term.value.degrees_of_freedom));
        }
        Ok((variance.sqrt(), effective_degrees_of_freedom(&parts)?))
    }

    /// Standard uncertainty of the yield from everything but the strength, points.
    pub(super) fn of_masses_points(&self) -> f64 {
        let lines = self.terms.iter().zip(&self.combined.contributions);
        let masses = lines.filter(|(term, _)| !term.is_of_strength());
        let variance: f64 = masses.map(|(_, part)| part.signed * part.signed).sum();
        (variance + self.shared_variance()).max(0.0).sqrt()
    }

    /// Whether correlations hide that few readings stand behind an uncertainty.
    pub(super) fn has_lost_degrees_of_freedom(&self) -> bool {
        let is_finite = |term: &Term| term.value.degrees_of_freedom.value().is_some();
        !self.correlations.are_none() && self.terms.iter().any(is_finite)
    }

    /// What correlated inputs add to the variance of the yield; only masses are correlated.
    fn shared_variance(&self) -> f64 {
        let part = |place: usize| self.combined.contributions[place].signed;
        let pairs = self.correlations.pairs().iter();
        pairs
            .map(|&(one, other, r)| 2.0 * r * part(one) * part(other))
            .sum()
    }
}

impl Term {
    fn is_of_strength(&self) -> bool {
        matches!(
            self.input,
            YieldInput::TdsRepeatability | YieldInput::TdsCalibration
        )
    }
}

/// Scatter of the strength: the pooled one when given, otherwise that of two or more readings.
pub(super) fn scatter(
    request: &ExtractionYieldRequest,
    tds_percent: f64,
) -> Result<Option<TypeA>, MathsError> {
    let one = [tds_percent];
    let readings = request.tds_readings_percent.as_deref().unwrap_or(&one);
    match (
        request.tds_repeatability_percent,
        request.tds_repeatability_degrees_of_freedom,
    ) {
        (Some(standard_deviation), Some(degrees)) => {
            let known = Repeatability {
                standard_deviation,
                degrees_of_freedom: DegreesOfFreedom::finite(degrees)?,
            };
            with_known_repeatability(readings, known).map(Some)
        }
        _ if readings.len() > 1 => type_a(readings).map(Some),
        _ => Ok(None),
    }
}

/// The inputs that have an uncertainty, masses first.
fn terms(brew: &Brew<'_>) -> Result<[Option<Term>; 6], MathsError> {
    let (r, by) = (brew.request, &brew.extracted.sensitivities);
    let mass = |input, sensitivity: f64, spread: Spread| {
        // the yield is in percentage points, its sensitivity to a mass a fraction per gram
        stated(r, (input, "g", 100.0 * sensitivity), spread)
    };
    let dose = (r.dose_uncertainty_g, r.dose_half_width_g);
    let beverage = (r.beverage_mass_uncertainty_g, r.beverage_mass_half_width_g);
    let water = (r.water_mass_uncertainty_g, r.water_mass_half_width_g);
    let bypass = (r.bypass_water_uncertainty_g, r.bypass_water_half_width_g);
    let tds = (r.tds_uncertainty_percent, r.tds_half_width_percent);
    Ok([
        mass(YieldInput::Dose, by.dose, dose)?,
        mass(YieldInput::BeverageMass, by.beverage, beverage)?,
        mass(YieldInput::WaterMass, by.water, water)?,
        mass(YieldInput::BypassWater, by.bypass, bypass)?,
        scatter(r, brew.tds_percent)?.map(|scatter| Term {
            input: YieldInput::TdsRepeatability,
            unit: "%",
            value: Input {
                standard_uncertainty: scatter.standard_uncertainty,
                sensitivity: by.strength,
                degrees_of_freedom: scatter.degrees_of_freedom,
            },
            half_width: None,
        }),
        stated(r, (YieldInput::TdsCalibration, "%", by.strength), tds)?,
    ])
}

/// A standard uncertainty, or the half-width of a distribution.
type Spread = (Option<f64>, Option<f64>);

/// A type B term, from what the caller stated.
fn stated(
    request: &ExtractionYieldRequest,
    (input, unit, sensitivity): (YieldInput, &'static str, f64),
    spread: Spread,
) -> Result<Option<Term>, MathsError> {
    let standard_uncertainty = match spread {
        (Some(standard), _) => standard,
        (None, Some(half_width)) => match request.half_width_distribution.unwrap_or_default() {
            HalfWidthDistribution::Rectangular => rectangular(half_width)?,
            HalfWidthDistribution::Triangular => triangular(half_width)?,
        },
        (None, None) => return Ok(None),
    };
    Ok(Some(Term {
        input,
        unit,
        value: Input {
            standard_uncertainty,
            sensitivity,
            degrees_of_freedom: DegreesOfFreedom::INFINITE,
        },
        half_width: spread.1,
    }))
}

fn budget(terms: &[Term], combined: &Combined) -> Vec<BudgetLine> {
    let lines = terms.iter().zip(&combined.contributions);
    lines
        .map(|(term, part)| BudgetLine {
            input: term.input,
            standard_uncertainty: term.value.standard_uncertainty,
            unit: Cow::Borrowed(term.unit),
            sensitivity: term.value.sensitivity,
            contribution_points: part.signed.abs(),
            share_percent: 100.0 * part.share,
        })
        .collect()
}

/// The inputs that this brew's yield depends on and that have no uncertainty.
fn not_included(brew: &Brew<'_>, terms: &[Term]) -> Vec<YieldInput> {
    let has = |input| terms.iter().any(|term| term.input == input);
    let is_diluted = brew.bypass_g > 0.0;
    let is_weighed_after = matches!(brew.weighed, Some(Weighed::After(_)));
    // the stated uncertainty of a single value is taken as all that is known of it
    let is_scatter_open =
        brew.request.tds_readings_percent.is_some() || !has(YieldInput::TdsCalibration);
    [
        (YieldInput::Dose, true),
        (YieldInput::BeverageMass, !brew.is_immersion() || is_diluted),
        (YieldInput::WaterMass, brew.is_immersion()),
        (
            YieldInput::BypassWater,
            is_diluted && (brew.is_immersion() || !is_weighed_after),
        ),
        (YieldInput::TdsRepeatability, is_scatter_open),
        (YieldInput::TdsCalibration, true),
    ]
    .into_iter()
    .filter(|(input, is_used)| *is_used && !has(*input))
    .map(|(input, _)| input)
    .collect()
}
