//! The derivation of the uncertainty, as a student would hand it in.

use std::borrow::Cow;

use super::brew::{Brew, Weighed};
use super::request::{ExtractionYieldRequest, HalfWidthDistribution};
use super::uncertainty::{Found, Term, YieldInput, scatter};
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::MathsError;

/// From the readings to the expanded uncertainty.
pub(super) fn of(brew: &Brew<'_>, found: &Found) -> Result<Vec<WorkingStep>, MathsError> {
    let mut steps = repeatability(brew)?;
    for (term, part) in found.terms.iter().zip(parts(found)) {
        steps.extend(from_half_width(brew.request, term));
        steps.push(contribution(brew, term, part));
    }
    steps.extend(combination(found));
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

/// Type B: a half-width made a standard uncertainty.
fn from_half_width(request: &ExtractionYieldRequest, term: &Term) -> Option<WorkingStep> {
    let half_width = term.half_width?;
    let (formula, root) = match request.half_width_distribution.unwrap_or_default() {
        HalfWidthDistribution::Rectangular => ("u = a / √3", "√3"),
        HalfWidthDistribution::Triangular => ("u = a / √6", "√6"),
    };
    Some(WorkingStep {
        step: Cow::Owned(format!("{} standard uncertainty", words(term.input))),
        ..WorkingStep::new(
            "",
            (formula, "jcgm2008"),
            format!("{} / {root}", shown(half_width)),
            (term.value.standard_uncertainty, term.unit),
        )
    })
}

fn contribution(brew: &Brew<'_>, term: &Term, part: f64) -> WorkingStep {
    WorkingStep {
        step: Cow::Owned(format!("{} contribution", words(term.input))),
        formula: Cow::Owned(format!("|c| u, c = {}", sensitivity(brew, term.input))),
        ..WorkingStep::new(
            "",
            ("", "jcgm2008"),
            format!(
                "{} × {}",
                shown(term.value.sensitivity.abs()),
                shown(term.value.standard_uncertainty)
            ),
            (part, "percentage points"),
        )
    }
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

fn combination(found: &Found) -> Vec<WorkingStep> {
    let published = &found.published;
    let squares: Vec<_> = parts(found)
        .map(|part| format!("{}²", shown(part)))
        .collect();
    let shared: Vec<_> = shared(found).collect();
    let formula = if shared.is_empty() {
        "u_c = √(Σ (cᵢ uᵢ)²)"
    } else {
        "u_c = √(Σ (cᵢ uᵢ)² + 2 Σ rᵢⱼ (cᵢ uᵢ) (cⱼ uⱼ))"
    };
    let combined = WorkingStep::new(
        "uncertainty.standard_points",
        (formula, "jcgm2008"),
        format!("√({}{})", squares.join(" + "), shared.concat()),
        (published.standard_points, "percentage points"),
    );
    let expanded = WorkingStep::new(
        "uncertainty.expanded_points",
        ("U = k u_c", "jcgm2008"),
        format!(
            "{} × {}",
            shown(published.coverage_factor),
            shown(published.standard_points)
        ),
        (published.expanded_points, "percentage points"),
    );
    let mut steps = vec![combined];
    steps.extend(effective(found));
    steps.push(factor(found));
    steps.push(expanded);
    steps
}

/// The covariances, written out with the signs of their sensitivities.
fn shared(found: &Found) -> impl Iterator<Item = String> {
    let part = |place: usize| shown(found.combined.contributions[place].signed);
    let pairs = found.correlations.pairs().iter();
    let given = pairs.filter(|(_, _, coefficient)| *coefficient != 0.0);
    given.map(move |&(one, other, coefficient)| {
        let r = shown(coefficient);
        format!(" + 2 × ({r}) × ({}) × ({})", part(one), part(other))
    })
}

/// Sizes of the contributions, in the order of the budget.
fn parts(found: &Found) -> impl Iterator<Item = f64> {
    let contributions = found.combined.contributions.iter();
    contributions.map(|part| part.signed.abs())
}

/// Welch and Satterthwaite, when any input has finite degrees of freedom.
fn effective(found: &Found) -> Option<WorkingStep> {
    let degrees = found.published.effective_degrees_of_freedom?;
    let finite = found.terms.iter().zip(parts(found));
    let finite = finite.filter_map(|(term, part)| {
        let own = term.value.degrees_of_freedom.value()?;
        Some(format!("{}⁴ / {}", shown(part), shown(own)))
    });
    let finite: Vec<_> = finite.collect();
    Some(WorkingStep::new(
        "uncertainty.effective_degrees_of_freedom",
        ("ν_eff = u_c⁴ / Σ ((cᵢ uᵢ)⁴ / νᵢ)", "jcgm2008"),
        format!(
            "{}⁴ / ({})",
            shown(found.published.standard_points),
            finite.join(" + ")
        ),
        (degrees, "1"),
    ))
}

fn factor(found: &Found) -> WorkingStep {
    let published = &found.published;
    let probability = format!("p = {}", shown(published.coverage_probability));
    let (formula, substituted) = match published.effective_degrees_of_freedom {
        None => ("k: normal distribution, two-sided", probability),
        Some(degrees) => (
            "k = t_p(⌊ν_eff⌋), Student's t, two-sided",
            format!("{probability}, ν = {}", shown(degrees.floor())),
        ),
    };
    WorkingStep::new(
        "uncertainty.coverage_factor",
        (formula, "jcgm2008"),
        substituted,
        (published.coverage_factor, "1"),
    )
}
