//! What every answer carries besides its numbers: where they are from, what to mind, and, when
//! asked for, how they were worked out.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::calculation::Calculation;
use super::caution::Caution;

/// Version of the numbers: raised when any answer changes, listed in the changelog.
pub const MODEL_VERSION: &str = "1.0.0";

/// An answer: the result and its provenance, side by side in one object.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Answer<T> {
    /// What was asked for.
    #[serde(flatten)]
    pub result: T,
    /// Everything that [`Provenance`] lists.
    #[serde(flatten)]
    pub provenance: Provenance,
}

impl<T> Answer<T> {
    /// The result of a calculation and the ids of the sources that it rests on.
    pub fn of<C: Calculation<Response = T>>(result: T, sources: &[&'static str]) -> Self {
        Self {
            result,
            provenance: Provenance {
                basis: C::BASIS,
                sources: sources.iter().map(|id| Cow::Borrowed(*id)).collect(),
                model_version: Cow::Borrowed(MODEL_VERSION),
                cautions: Vec::new(),
                workings: None,
            },
        }
    }

    /// The same with things to mind.
    #[must_use]
    pub fn with_cautions(mut self, cautions: Vec<Caution>) -> Self {
        self.provenance.cautions = cautions;
        self
    }

    /// The same with the derivation, when the caller asked for it.
    #[must_use]
    pub fn with_workings(mut self, workings: Option<Vec<WorkingStep>>) -> Self {
        self.provenance.workings = workings;
        self
    }
}

/// Where an answer is from, what to mind, and how it was worked out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Provenance {
    /// What kind of truth the answer is; the weakest, where several are joined.
    pub basis: Basis,
    /// Ids of the formulas and tables used; `GET /v1/sources` is the bibliography.
    pub sources: Vec<Cow<'static, str>>,
    /// Version of the numbers; the same version gives the same answer to the same request.
    pub model_version: Cow<'static, str>,
    /// What to mind; left out when there is nothing.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Caution>,
    /// The derivation with the numbers put in; only when `workings` was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub workings: Option<Vec<WorkingStep>>,
}

/// What kind of truth an answer is, so that nobody takes a model for a measurement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Worked out of the caller's own readings, as good as they are.
    Measured,
    /// Computed from the formula or the table of a published source.
    PublishedFormula,
    /// Simulated by a model that is verified, as two independent programs agree on its
    /// solution, and not validated, as no raw experimental curve was compared with it.
    SimulatedUnvalidated,
    /// A rule of the trade, without a published source.
    CommonPractice,
}

impl Basis {
    /// The word in an answer.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::PublishedFormula => "published_formula",
            Self::SimulatedUnvalidated => "simulated_unvalidated",
            Self::CommonPractice => "common_practice",
        }
    }
}

/// One step of a derivation, as a student would hand it in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WorkingStep {
    /// What this step finds.
    pub step: Cow<'static, str>,
    /// The formula in symbols.
    pub formula: Cow<'static, str>,
    /// The formula with the numbers put in.
    pub substituted: String,
    /// The result of the step, not rounded.
    pub value: f64,
    /// Unit of the value.
    pub unit: Cow<'static, str>,
    /// Id of the formula's source.
    pub source: Cow<'static, str>,
}

impl WorkingStep {
    /// A step named `step` that gets `value` from a formula.
    #[must_use]
    pub fn new(
        step: &'static str,
        (formula, source): (&'static str, &'static str),
        substituted: String,
        (value, unit): (f64, &'static str),
    ) -> Self {
        Self {
            step: Cow::Borrowed(step),
            formula: Cow::Borrowed(formula),
            substituted,
            value,
            unit: Cow::Borrowed(unit),
            source: Cow::Borrowed(source),
        }
    }
}

/// A number as it reads in a derivation: at most eight significant digits, no trailing zeros.
#[must_use]
pub fn shown(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let magnitude = libm::floor(libm::log10(libm::fabs(value)));
    if !(-5.0..9.0).contains(&magnitude) {
        return format!("{value:e}");
    }
    // seven digits after the leading one, so never negative nor above twelve here
    let decimals = [7.0 - magnitude, 0.0].into_iter().fold(f64::MIN, f64::max);
    let text = format!(
        "{value:.*}",
        DECIMALS.iter().filter(|d| **d <= decimals).count() - 1
    );
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Numbers of decimals, to turn a float count into an index without a cast.
const DECIMALS: [f64; 13] = [
    0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0,
];

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn numbers_in_a_derivation_are_short_and_exact_enough() {
        assert_eq!(shown(18.0), "18");
        assert_eq!(shown(9.5), "9.5");
        assert_eq!(shown(1.0 / 3.0), "0.33333333");
        assert_eq!(shown(-1234.5678901), "-1234.5679");
        assert_eq!(shown(0.0), "0");
        assert_eq!(shown(101_325.0), "101325");
    }
}
