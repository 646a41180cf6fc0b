//! `extraction-yield`: how much of the dose was dissolved, how sure that is, and where the brew
//! falls on a control chart.

mod assessment;
mod brew;
mod budget_workings;
mod monte_carlo;
mod request;
mod shared_scale;
mod uncertainty;
mod workings;

use std::time::Duration;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use crate::api::bounds::Bound;
use crate::api::brew_kind::BrewKind;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, Weight, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::extraction::dry_basis::dry_basis;
use crate::maths::quantity::MassFraction;
use crate::maths::uncertainty::type_a;

pub use assessment::{
    Decision, ExtractionVerdict, MiddleOfChart, StrengthVerdict, YieldAssessment,
};
pub use monte_carlo::{FirstOrderCheck, YieldMonteCarlo};
pub use request::{
    ControlChartId, ExtractionYieldRequest, HalfWidthDistribution, UncertaintyMethod,
};
pub use uncertainty::{BudgetLine, YieldInput, YieldUncertainty};

use brew::Brew;
use uncertainty::Found;

/// Yield of the brew, its uncertainty and its place on a chart.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ExtractionYieldResponse {
    /// Dissolved part of the dose as weighed. Percolation: what is in the cup, E = t B / D.
    /// Immersion: what is in cup and grounds, E = (W / D) t / (1 − t).
    pub extraction_yield_percent: f64,
    /// Coffee dissolved: in the cup for percolation, in cup and grounds for immersion.
    pub dissolved_solids_g: f64,
    /// Strength of what is in the cup: as given, or the mean of the readings.
    pub tds_percent: f64,
    /// Beverage as brewed, before bypass water, over dose; left out when no beverage was weighed.
    pub brew_ratio: Option<f64>,
    /// Brew water over dose; left out when no brew water was given.
    pub water_ratio: Option<f64>,
    /// Yield of the dose without its moisture and carbon dioxide, E / (1 − m − c); only when one
    /// of them was given.
    pub extraction_yield_dry_basis_percent: Option<f64>,
    /// Uncertainty of the yield; left out when none was given and no repeated readings show one.
    pub uncertainty: Option<YieldUncertainty>,
    /// Where the brew falls on the chart.
    pub assessment: YieldAssessment,
}

/// Strength of an espresso below which it is probably a fraction of one: espresso as a fraction
/// is 0.05 to 0.2, and none is as thin as half a percent. Common practice, no source.
const ESPRESSO_FRACTION_BELOW: f64 = 0.5;
/// The same for other brews, which as fractions are 0.01 to 0.02.
const FILTER_FRACTION_BELOW: f64 = 0.05;

/// The `extraction-yield` calculation.
#[derive(Debug)]
pub struct ExtractionYield;

impl Calculation for ExtractionYield {
    const NAME: &'static str = "extraction-yield";
    const SUMMARY: &'static str =
        "Extraction yield with its uncertainty, and its place on a control chart";
    const DESCRIPTION: &'static str = "Yield of a brew from its masses and its strength: percolation counts what is in the \
        cup, immersion what is in cup and grounds. Bypass water is undone. With repeated readings or stated \
        uncertainties the answer has an uncertainty budget after the GUM (JCGM 100), with correlations where one scale \
        weighed several masses, and the probability that the true \
        strength and yield lie inside the chart's window (JCGM 106). With `method` of `monte_carlo` the distributions \
        themselves are propagated by trials as well (JCGM 101), with two coverage intervals, and the first-order result is \
        held against them. A yield above 30 % is a caution, above 35 % \
        `inconsistent`. A strength above zero but below 0.5 % for espresso, or 0.05 % for other brews, is answered with \
        the caution `looks_like_a_fraction`.\n\n\
        Which masses are needed depends on `brew_kind`: `espresso` and `filter` need one of `beverage_mass_g` and \
        `final_beverage_mass_g`; `immersion` needs `water_mass_g`, and with bypass water one of the two as well.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::Measured;
    const BOUNDS: &'static [Bound] = request::BOUNDS;
    const RULES: &'static [Rule] = request::RULES;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("extraction_yield_percent", 1),
        Headline::new("uncertainty.expanded_points", 1),
        Headline::new("tds_percent", 2),
        Headline::new("brew_ratio", 2),
        Headline::new("assessment.strength", 0),
        Headline::new("assessment.extraction", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "extraction-yield",
            "harbour-double",
            "A double espresso, weighed and measured once"
        ),
        example!(
            "extraction-yield",
            "lab-replicates",
            "Lab course: repeated readings and a full uncertainty budget, with workings"
        ),
        example!(
            "extraction-yield",
            "lab-immersion",
            "Lab course: an immersion brew with a pooled repeatability, on the dry basis"
        ),
        example!(
            "extraction-yield",
            "lab-one-scale",
            "Lab course: dose and beverage weighed on one scale, whose calibration they share"
        ),
        example!(
            "extraction-yield",
            "lab-monte-carlo",
            "Lab course: the distribution of the yield by trials, and whether first order will do"
        ),
        example!(
            "extraction-yield",
            "station-filter-bypass",
            "Summit station: a filter batch thinned with bypass water, weighed after it"
        ),
    ];

    const WEIGHT: Weight = Weight::ByRequest;
    /// Two million trials take a fraction of a second, and several where the machine is busy.
    const DEADLINE: Duration = Duration::from_secs(10);

    type Request = ExtractionYieldRequest;
    type Response = ExtractionYieldResponse;

    fn is_heavy(request: &ExtractionYieldRequest) -> bool {
        request.method == Some(UncertaintyMethod::MonteCarlo)
    }

    fn cost(request: &ExtractionYieldRequest) -> u64 {
        if Self::is_heavy(request) {
            monte_carlo::cost(request)
        } else {
            1
        }
    }

    fn answer(
        request: &ExtractionYieldRequest,
        call: &Call<'_>,
    ) -> Result<Answer<ExtractionYieldResponse>, Problem> {
        let brew = Brew::of(request, tds_percent(request)?)?;
        let mut found = uncertainty::of(&brew)?;
        if let (Some(found), true) = (&mut found, Self::is_heavy(request)) {
            found.published.monte_carlo = Some(monte_carlo::of(&brew, found, call)?);
        }
        let mut response = ExtractionYieldResponse {
            extraction_yield_percent: brew.yield_percent(),
            dissolved_solids_g: brew.extracted.solids.grams(),
            tds_percent: brew.tds_percent,
            brew_ratio: brew.brewed_g().map(|mass| mass / request.dose_g),
            water_ratio: request.water_mass_g.map(|mass| mass / request.dose_g),
            extraction_yield_dry_basis_percent: dry_percent(&brew)?,
            uncertainty: None,
            assessment: assessment::of(&brew, found.as_ref())?,
        };
        let sources = sources(&brew, &response, found.as_ref());
        let cautions = cautions(&brew, response.assessment.chart, found.as_ref());
        let workings = match request.workings {
            Some(true) => Some(workings::of(&brew, &response, found.as_ref())?),
            Some(false) | None => None,
        };
        response.uncertainty = found.map(|found| found.published);
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

/// The strength given, or the mean of the readings.
fn tds_percent(request: &ExtractionYieldRequest) -> Result<f64, Problem> {
    match (request.tds_percent, request.tds_readings_percent.as_deref()) {
        (Some(percent), _) => Ok(percent),
        (None, Some([only])) => Ok(*only),
        (None, Some(readings)) => Ok(type_a::type_a(readings).at("tds_readings_percent")?.mean),
        // the rules demand one of the two
        (None, None) => Err(Problem::internal("no strength")),
    }
}

fn dry_percent(brew: &Brew<'_>) -> Result<Option<f64>, Problem> {
    let (moisture, gas) = (
        brew.request.coffee_moisture_percent,
        brew.request.coffee_co2_percent,
    );
    if moisture.or(gas).is_none() {
        return Ok(None);
    }
    let dry = dry_basis(
        brew.extracted.extraction_yield,
        MassFraction::from_percent(moisture.unwrap_or(0.0))?,
        MassFraction::from_percent(gas.unwrap_or(0.0))?,
    )?;
    Ok(Some(dry.extraction_yield.percent()))
}

fn sources(
    brew: &Brew<'_>,
    response: &ExtractionYieldResponse,
    found: Option<&Found>,
) -> Vec<&'static str> {
    let mut sources = Vec::with_capacity(8);
    sources.extend([
        "massbalance",
        "yield-bound",
        response.assessment.chart.chart().source,
    ]);
    if brew.is_immersion() {
        sources.push("liang2021");
    }
    if response.extraction_yield_dry_basis_percent.is_some() {
        sources.push("iso11294");
    }
    if let Some(found) = found {
        sources.extend(["jcgm2008", "jcgm2012"]);
        if found.published.monte_carlo.is_some() {
            sources.extend(["jcgm2008s1", "blackman2021"]);
        }
    }
    sources
}

fn cautions(brew: &Brew<'_>, chart: ControlChartId, found: Option<&Found>) -> Vec<Caution> {
    let fraction_below = match brew.kind {
        BrewKind::Espresso => ESPRESSO_FRACTION_BELOW,
        BrewKind::Filter | BrewKind::Immersion => FILTER_FRACTION_BELOW,
    };
    let mut cautions = Vec::new();
    if 0.0 < brew.tds_percent && brew.tds_percent < fraction_below {
        let caution = Caution::from(CautionCode::LooksLikeAFraction);
        cautions.push(caution.with("tds_percent", brew.tds_percent));
    }
    if brew.extracted.is_unusual() {
        let caution = Caution::from(CautionCode::HighYield);
        cautions.push(caution.with("extraction_yield_percent", brew.yield_percent()));
    }
    if brew.request.sample_filtered == Some(false) {
        cautions.push(CautionCode::UnfilteredSample.into());
    }
    if chart == ControlChartId::EspressoPractice {
        cautions.push(CautionCode::PracticeWindow.into());
    }
    if found.is_some_and(Found::has_lost_degrees_of_freedom) {
        cautions.push(CautionCode::DegreesOfFreedomLost.into());
    }
    let trials = found.and_then(|found| found.published.monte_carlo.as_ref());
    if trials.is_some_and(|trials| !trials.stable) {
        cautions.push(CautionCode::TrialsUnsettled.into());
    }
    if trials.is_some_and(|trials| !trials.first_order.valid) {
        cautions.push(CautionCode::FirstOrderOff.into());
    }
    if found.is_some_and(|found| !found.published.not_included.is_empty()) {
        cautions.push(CautionCode::UncertaintyIncomplete.into());
    }
    cautions
}
