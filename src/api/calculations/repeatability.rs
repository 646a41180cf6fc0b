//! `repeatability`: how much readings scatter within operators or days, and between them.

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
use crate::maths::uncertainty::coverage::coverage_factor;
use crate::maths::uncertainty::variance_components::{VarianceComponents, variance_components};

/// A reading in the caller's unit.
const READING: Range = Range::new("reading", -1e9, 1e9, "any, the same in all");
/// Chance below which a difference between groups counts as one.
const SIGNIFICANCE: Range = Range::new("significance level", 0.0001, 0.5, "1");
/// Probability that a limit may be asked to cover.
const COVERAGE: Range = Range::new("coverage probability", 0.5, 0.9999, "1");
/// The level when none is asked for.
const USUAL_SIGNIFICANCE: f64 = 0.05;

/// Readings of one quantity, grouped by who took them or when.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RepeatabilityRequest {
    /// The groups: an operator or a day each.
    #[validate(length(min = 2, max = 200))]
    #[schema(min_items = 2, max_items = 200)]
    pub groups: Vec<ReadingGroup>,
    /// Chance of a ratio this large below which the groups differ, 0.05 by default.
    pub significance: Option<f64>,
    /// Probability of the repeatability limit, 0.95 by default.
    pub coverage_probability: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Readings taken under the same conditions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReadingGroup {
    /// What the group is called.
    pub label: Option<String>,
    /// Its readings.
    #[validate(length(min = 1, max = 200))]
    pub readings: Vec<f64>,
}

/// Where the scatter is from; standard deviations in the unit of the readings.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RepeatabilityResponse {
    /// Mean of all readings.
    pub mean: f64,
    /// Standard uncertainty of that mean, from the scatter of the group means when the groups
    /// differ and from all readings otherwise.
    pub mean_standard_uncertainty: f64,
    /// Degrees of freedom of that uncertainty.
    pub mean_degrees_of_freedom: f64,
    /// Standard deviation of one reading under the same conditions: what `extraction-yield` takes
    /// as `tds_repeatability_percent` when the readings are strengths.
    pub repeatability: f64,
    /// Its degrees of freedom.
    pub repeatability_degrees_of_freedom: f64,
    /// What two readings under the same conditions differ by at most, with the coverage
    /// probability.
    pub repeatability_limit: f64,
    /// Standard deviation of the groups' own values; zero when their means scatter no more than
    /// the readings within them explain.
    pub between_groups: f64,
    /// Degrees of freedom between the groups.
    pub between_groups_degrees_of_freedom: f64,
    /// Standard deviation of one reading by any operator on any day.
    pub intermediate_precision: f64,
    /// Mean square between the groups over that within; left out when nothing varies within.
    pub f_ratio: Option<f64>,
    /// Probability of a ratio this large when the groups do not differ.
    pub p_value: Option<f64>,
    /// Whether that is below the significance; left out with it.
    pub groups_differ: Option<bool>,
}

/// The `repeatability` calculation.
#[derive(Debug)]
pub struct RepeatabilityStudy;

impl Calculation for RepeatabilityStudy {
    const NAME: &'static str = "repeatability";
    const SUMMARY: &'static str = "Scatter of readings within operators or days, and between them";
    const DESCRIPTION: &'static str = "One-way analysis of variance of readings of one quantity on one sample, grouped by \
        operator, day or instrument: the repeatability, the standard deviation of the groups' own values, the intermediate \
        precision that both make, and whether the groups differ (F test). Readings are in any one unit, which the answer \
        shares. At least two groups, and one of them with two readings.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::Measured;
    const BOUNDS: &'static [Bound] = &[
        Bound::list("readings", READING, 1, 200),
        Bound::new("significance", SIGNIFICANCE),
        Bound::new("coverage_probability", COVERAGE),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("repeatability", 3),
        Headline::new("between_groups", 3),
        Headline::new("intermediate_precision", 3),
        Headline::new("p_value", 3),
    ];
    const EXAMPLES: &'static [Example] = &[example!(
        "repeatability",
        "lab-three-operators",
        "Lab course: one brew read by three operators, with workings"
    )];

    type Request = RepeatabilityRequest;
    type Response = RepeatabilityResponse;

    fn answer(
        request: &RepeatabilityRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<RepeatabilityResponse>, Problem> {
        let groups: Vec<&[f64]> = request
            .groups
            .iter()
            .map(|g| g.readings.as_slice())
            .collect();
        if groups.iter().all(|readings| readings.len() < 2) {
            let detail =
                "one reading in each group shows no repeatability: give two in one of them";
            let fault = Fault::new("/groups", FaultCode::Inconsistent, detail);
            return Err(Problem::invalid(vec![fault]));
        }
        let found = variance_components(&groups)?;
        let response = response(request, &found)?;
        let workings = (request.workings == Some(true)).then(|| steps(&found, &response, &groups));
        Ok(Answer::of::<Self>(response, &["jcgm2008", "iso5725"]).with_workings(workings))
    }
}

fn response(
    request: &RepeatabilityRequest,
    found: &VarianceComponents,
) -> Result<RepeatabilityResponse, MathsError> {
    let probability = request.coverage_probability.unwrap_or(USUAL_COVERAGE);
    let factor = coverage_factor(probability, found.within_degrees)?;
    let [within, between] = degrees(found);
    let level = request.significance.unwrap_or(USUAL_SIGNIFICANCE);
    let groups_differ = found.p_value.map(|p| p < level);
    let readings = within + between + 1.0;
    // without a spread inside, all that varies is between
    let (mean_square, degrees) = if groups_differ.unwrap_or(true) {
        (found.between, between)
    } else {
        let squares = within * found.within + between * found.between;
        (squares / (within + between), within + between)
    };
    Ok(RepeatabilityResponse {
        mean: found.mean,
        mean_standard_uncertainty: (mean_square / readings).sqrt(),
        mean_degrees_of_freedom: degrees,
        repeatability: found.within.sqrt(),
        repeatability_degrees_of_freedom: within,
        repeatability_limit: factor * (2.0 * found.within).sqrt(),
        between_groups: found.of_groups.sqrt(),
        between_groups_degrees_of_freedom: between,
        intermediate_precision: (found.within + found.of_groups).sqrt(),
        f_ratio: found.ratio,
        p_value: found.p_value,
        groups_differ,
    })
}

/// Within and between; both are finite.
fn degrees(found: &VarianceComponents) -> [f64; 2] {
    [found.within_degrees, found.between_degrees].map(|all| all.value().unwrap_or(f64::MAX))
}

fn steps(
    found: &VarianceComponents,
    response: &RepeatabilityResponse,
    groups: &[&[f64]],
) -> Vec<WorkingStep> {
    let [within, between] = degrees(found);
    let (s_b, s_a) = (shown(found.within), shown(found.between));
    let n0 = shown(found.readings_per_group);
    let mut steps = vec![
        mean(response, groups),
        step(
            "repeatability",
            ("s_r = √(Σ (xⱼₖ − x̄ⱼ)² / (N − J))", GUM),
            format!("√({} / {})", shown(found.within * within), shown(within)),
            response.repeatability,
        ),
        limit(response, &s_b),
        step(
            "mean_square_between",
            ("s_a² = Σ nⱼ (x̄ⱼ − x̄)² / (J − 1)", GUM),
            format!("{} / {}", shown(found.between * between), shown(between)),
            found.between,
        ),
        step(
            "between_groups",
            ("s_B = √((s_a² − s_r²) / n₀), zero below that", "iso5725"),
            format!("√(({s_a} − {s_b}) / {n0})"),
            response.between_groups,
        ),
        step(
            "intermediate_precision",
            ("s_I = √(s_r² + s_B²)", "iso5725"),
            format!("√({s_b} + {})", shown(found.of_groups)),
            response.intermediate_precision,
        ),
    ];
    steps.extend(test(found));
    steps.push(of_mean(found, response));
    steps
}

fn limit(response: &RepeatabilityResponse, s_b: &str) -> WorkingStep {
    step(
        "repeatability_limit",
        (
            "r = k √2 s_r, k of Student's t for the degrees of freedom within",
            "iso5725",
        ),
        format!("k √(2 × {s_b})"),
        response.repeatability_limit,
    )
}

/// Mean of all readings, from those of the groups.
fn mean(response: &RepeatabilityResponse, groups: &[&[f64]]) -> WorkingStep {
    let sums = groups.iter().map(|group| shown(group.iter().sum()));
    let count: usize = groups.iter().map(|group| group.len()).sum();
    let sums: Vec<_> = sums.collect();
    step(
        "mean",
        ("x̄ = Σⱼ (Σₖ xⱼₖ) / N", GUM),
        format!("({}) / {count}", sums.join(" + ")),
        response.mean,
    )
}

/// Uncertainty of the mean, from the groups when they differ and pooled otherwise.
fn of_mean(found: &VarianceComponents, response: &RepeatabilityResponse) -> WorkingStep {
    let [within, between] = degrees(found);
    let (n, a) = (shown(within + between + 1.0), shown(found.between));
    let (formula, written) = if response.groups_differ.unwrap_or(true) {
        ("u(x̄) = √(s_a² / N)", format!("√({a} / {n})"))
    } else {
        let (v, w) = (shown(between), shown(within));
        let b = shown(found.within);
        (
            "u(x̄) = √(((J − 1) s_a² + (N − J) s_r²) / (N − 1) / N)",
            format!("√(({v} × {a} + {w} × {b}) / ({v} + {w}) / {n})"),
        )
    };
    let value = response.mean_standard_uncertainty;
    step("mean_standard_uncertainty", (formula, GUM), written, value)
}

const GUM: &str = "jcgm2008";

fn step(
    name: &'static str,
    formula: (&'static str, &'static str),
    substituted: String,
    value: f64,
) -> WorkingStep {
    WorkingStep::new(name, formula, substituted, (value, "1"))
}

/// The test whether the groups differ.
fn test(found: &VarianceComponents) -> impl Iterator<Item = WorkingStep> {
    let written = format!("{} / {}", shown(found.between), shown(found.within));
    let formula = ("F = s_a² / s_r²", GUM);
    let ratio = found
        .ratio
        .map(|ratio| step("f_ratio", formula, written, ratio));
    let [within, between] = degrees(found).map(shown);
    let written = format!("ν₁ = {between}, ν₂ = {within}");
    let formula = ("P(F distribution ≥ F)", GUM);
    let chance = found.p_value.map(|p| step("p_value", formula, written, p));
    ratio.into_iter().chain(chance)
}
