//! `diagnosis`: what may be wrong with an espresso, and what to try first.

mod request;
mod response;
mod rules;
mod weighing;

pub use request::{DiagnosisRequest, Taste};
pub use response::{
    Cause, CauseCode, Change, ChangeDirection, Contradiction, ContradictionCode, DiagnosisResponse,
    Evidence, EvidenceKind, Likelihood, TryFirst,
};

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::maths::quantity::{MassFraction, Temperature};
use crate::maths::range::Range;
use crate::maths::ratio;

/// Yields that any brew may have.
const YIELD: Range = Range::new("extraction yield", 0.0, 35.0, "%");
/// Times of a shot and of its first drop.
const SHOT_TIME: Range = Range::new("shot time", 0.1, 600.0, "s");
const FIRST_DROP: Range = Range::new("first drop", 0.0, 600.0, "s");
/// Ages of beans.
const BEAN_AGE: Range = Range::new("bean age", 0.0, 3650.0, "d");
/// How evenly a shot ran.
const EVENNESS: Range = Range::new("evenness", 0.0, 1.0, "1");

/// The `diagnosis` calculation.
#[derive(Debug)]
pub struct Diagnosis;

impl Calculation for Diagnosis {
    const NAME: &'static str = "diagnosis";
    const SUMMARY: &'static str = "What may be wrong with an espresso, and what to try first";
    const DESCRIPTION: &'static str = "Weighs what an espresso tastes of, and what was measured of it, against a small \
        table of rules, and names the causes that something speaks for or against and one change to try first. All rules \
        and windows are common practice of the trade, with no source; `likelihood` is no probability. What was measured \
        outweighs every taste, and tastes that contradict one another are named. The same words always get the same \
        answer. It speaks of taste only, and of nobody's health.";
    const TAG: Tag = Tag::Shot;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] = &[CautionCode::HotWater, CautionCode::PracticeWindow];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("extraction_yield_percent", YIELD),
        Bound::new("tds_percent", MassFraction::STRENGTH_PERCENT),
        Bound::new("brew_ratio", ratio::BREW_RATIO),
        Bound::new("shot_time_s", SHOT_TIME),
        Bound::new("first_drop_s", FIRST_DROP),
        Bound::new("brew_temperature_c", Temperature::BREWING),
        Bound::new("bean_age_days", BEAN_AGE),
        Bound::new("evenness", EVENNESS),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("try_first.change", 0),
        Headline::new("try_first.direction", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "diagnosis",
            "harbour-sour",
            "A sour, thin shot at the harbour bar, nothing measured"
        ),
        example!(
            "diagnosis",
            "station-cool-water",
            "A sour shot at the station, where the water was found too cool"
        ),
        example!(
            "diagnosis",
            "lab-sour-and-bitter",
            "Tastes that contradict one another beside a yield in its window, with workings"
        ),
    ];

    type Request = DiagnosisRequest;
    type Response = DiagnosisResponse;

    fn answer(
        request: &DiagnosisRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<DiagnosisResponse>, Problem> {
        let causes = weighing::weighed(request);
        let workings = (request.workings == Some(true)).then(|| weighing::workings(&causes));
        let try_first = weighing::try_first(&causes);
        let mut cautions = vec![Caution::from(CautionCode::PracticeWindow)];
        if try_first.change == Change::BrewTemperature {
            cautions.push(CautionCode::HotWater.into());
        }
        if request.evenness.is_some() {
            cautions.push(CautionCode::EvennessIsNoVerdict.into());
        }
        let response = DiagnosisResponse {
            causes: causes.into_iter().map(Cause::from).collect(),
            try_first,
            contradictions: weighing::contradictions(request),
        };
        Ok(
            Answer::of::<Self>(response, &["diagnosis-practice", "espresso-practice"])
                .with_cautions(cautions)
                .with_workings(workings),
        )
    }
}
