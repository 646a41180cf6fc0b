//! From the contributions of inputs to an expanded uncertainty, and the derivation of that, as a
//! student would hand it in.

use super::provenance::{WorkingStep, shown};
use crate::maths::MathsError;
use crate::maths::uncertainty::DegreesOfFreedom;
use crate::maths::uncertainty::combine::{Combined, Input};
use crate::maths::uncertainty::correlations::Correlations;
use crate::maths::uncertainty::coverage::coverage_factor;

/// Probability covered when none is asked for.
pub(crate) const USUAL_COVERAGE: f64 = 0.95;

/// An uncertainty in percentage points with its coverage, after the GUM.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Expanded {
    pub(crate) standard_points: f64,
    pub(crate) expanded_points: f64,
    pub(crate) coverage_factor: f64,
    pub(crate) coverage_probability: f64,
    /// Nothing when infinite, or when inputs are correlated.
    pub(crate) effective_degrees_of_freedom: Option<f64>,
}

impl Expanded {
    /// A combined uncertainty expanded to cover a probability, the usual one when none is named.
    pub(crate) fn of(combined: &Combined, probability: Option<f64>) -> Result<Self, MathsError> {
        let effective = combined
            .effective_degrees_of_freedom
            .unwrap_or(DegreesOfFreedom::INFINITE);
        let coverage_probability = probability.unwrap_or(USUAL_COVERAGE);
        let coverage_factor = coverage_factor(coverage_probability, effective)?;
        Ok(Self {
            standard_points: combined.standard_uncertainty,
            expanded_points: coverage_factor * combined.standard_uncertainty,
            coverage_factor,
            coverage_probability,
            effective_degrees_of_freedom: effective.value(),
        })
    }

    /// The steps from the contributions on; `name` is the field of the uncertainty, `inputs` are
    /// those that were combined, in their order.
    pub(crate) fn workings(
        &self,
        name: &str,
        combined: &Combined,
        (inputs, correlations): (&[Input], &Correlations),
    ) -> Vec<WorkingStep> {
        let mut steps = vec![self.combination(combined, correlations)];
        steps.extend(self.effective(combined, inputs));
        steps.push(self.factor());
        steps.push(self.expansion());
        for step in &mut steps {
            step.step = format!("{name}.{}", step.step).into();
        }
        steps
    }

    fn combination(&self, combined: &Combined, correlations: &Correlations) -> WorkingStep {
        let squares: Vec<_> = sizes(combined)
            .map(|part| format!("{}²", shown(part)))
            .collect();
        let shared: Vec<_> = covariances(combined, correlations).collect();
        let formula = if shared.is_empty() {
            "u_c = √(Σ (cᵢ uᵢ)²)"
        } else {
            "u_c = √(Σ (cᵢ uᵢ)² + 2 Σ rᵢⱼ (cᵢ uᵢ) (cⱼ uⱼ))"
        };
        WorkingStep::new(
            "standard_points",
            (formula, "jcgm2008"),
            format!("√({}{})", squares.join(" + "), shared.concat()),
            (self.standard_points, "percentage points"),
        )
    }

    /// Welch and Satterthwaite, when any input has finite degrees of freedom.
    fn effective(&self, combined: &Combined, inputs: &[Input]) -> Option<WorkingStep> {
        let degrees = self.effective_degrees_of_freedom?;
        let finite = inputs.iter().zip(sizes(combined));
        let finite = finite.filter_map(|(input, part)| {
            let own = input.degrees_of_freedom.value()?;
            Some(format!("{}⁴ / {}", shown(part), shown(own)))
        });
        let finite: Vec<_> = finite.collect();
        Some(WorkingStep::new(
            "effective_degrees_of_freedom",
            ("ν_eff = u_c⁴ / Σ ((cᵢ uᵢ)⁴ / νᵢ)", "jcgm2008"),
            format!(
                "{}⁴ / ({})",
                shown(self.standard_points),
                finite.join(" + ")
            ),
            (degrees, "1"),
        ))
    }

    fn factor(&self) -> WorkingStep {
        let probability = format!("p = {}", shown(self.coverage_probability));
        let (formula, substituted) = match self.effective_degrees_of_freedom {
            None => ("k: normal distribution, two-sided", probability),
            Some(degrees) => (
                "k = t_p(⌊ν_eff⌋), Student's t, two-sided",
                format!("{probability}, ν = {}", shown(degrees.floor())),
            ),
        };
        WorkingStep::new(
            "coverage_factor",
            (formula, "jcgm2008"),
            substituted,
            (self.coverage_factor, "1"),
        )
    }

    fn expansion(&self) -> WorkingStep {
        WorkingStep::new(
            "expanded_points",
            ("U = k u_c", "jcgm2008"),
            format!(
                "{} × {}",
                shown(self.coverage_factor),
                shown(self.standard_points)
            ),
            (self.expanded_points, "percentage points"),
        )
    }
}

/// The contribution of one input, before they are combined; `of` names the input.
pub(crate) fn contribution(of: &str, input: &Input, part: f64) -> WorkingStep {
    WorkingStep {
        step: format!("{of} contribution").into(),
        ..WorkingStep::new(
            "",
            ("|c| u", "jcgm2008"),
            format!(
                "{} × {}",
                shown(input.sensitivity.abs()),
                shown(input.standard_uncertainty)
            ),
            (part, "percentage points"),
        )
    }
}

/// A half-width made a standard uncertainty: by the root of 3 for a rectangle, of 6 for a
/// triangle.
pub(crate) fn from_half_width(
    of: &str,
    half_width: f64,
    (standard_uncertainty, unit): (f64, &'static str),
    is_triangle: bool,
) -> WorkingStep {
    let (formula, root) = if is_triangle {
        ("u = a / √6", "√6")
    } else {
        ("u = a / √3", "√3")
    };
    WorkingStep {
        step: format!("{of} standard uncertainty").into(),
        ..WorkingStep::new(
            "",
            (formula, "jcgm2008"),
            format!("{} / {root}", shown(half_width)),
            (standard_uncertainty, unit),
        )
    }
}

/// Sizes of the contributions, in the order of the inputs.
pub(crate) fn sizes(combined: &Combined) -> impl Iterator<Item = f64> {
    let contributions = combined.contributions.iter();
    contributions.map(|part| part.signed.abs())
}

/// The covariances, written out with the signs of their sensitivities.
fn covariances(combined: &Combined, correlations: &Correlations) -> impl Iterator<Item = String> {
    let part = |place: usize| shown(combined.contributions[place].signed);
    let pairs = correlations.pairs().iter();
    let given = pairs.filter(|(_, _, coefficient)| *coefficient != 0.0);
    given.map(move |&(one, other, coefficient)| {
        let r = shown(coefficient);
        format!(" + 2 × ({r}) × ({}) × ({})", part(one), part(other))
    })
}
