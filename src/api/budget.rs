//! The uncertainty of what an instrument measured: what was stated and what replicates show,
//! combined after the GUM, with its budget and its derivation.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::expanded::{self, Expanded};
use super::provenance::WorkingStep;
use crate::maths::MathsError;
use crate::maths::range::Range;
use crate::maths::uncertainty::DegreesOfFreedom;
use crate::maths::uncertainty::combine::{Combined, Correlations, Input, combined_uncertainty};
use crate::maths::uncertainty::type_b::rectangular;

/// Probability that an expanded uncertainty may be asked to cover.
pub(crate) const COVERAGE: Range = Range::new("coverage probability", 0.5, 0.9999, "1");
/// Share of the variance from which one input dominates all others, %.
const DOMINATES_FROM_PERCENT: f64 = 50.0;

/// Uncertainty of a measured percentage, after JCGM 100 (the GUM), to first order with
/// independent inputs.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MeasuredUncertainty {
    /// Combined standard uncertainty.
    pub standard_points: f64,
    /// Expanded uncertainty: the coverage factor times the standard uncertainty.
    pub expanded_points: f64,
    /// From the normal distribution, or from Student's t at the effective degrees of freedom
    /// rounded down.
    pub coverage_factor: f64,
    /// Probability that the expanded uncertainty covers.
    pub coverage_probability: f64,
    /// By Welch and Satterthwaite, not rounded; left out when infinite.
    pub effective_degrees_of_freedom: Option<f64>,
    /// What each input adds.
    pub budget: Vec<MeasuredBudgetLine>,
    /// Inputs of this measurement for which no uncertainty was given: they are taken as exact.
    pub not_included: Vec<MeasuredInput>,
}

/// What one input adds to the uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MeasuredBudgetLine {
    /// The input.
    pub input: MeasuredInput,
    /// Its standard uncertainty, in `unit`.
    #[schema(extensions(("x-unit" = json!("as `unit` says"))))]
    pub standard_uncertainty: f64,
    /// Unit of the standard uncertainty.
    pub unit: Cow<'static, str>,
    /// Change of the result in percentage points for a change of the input by one `unit`.
    #[schema(extensions(("x-unit" = json!("percentage points per `unit`"))))]
    pub sensitivity: f64,
    /// Sensitivity times standard uncertainty, without its sign.
    pub contribution_points: f64,
    /// Part of the variance; all parts add up to 100.
    pub share_percent: f64,
}

/// An input whose uncertainty counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum MeasuredInput {
    /// Scatter of repeated readings, or of replicate dishes.
    Repeatability,
    /// What is stated of one reading and does not show in its scatter.
    Reading,
    /// The reading of water that the zero was checked with.
    ZeroCheck,
    /// The temperature of the sample.
    SampleTemperature,
    /// Coffee solids by percent on the sugar scale.
    SolidsPerBrix,
    /// The empty dish.
    TareMass,
    /// The dish with the wet sample.
    WetMass,
    /// The dish with the dry sample.
    DryMass,
    /// The dose.
    Dose,
    /// The whole of the spent grounds, wet.
    SpentGroundsMass,
}

impl MeasuredInput {
    const fn words(self) -> &'static str {
        match self {
            Self::Repeatability => "repeatability",
            Self::Reading => "reading",
            Self::ZeroCheck => "zero check",
            Self::SampleTemperature => "sample temperature",
            Self::SolidsPerBrix => "solids per Brix",
            Self::TareMass => "tare mass",
            Self::WetMass => "wet mass",
            Self::DryMass => "dry mass",
            Self::Dose => "dose",
            Self::SpentGroundsMass => "mass of the spent grounds",
        }
    }
}

/// An input with an uncertainty.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Term {
    input: MeasuredInput,
    unit: &'static str,
    value: Input,
    /// Half-width that the uncertainty comes from, when it does.
    half_width: Option<f64>,
}

impl Term {
    /// What replicates or earlier days showed.
    pub(crate) const fn scatter(
        (standard_uncertainty, unit): (f64, &'static str),
        sensitivity: f64,
        degrees_of_freedom: DegreesOfFreedom,
    ) -> Self {
        Self {
            input: MeasuredInput::Repeatability,
            unit,
            value: Input {
                standard_uncertainty,
                sensitivity,
                degrees_of_freedom,
            },
            half_width: None,
        }
    }

    /// What the caller stated: a standard uncertainty, or the half-width of a rectangle.
    pub(crate) fn stated(
        input: MeasuredInput,
        (unit, sensitivity): (&'static str, f64),
        (standard, half_width): (Option<f64>, Option<f64>),
    ) -> Result<Option<Self>, MathsError> {
        let standard_uncertainty = match (standard, half_width) {
            (Some(standard), _) => standard,
            (None, Some(half_width)) => rectangular(half_width)?,
            (None, None) => return Ok(None),
        };
        Ok(Some(Self {
            input,
            unit,
            value: Input {
                standard_uncertainty,
                sensitivity,
                degrees_of_freedom: DegreesOfFreedom::INFINITE,
            },
            half_width: half_width.filter(|_| standard.is_none()),
        }))
    }
}

/// The uncertainty, and what its derivation needs.
#[derive(Debug)]
pub(crate) struct Budget {
    terms: Vec<Term>,
    inputs: Vec<Input>,
    combined: Combined,
    expanded: Expanded,
    pub(crate) published: MeasuredUncertainty,
}

impl Budget {
    /// The terms combined; nothing when there is none. `used` are the inputs of the measurement,
    /// of which those without a term are listed as not included.
    pub(crate) fn of(
        terms: Vec<Term>,
        used: &[MeasuredInput],
        coverage_probability: Option<f64>,
    ) -> Result<Option<Self>, MathsError> {
        if terms.is_empty() {
            return Ok(None);
        }
        let inputs: Vec<Input> = terms.iter().map(|term| term.value).collect();
        let combined = combined_uncertainty(&inputs, &Correlations::none())?;
        let expanded = Expanded::of(&combined, coverage_probability)?;
        let has = |input| terms.iter().any(|term| term.input == input);
        let published = MeasuredUncertainty {
            standard_points: expanded.standard_points,
            expanded_points: expanded.expanded_points,
            coverage_factor: expanded.coverage_factor,
            coverage_probability: expanded.coverage_probability,
            effective_degrees_of_freedom: expanded.effective_degrees_of_freedom,
            budget: lines(&terms, &combined),
            not_included: used.iter().copied().filter(|input| !has(*input)).collect(),
        };
        Ok(Some(Self {
            terms,
            inputs,
            combined,
            expanded,
            published,
        }))
    }

    /// The input that makes up more than half of the variance, with its share in percent.
    pub(crate) fn dominating(&self) -> Option<(MeasuredInput, f64)> {
        let lines = self.published.budget.iter();
        lines
            .map(|line| (line.input, line.share_percent))
            .find(|(_, share)| *share > DOMINATES_FROM_PERCENT)
    }

    /// The derivation, as a student would hand it in; `name` is the field of the uncertainty.
    pub(crate) fn workings(&self, name: &str) -> Vec<WorkingStep> {
        let mut steps = Vec::new();
        for (term, part) in self.terms.iter().zip(expanded::sizes(&self.combined)) {
            let words = term.input.words();
            steps.extend(term.half_width.map(|half_width| {
                let standard = (term.value.standard_uncertainty, term.unit);
                expanded::from_half_width(words, half_width, standard, false)
            }));
            steps.push(expanded::contribution(words, &term.value, part));
        }
        let combined_from = (&self.inputs[..], &Correlations::none());
        steps.extend(self.expanded.workings(name, &self.combined, combined_from));
        steps
    }
}

fn lines(terms: &[Term], combined: &Combined) -> Vec<MeasuredBudgetLine> {
    let lines = terms.iter().zip(&combined.contributions);
    lines
        .map(|(term, part)| MeasuredBudgetLine {
            input: term.input,
            standard_uncertainty: term.value.standard_uncertainty,
            unit: Cow::Borrowed(term.unit),
            sensitivity: term.value.sensitivity,
            contribution_points: part.signed.abs(),
            share_percent: 100.0 * part.share,
        })
        .collect()
}
