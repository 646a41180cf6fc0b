//! `calibration-line`: the correction of an instrument as a straight line in its readings.

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
use crate::maths::uncertainty::straight_line::{StraightLine, straight_line};
use crate::maths::uncertainty::type_a::type_a;

/// A reading, or the value of a reference.
const VALUE: Range = Range::new("reading", -1e9, 1e9, "any, the same in all");
/// Probability that an expanded uncertainty may be asked to cover.
const COVERAGE: Range = Range::new("coverage probability", 0.5, 0.9999, "1");

/// An instrument's readings beside the values of references, in one unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CalibrationLineRequest {
    /// What the instrument read, three or more.
    #[validate(length(min = 3, max = 1000))]
    pub readings: Vec<f64>,
    /// What the references are worth, one for each reading.
    #[validate(length(min = 3, max = 1000))]
    pub reference_values: Vec<f64>,
    /// Reading at which the intercept is answered; the mean of the readings by default, where
    /// intercept and slope are not correlated.
    pub reference_point: Option<f64>,
    /// Readings to correct.
    #[validate(length(min = 0, max = 1000))]
    pub correct_readings: Option<Vec<f64>>,
    /// Probability that expanded uncertainties cover, 0.95 by default.
    pub coverage_probability: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// The line, and the corrections it predicts.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CalibrationLineResponse {
    /// Reading at which the intercept is taken.
    pub reference_point: f64,
    /// Correction there: reference value less reading.
    pub intercept: f64,
    /// Standard uncertainty of the intercept.
    pub intercept_standard_uncertainty: f64,
    /// Change of the correction with the reading.
    pub slope: f64,
    /// Standard uncertainty of the slope.
    pub slope_standard_uncertainty: f64,
    /// Correlation coefficient of intercept and slope.
    pub intercept_slope_correlation: f64,
    /// Standard deviation of the corrections about the line.
    pub residual_standard_deviation: f64,
    /// Degrees of freedom of all uncertainties: points less two.
    pub degrees_of_freedom: f64,
    /// Coverage factor of the expanded uncertainties.
    pub coverage_factor: f64,
    /// Corrections of `correct_readings`, to be added to them.
    pub corrections: Option<Vec<f64>>,
    /// The readings with their corrections added.
    pub corrected_values: Option<Vec<f64>>,
    /// Standard uncertainty of each correction, from the line alone.
    pub correction_standard_uncertainties: Option<Vec<f64>>,
    /// Expanded uncertainty of each correction.
    pub correction_expanded_uncertainties: Option<Vec<f64>>,
}

/// The `calibration-line` calculation.
#[derive(Debug)]
pub struct CalibrationLine;

impl Calculation for CalibrationLine {
    const NAME: &'static str = "calibration-line";
    const SUMMARY: &'static str = "Correction of an instrument as a straight line in its readings";
    const DESCRIPTION: &'static str = "Fits the correction (reference value less reading) of an instrument such as a \
        thermometer, a scale or a refractometer as a straight line in its reading, by least squares, and predicts \
        corrections with their uncertainty. References are taken as exact beside the scatter of the readings; the \
        uncertainty of a correction is that of the line alone, so a reading's own repeatability comes on top. Outside the \
        readings that the line rests on its uncertainty grows. Any one unit, which the answer shares.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::Measured;
    const BOUNDS: &'static [Bound] = &[
        Bound::list("readings", VALUE, 3, 1000),
        Bound::list("reference_values", VALUE, 3, 1000),
        Bound::new("reference_point", VALUE),
        Bound::list("correct_readings", VALUE, 0, 1000),
        Bound::new("coverage_probability", COVERAGE),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("intercept", 4),
        Headline::new("slope", 5),
        Headline::new("residual_standard_deviation", 4),
    ];
    const EXAMPLES: &'static [Example] = &[example!(
        "calibration-line",
        "lab-refractometer",
        "Lab course: a refractometer beside oven-dried references, with workings"
    )];

    type Request = CalibrationLineRequest;
    type Response = CalibrationLineResponse;

    fn answer(
        request: &CalibrationLineRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<CalibrationLineResponse>, Problem> {
        let line = line(request)?;
        let probability = request.coverage_probability.unwrap_or(USUAL_COVERAGE);
        let factor = coverage_factor(probability, line.degrees_of_freedom)?;
        let response = response(request, &line, factor);
        let workings =
            (request.workings == Some(true)).then(|| steps(request, &line, (probability, factor)));
        Ok(Answer::of::<Self>(response, &["jcgm2008"]).with_workings(workings))
    }
}

impl CalibrationLineRequest {
    /// What each reading lacks of its reference value.
    fn corrections(&self) -> impl Iterator<Item = f64> + '_ {
        let pairs = self.reference_values.iter().zip(&self.readings);
        pairs.map(|(value, reading)| value - reading)
    }
}

fn line(request: &CalibrationLineRequest) -> Result<StraightLine, Problem> {
    let (readings, values) = (&request.readings, &request.reference_values);
    let fault = |field: &str, detail: String| {
        Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail)
    };
    if readings.len() != values.len() {
        let counts = (readings.len(), values.len());
        let detail = format!("{} readings and {} reference values", counts.0, counts.1);
        let fields = ["readings", "reference_values"];
        let faults = fields.map(|field| fault(field, detail.clone()));
        return Err(Problem::invalid(faults.to_vec()));
    }
    let corrections: Vec<f64> = request.corrections().collect();
    let reference = match request.reference_point {
        Some(point) => point,
        None => type_a(readings)?.mean,
    };
    straight_line(readings, &corrections, reference).map_err(|error| {
        if matches!(error, MathsError::NoSolution { .. }) {
            Problem::invalid(vec![fault("readings", error.to_string())])
        } else {
            error.into()
        }
    })
}

fn response(
    request: &CalibrationLineRequest,
    line: &StraightLine,
    factor: f64,
) -> CalibrationLineResponse {
    let asked = request.correct_readings.as_deref();
    let each = |of: &dyn Fn(f64, (f64, f64)) -> f64| {
        asked.map(|readings| readings.iter().map(|r| of(*r, line.at(*r))).collect())
    };
    CalibrationLineResponse {
        reference_point: line.reference,
        intercept: line.intercept,
        intercept_standard_uncertainty: line.intercept_uncertainty,
        slope: line.slope,
        slope_standard_uncertainty: line.slope_uncertainty,
        intercept_slope_correlation: line.correlation,
        residual_standard_deviation: line.residual_deviation,
        degrees_of_freedom: line.degrees_of_freedom.value().unwrap_or(f64::MAX),
        coverage_factor: factor,
        corrections: each(&|_, (correction, _)| correction),
        corrected_values: each(&|reading, (correction, _)| reading + correction),
        correction_standard_uncertainties: each(&|_, (_, u)| u),
        correction_expanded_uncertainties: each(&|_, (_, u)| factor * u),
    }
}

fn steps(
    request: &CalibrationLineRequest,
    line: &StraightLine,
    (probability, factor): (f64, f64),
) -> Vec<WorkingStep> {
    let n = request.readings.len();
    let sum_xx = {
        let ratio = line.residual_deviation / line.slope_uncertainty;
        if ratio.is_finite() {
            shown(ratio * ratio)
        } else {
            "Σ (x − x̄)²".to_owned()
        }
    };
    let mut steps = vec![
        step(
            "slope",
            "b = Σ (x − x̄)(c − c̄) / Σ (x − x̄)², c = reference value − reading",
            format!("over {n} points, Σ (x − x̄)² = {sum_xx}"),
            line.slope,
        ),
        intercept(request, line),
        step(
            "residual_standard_deviation",
            "s = √(Σ (c − a − b (x − x₀))² / (n − 2))",
            format!("n = {n}"),
            line.residual_deviation,
        ),
    ];
    steps.extend(uncertainties(n, line, &sum_xx));
    steps.push(correlation(request, line));
    steps.push(coverage(n, probability, factor));
    steps.extend(first_correction(request, line, factor));
    steps
}

fn step(name: &'static str, formula: &'static str, substituted: String, value: f64) -> WorkingStep {
    WorkingStep::new(name, (formula, "jcgm2008"), substituted, (value, "1"))
}

fn uncertainties(n: usize, line: &StraightLine, sum_xx: &str) -> [WorkingStep; 2] {
    let s = shown(line.residual_deviation);
    [
        step(
            "slope_standard_uncertainty",
            "u(b) = s / √(Σ (x − x̄)²)",
            format!("{s} / √({sum_xx})"),
            line.slope_uncertainty,
        ),
        step(
            "intercept_standard_uncertainty",
            "u(a) = s √(1 / n + (x₀ − x̄)² / Σ (x − x̄)²)",
            format!("s = {s}, n = {n}"),
            line.intercept_uncertainty,
        ),
    ]
}

fn intercept(request: &CalibrationLineRequest, line: &StraightLine) -> WorkingStep {
    step(
        "intercept",
        "a = c̄ + b (x₀ − x̄)",
        format!(
            "{} + {} × ({} − {})",
            shown(mean(request.corrections())),
            shown(line.slope),
            shown(line.reference),
            shown(mean(request.readings.iter().copied()))
        ),
        line.intercept,
    )
}

fn coverage(n: usize, probability: f64, factor: f64) -> WorkingStep {
    step(
        "coverage_factor",
        "k = t_p(n − 2), Student's t, two-sided",
        format!("p = {}, n = {n}", shown(probability)),
        factor,
    )
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / count
}

fn correlation(request: &CalibrationLineRequest, line: &StraightLine) -> WorkingStep {
    let from = || request.readings.iter().map(|x| x - line.reference);
    let squares: f64 = from().map(|from| from * from).sum();
    step(
        "intercept_slope_correlation",
        "r = −Σ (x − x₀) / √(n Σ (x − x₀)²)",
        format!(
            "−({}) / √({} × {})",
            shown(from().sum()),
            request.readings.len(),
            shown(squares)
        ),
        line.correlation,
    )
}

/// The correction of the first reading asked for, in full.
fn first_correction(
    request: &CalibrationLineRequest,
    line: &StraightLine,
    factor: f64,
) -> Vec<WorkingStep> {
    let Some(&reading) = request.correct_readings.iter().flatten().next() else {
        return Vec::new();
    };
    let (x, x0) = (shown(reading), shown(line.reference));
    let (correction, uncertainty) = line.at(reading);
    let (a, b) = (shown(line.intercept), shown(line.slope));
    let (u_a, u_b) = (
        shown(line.intercept_uncertainty),
        shown(line.slope_uncertainty),
    );
    let r = shown(line.correlation);
    vec![
        step(
            "corrections",
            "c = a + b (x − x₀)",
            format!("{a} + {b} × ({x} − {x0})"),
            correction,
        ),
        step(
            "corrected_values",
            "x + c",
            format!("{x} + {}", shown(correction)),
            reading + correction,
        ),
        step(
            "correction_standard_uncertainties",
            "u(c) = √(u(a)² + (x − x₀)² u(b)² + 2 (x − x₀) r u(a) u(b))",
            format!("√({u_a}² + ({x} − {x0})² × {u_b}² + 2 × ({x} − {x0}) × {r} × {u_a} × {u_b})"),
            uncertainty,
        ),
        step(
            "correction_expanded_uncertainties",
            "U = k u(c)",
            format!("{} × {}", shown(factor), shown(uncertainty)),
            factor * uncertainty,
        ),
    ]
}
