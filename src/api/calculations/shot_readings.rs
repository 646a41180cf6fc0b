//! `shot-readings`: a recorded shot, out of the readings of a scale.

mod bed;
mod request;
mod response;
mod workings;

pub use request::{SeriesRequest, ShotReadingsRequest};
pub use response::{
    FlowSeries, PhaseName, SeriesFault, SeriesFaultCode, ShotPhase, ShotReadingsResponse,
    ShotTimeFrom,
};

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, Weight, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::columnar::Columnar;
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::maths::shot::{Analysis, FaultKind};
use bed::Bed;

/// Cost units of a reading, where one is about two microseconds: ten thousand took 34 ms where
/// it was measured, six hundred 0.7 ms.
const UNITS_PER_READING: usize = 2;

/// The `shot-readings` calculation.
#[derive(Debug)]
pub struct ShotReadings;

impl Calculation for ShotReadings {
    const NAME: &'static str = "shot-readings";
    const SUMMARY: &'static str = "A recorded shot, out of the readings of a scale";
    const DESCRIPTION: &'static str = "Takes the readings of a scale under the cup as they came, and a pressure and a temperature \
        where they were recorded, and answers first drop, shot time, flow, phases, what came after the pump stopped, the bed's \
        resistance and permeability, and how even the flow was. Readings may be uneven, in steps, doubled, missing or out of order, \
        the scale may lag, and be knocked, tared or relieved of its cup: `faults` lists what was found, and the numbers rest on the \
        rest. Against seeded streams of our own (10 readings a second, steps of 0.1 g, lag off by a quarter) the first drop is found \
        to 0.1 s, a steady flow to 0.04 g/s, and what came after the stop to 0.15 g; these streams are synthetic. Readings less than a \
        second apart are meant; fewer give less. One clock: `time_s` counts from the pump's start, or `pump_on_at_s` tells when that \
        was; every time of the answer counts from the pump's start. `evenness` is a statistic of the flow and no verdict on the bed.";
    const TAG: Tag = Tag::Shot;
    const BASIS: Basis = Basis::Measured;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::FaultyReadings,
        CautionCode::ScaleEnded,
        CautionCode::EvennessIsNoVerdict,
        CautionCode::EffectivePermeability,
    ];
    const BOUNDS: &'static [Bound] = request::BOUNDS;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("shot_time_s", 1),
        Headline::new("first_drop_s", 1),
        Headline::new("beverage_mass_g", 1),
        Headline::new("mean_flow_g_per_s", 2),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "shot-readings",
            "harbour-double",
            "A double at the harbour bar, stopped by hand"
        ),
        example!(
            "shot-readings",
            "lab-pressure",
            "The lab course's machine with a gauge: pre-infusion, resistance, permeability, workings"
        ),
        example!(
            "shot-readings",
            "station-knocked",
            "The summit station's scale: a cup set down late, tared, knocked, and a gap"
        ),
    ];
    /// Ten thousand readings take some thirty milliseconds.
    const WEIGHT: Weight = Weight::Heavy;
    const BODY_LIMIT: Option<usize> = Some(1024 * 1024);
    const COLUMNAR: Option<Columnar> = Some(Columnar {
        instants: "time_s",
        values: "mass_g",
        series: &[
            ("pressure_bar", "pressure_series"),
            ("temperature_c", "temperature_series"),
        ],
        answer: "flow",
    });

    type Request = ShotReadingsRequest;
    type Response = ShotReadingsResponse;

    fn cost(request: &ShotReadingsRequest) -> u64 {
        let units = 1 + request.time_s.len() * UNITS_PER_READING;
        u64::try_from(units).unwrap_or(u64::MAX)
    }

    fn answer(
        request: &ShotReadingsRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<ShotReadingsResponse>, Problem> {
        let faults = request.faults();
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let recorded = request.recorded();
        let analysis = Analysis::of(&request.recording(&recorded)).at("time_s")?;
        let bed = Bed::of(request, &recorded, &analysis)?;
        let response = ShotReadingsResponse::new(request, &analysis, &bed);
        let workings = (request.workings == Some(true))
            .then(|| workings::steps(request, &analysis, (&response, &bed)));
        let cautions = cautions(&analysis, &bed);
        Ok(Answer::of::<Self>(response, &sources(&bed))
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

fn sources(bed: &Bed) -> Vec<&'static str> {
    let mut sources = vec!["bierman1977", "massbalance", "practice"];
    if bed.resistance_bar_s_per_ml.is_some() {
        sources.extend(["darcy1856", "iapws2008", "iapws2012"]);
    }
    if bed.permeability_m2.is_some() {
        sources.push("cameron2020");
    }
    sources
}

fn cautions(analysis: &Analysis, bed: &Bed) -> Vec<Caution> {
    let mut cautions = Vec::new();
    let has = |kind: FaultKind| analysis.faults.iter().any(|fault| fault.kind == kind);
    if !analysis.faults.is_empty() {
        cautions.push(CautionCode::FaultyReadings.into());
    }
    if has(FaultKind::ScaleOutOfRange) {
        cautions.push(CautionCode::ScaleEnded.into());
    }
    if analysis.evenness.is_some() {
        cautions.push(CautionCode::EvennessIsNoVerdict.into());
    }
    if bed.permeability_m2.is_some() {
        cautions.push(CautionCode::EffectivePermeability.into());
    }
    cautions
}
