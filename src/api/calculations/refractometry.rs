//! `refractometry`: the strength of coffee from the readings of a refractometer.

mod request;
mod sample;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

pub use self::request::RefractometryRequest;
use self::request::{BOUNDS, RULES};
use self::sample::{Sample, Scale};
use crate::api::bounds::Bound;
use crate::api::budget::{Budget, MeasuredInput, MeasuredUncertainty, Term};
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::MathsError;
use crate::maths::refraction::sucrose::sucrose_index;
use crate::maths::uncertainty::DegreesOfFreedom;
use crate::maths::uncertainty::type_a::{Repeatability, TypeA, type_a, with_known_repeatability};

/// Strength of the sample, and how it was reached.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RefractometryResponse {
    /// Coffee solids of the sample, corrected for zero and temperature: not the reading of that
    /// name, which in rows stands in `mean_reading`.
    pub tds_percent: f64,
    /// What was read, before any correction: the reading itself, or the mean of several, on the
    /// scale of the instrument.
    #[schema(extensions(("x-unit" = json!("as the reading"))))]
    pub mean_reading: f64,
    /// What the sample reads on the sugar scale at 20 °C.
    pub corrected_brix_percent: f64,
    /// Its refractive index at 20 °C, relative to air, 589 nm.
    pub corrected_refractive_index: f64,
    /// What the zero check added to the reading, on the sugar scale; left out without one.
    pub zero_correction_points: Option<f64>,
    /// What the temperature added to the reading, on the sugar scale; left out when the reading
    /// was not corrected.
    pub temperature_correction_points: Option<f64>,
    /// Index that water has at the temperature of the sample, relative to air; left out when it
    /// was not needed.
    pub water_refractive_index: Option<f64>,
    /// Coffee solids by percent on the sugar scale, as used.
    pub solids_per_brix: f64,
    /// Uncertainty of the strength; left out when none was given and no repeated readings show
    /// one.
    pub uncertainty: Option<MeasuredUncertainty>,
}

/// The `refractometry` calculation.
#[derive(Debug)]
pub struct Refractometry;

impl Calculation for Refractometry {
    const NAME: &'static str = "refractometry";
    const SUMMARY: &'static str = "Strength of coffee from the readings of a refractometer";
    const DESCRIPTION: &'static str = "From one reading or several on the sugar scale, as a refractive index or as coffee solids, \
        to the strength of the sample: less what water reads too much, brought to 20 °C, and times the factor from sugar to \
        coffee. The factor is published between 0.79 and 0.86 and depends on the coffee; its uncertainty is in the budget \
        and usually outweighs all others. Put `tds_percent` and its uncertainty into `extraction-yield`. The sample is to be \
        filtered, and cooled to 10 to 30 °C; refractive indices are relative to air, at 589 nm.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::Measured;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::UnfilteredSample,
        CautionCode::UncertaintyIncomplete,
        CautionCode::ConversionDominates,
        CautionCode::TemperatureUnknown,
        CautionCode::BelowWater,
    ];
    const BOUNDS: &'static [Bound] = BOUNDS;
    const RULES: &'static [Rule] = RULES;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("tds_percent", 2),
        Headline::new("uncertainty.expanded_points", 2),
        Headline::new("corrected_brix_percent", 2),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "refractometry",
            "harbour-espresso",
            "An espresso read once on the sugar scale, by an instrument that compensates"
        ),
        example!(
            "refractometry",
            "lab-index",
            "Lab course: repeated refractive indices, a zero check and a warm room, with workings"
        ),
        example!(
            "refractometry",
            "station-solids",
            "Summit station: an instrument that shows coffee solids, with a factor of its own"
        ),
    ];

    type Request = RefractometryRequest;
    type Response = RefractometryResponse;

    fn answer(
        request: &RefractometryRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<RefractometryResponse>, Problem> {
        let sample = Sample::of(request)?;
        let budget = budget(&sample)?;
        let mut response = RefractometryResponse {
            tds_percent: sample.tds_percent,
            mean_reading: sample.mean,
            corrected_brix_percent: sample.at_twenty.brix.percent(),
            corrected_refractive_index: sucrose_index(sample.at_twenty.brix)?.ratio(),
            zero_correction_points: sample.zero.map(|_| sample.brix_zeroed - sample.brix_read),
            temperature_correction_points: sample
                .celsius
                .map(|_| sample.at_twenty.brix.percent() - sample.brix_zeroed),
            water_refractive_index: sample.water_index,
            solids_per_brix: sample.factor,
            uncertainty: None,
        };
        let workings = (request.workings == Some(true))
            .then(|| working::steps(&sample, &response, budget.as_ref()));
        let cautions = cautions(&sample, budget.as_ref());
        let sources = sources(&sample, budget.as_ref());
        response.uncertainty = budget.map(|budget| budget.published);
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

/// Scatter of the readings: the pooled one when given, otherwise that of two or more readings.
fn scatter(sample: &Sample<'_>) -> Result<Option<TypeA>, MathsError> {
    let r = sample.request;
    match (
        r.reading_repeatability,
        r.reading_repeatability_degrees_of_freedom,
    ) {
        (Some(standard_deviation), Some(degrees)) => {
            let known = Repeatability {
                standard_deviation,
                degrees_of_freedom: DegreesOfFreedom::finite(degrees)?,
            };
            with_known_repeatability(sample.readings, known).map(Some)
        }
        _ if sample.readings.len() > 1 => type_a(sample.readings).map(Some),
        _ => Ok(None),
    }
}

fn budget(sample: &Sample<'_>) -> Result<Option<Budget>, MathsError> {
    let used = [
        (MeasuredInput::Repeatability, sample.readings.len() > 1),
        (MeasuredInput::Reading, true),
        (MeasuredInput::ZeroCheck, sample.zero.is_some()),
        (MeasuredInput::SampleTemperature, sample.celsius.is_some()),
        (MeasuredInput::SolidsPerBrix, true),
    ];
    let used: Vec<_> = used
        .into_iter()
        .filter(|(_, is_used)| *is_used)
        .map(|(input, _)| input)
        .collect();
    let mut terms = Vec::with_capacity(5);
    for input in &used {
        terms.extend(term(sample, *input)?);
    }
    // a pooled repeatability counts for a single reading too
    if sample.readings.len() == 1 {
        terms.extend(term(sample, MeasuredInput::Repeatability)?);
    }
    Budget::of(terms, &used, sample.request.coverage_probability)
}

/// What is known of an input's uncertainty.
fn term(sample: &Sample<'_>, input: MeasuredInput) -> Result<Option<Term>, MathsError> {
    let (r, by, unit) = (sample.request, &sample.by, sample.scale.unit());
    let reading = (r.reading_uncertainty, r.reading_half_width);
    let temperature = (
        r.sample_temperature_uncertainty_c,
        r.sample_temperature_half_width_c,
    );
    match input {
        MeasuredInput::Repeatability => Ok(scatter(sample)?.map(|scatter| {
            let spread = (scatter.standard_uncertainty, unit);
            Term::scatter(spread, by.reading, scatter.degrees_of_freedom)
        })),
        MeasuredInput::Reading => Term::stated(input, (unit, by.reading), reading),
        MeasuredInput::ZeroCheck => Term::stated(input, (unit, by.zero), reading),
        MeasuredInput::SampleTemperature => {
            Term::stated(input, ("°C", by.temperature), temperature)
        }
        MeasuredInput::SolidsPerBrix => {
            Term::stated(input, ("1", by.factor), sample.factor_spread())
        }
        MeasuredInput::TareMass
        | MeasuredInput::WetMass
        | MeasuredInput::DryMass
        | MeasuredInput::Dose
        | MeasuredInput::SpentGroundsMass => Ok(None),
    }
}

fn sources(sample: &Sample<'_>, budget: Option<&Budget>) -> Vec<&'static str> {
    let is_warm = sample.celsius.is_some();
    let is_averaged = sample.readings.len() > 1;
    let used = [
        Some("sucrose-scale"),
        is_warm.then_some("iapws1997"),
        is_warm.then_some("iapws2012"),
        is_warm.then_some("sugar-temperature"),
        Some("coffee-solids-factor"),
        (budget.is_some() || is_averaged).then_some("jcgm2008"),
    ];
    used.into_iter().flatten().collect()
}

fn cautions(sample: &Sample<'_>, budget: Option<&Budget>) -> Vec<Caution> {
    let r = sample.request;
    let is_compensated = r.temperature_compensated == Some(true) || sample.scale == Scale::Solids;
    let dominating = budget.and_then(Budget::dominating);
    let share = dominating.filter(|(input, _)| *input == MeasuredInput::SolidsPerBrix);
    let brix = sample.at_twenty.brix.percent();
    let raised = [
        share.map(|(_, share)| {
            Caution::from(CautionCode::ConversionDominates)
                .with("solids_per_brix", sample.factor)
                .with("share_percent", share)
        }),
        (r.sample_temperature_c.is_none() && !is_compensated)
            .then(|| CautionCode::TemperatureUnknown.into()),
        (brix < 0.0)
            .then(|| Caution::from(CautionCode::BelowWater).with("corrected_brix_percent", brix)),
        (r.sample_filtered == Some(false)).then(|| CautionCode::UnfilteredSample.into()),
        budget
            .is_some_and(|budget| !budget.published.not_included.is_empty())
            .then(|| CautionCode::UncertaintyIncomplete.into()),
    ];
    raised.into_iter().flatten().collect()
}
