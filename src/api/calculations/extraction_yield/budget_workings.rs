//! The derivation of the uncertainty, as a student would hand it in.

use std::borrow::Cow;

use super::brew::{Brew, Weighed};
use super::request::{ExtractionYieldRequest, HalfWidthDistribution};
use super::uncertainty::{Found, Term, YieldInput, scatter};
use crate::api::expanded;
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::MathsError;

/// From the readings to the expanded uncertainty.
pub(super) fn of(brew: &Brew<'_>, found: &Found) -> Result<Vec<WorkingStep>, MathsError> {
    let mut steps = repeatability(brew)?;
    for (term, part) in found.terms.iter().zip(expanded::sizes(&found.combined)) {
        steps.extend(from_half_width(brew.request, term));
        steps.push(contribution(brew, term, part));
    }
    steps.extend(found.expanded.workings(
        "uncertainty",
        &found.combined,
        (&found.inputs, &found.correlations),
    ));
    Ok(steps)
}

/// Type A: the spread of the readings, and the uncertainty of their mean.
fn repeatability(brew: &Brew<'_>) -> Result<Vec<WorkingStep>, MathsError> {
    let Some(scatter) = scatter(brew.request, brew.tds_percent)? else {
        return Ok(Vec::new());
    };
    let readings = brew.request.tds_readings_percent.as_deref();
    let count = readings.map_or(1, <[f64]>::len);
    let mean = shown(brew.tds_percent);
    let mut steps = Vec::new();
    if let (None, Some([first, second, ..])) = (brew.request.tds_repeatability_percent, readings) {
        let square = |reading: f64| format!("({} − {mean})²", shown(reading));
        let rest = if count > 2 { " + …" } else { "" };
        steps.push(WorkingStep::new(
            "tds_standard_deviation_percent",
            ("s = √(Σ (tᵢ − t)² / (n − 1))", "jcgm2008"),
            format!(
                "√(({} + {}{rest}) / ({count} − 1))",
                square(*first),
                square(*second)
            ),
            (scatter.standard_deviation, "%"),
        ));
    }
    steps.push(WorkingStep::new(
        "tds_repeatability_standard_uncertainty_percent",
        ("u(t̄) = s / √n", "jcgm2008"),
        format!("{} / √{count}", shown(scatter.standard_deviation)),
        (scatter.standard_uncertainty, "%"),
    ));
    Ok(steps)
}

fn contribution(brew: &Brew<'_>, term: &Term, part: f64) -> WorkingStep {
    WorkingStep {
        formula: Cow::Owned(format!("|c| u, c = {}", sensitivity(brew, term.input))),
        ..expanded::contribution(words(term.input), &term.value, part)
    }
}

/// Type B: a half-width made a standard uncertainty.
fn from_half_width(request: &ExtractionYieldRequest, term: &Term) -> Option<WorkingStep> {
    let distribution = request.half_width_distribution.unwrap_or_default();
    Some(expanded::from_half_width(
        words(term.input),
        term.half_width?,
        (term.value.standard_uncertainty, term.unit),
        distribution == HalfWidthDistribution::Triangular,
    ))
}

const fn words(input: YieldInput) -> &'static str {
    match input {
        YieldInput::Dose => "dose",
        YieldInput::BeverageMass => "beverage mass",
        YieldInput::WaterMass => "water mass",
        YieldInput::BypassWater => "bypass water",
        YieldInput::TdsRepeatability => "repeatability of the strength",
        YieldInput::TdsCalibration => "calibration of the strength",
    }
}

/// The partial derivative in symbols; with bypass water in immersion it is that of the whole.
fn sensitivity(brew: &Brew<'_>, input: YieldInput) -> &'static str {
    let is_diluted = brew.bypass_g > 0.0;
    match (brew.is_immersion(), input) {
        (_, YieldInput::Dose) => "∂E/∂D = −E / D",
        (_, YieldInput::WaterMass) => "∂E/∂W",
        (false, YieldInput::BeverageMass) => "∂E/∂B = t / D",
        (true, YieldInput::BeverageMass) => "∂E/∂B",
        (false, YieldInput::BypassWater) if matches!(brew.weighed, Some(Weighed::Before(_))) => {
            "∂E/∂V = t / D"
        }
        (_, YieldInput::BypassWater) => "∂E/∂V",
        (false, YieldInput::TdsRepeatability | YieldInput::TdsCalibration) => match brew.weighed {
            Some(Weighed::After(_)) => "∂E/∂t = F / D",
            _ if is_diluted => "∂E/∂t = (B + V) / D",
            _ => "∂E/∂t = B / D",
        },
        (true, YieldInput::TdsRepeatability | YieldInput::TdsCalibration) if is_diluted => "∂E/∂t",
        (true, YieldInput::TdsRepeatability | YieldInput::TdsCalibration) => {
            "∂E/∂t = (W / D) / (1 − t / 100)²"
        }
    }
}
