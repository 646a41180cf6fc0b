//! `consistency`: how alike shots are, whether they drift, and what to tighten first.

mod explained;
mod request;
mod response;
mod statistics;
mod workings;

pub use request::{ConsistencyRequest, ShotMade, ShotQuantity};
pub use response::{
    ConsistencyResponse, DriftMade, ExplainedBy, LeftOut, LeftOutCode, QuantitiesMade,
    QuantityMade, ShareExplained, Statistic, StatisticalLimits, TightenCode, TightenFirst,
};

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::expanded::USUAL_COVERAGE;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;

/// Shots from which limits are no longer called rough; common practice, no source.
const ENOUGH_SHOTS: usize = 20;
/// Shot times that a list may hold.
const SHOT_TIME: Range = Range::new("shot time", 0.1, 600.0, "s");
/// Coverage of an interval.
const COVERAGE: Range = Range::new("coverage probability", 0.5, 0.9999, "1");

/// The `consistency` calculation.
#[derive(Debug)]
pub struct Consistency;

impl Calculation for Consistency {
    const NAME: &'static str = "consistency";
    const SUMMARY: &'static str =
        "How alike shots are, whether they drift, and what to tighten first";
    const DESCRIPTION: &'static str = "From shots in the order in which they were made: mean and spread of every quantity \
        with the interval of the spread, the limits of a steady process (chart of individual values), the drift with the \
        test of its slope, and how much of the spread the dose and each label explain, as it stands and corrected for \
        chance. Labels are free texts. `tighten_first` takes the largest share of the spread of the yield (otherwise of \
        the beverage, otherwise of the time) that is clear when the level of the test is divided by how many were looked \
        at. What too few shots tell is left out and listed. Statistical limits are no tolerance: they say what the bar \
        does, not what it wants.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::Measured;
    const CAUTIONS: &'static [CautionCode] =
        &[CautionCode::FewShots, CautionCode::ConfoundedLabels];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("dose_g", Mass::DOSE),
        Bound::new("beverage_mass_g", Mass::LIQUID),
        Bound::new("shot_time_s", SHOT_TIME),
        Bound::new("tds_percent", MassFraction::STRENGTH_PERCENT),
        Bound::new("coverage_probability", COVERAGE),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("quantities.extraction_yield_percent.mean", 1),
        Headline::new("quantities.extraction_yield_percent.spread", 2),
        Headline::new("quantities.beverage_mass_g.mean", 1),
        Headline::new("quantities.beverage_mass_g.spread", 2),
        Headline::new("quantities.shot_time_s.mean", 1),
        Headline::new("quantities.shot_time_s.spread", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "consistency",
            "harbour-two-hands",
            "A morning at the harbour bar, by two hands"
        ),
        example!(
            "consistency",
            "lab-warming-grinder",
            "The lab course watches a grinder warm up, with workings"
        ),
        example!(
            "consistency",
            "station-few",
            "Three shots at the station, which is few"
        ),
    ];
    const BODY_LIMIT: Option<usize> = Some(1024 * 1024);

    type Request = ConsistencyRequest;
    type Response = ConsistencyResponse;

    fn answer(
        request: &ConsistencyRequest,
        call: &Call<'_>,
    ) -> Result<Answer<ConsistencyResponse>, Problem> {
        let coverage = request.coverage_probability.unwrap_or(USUAL_COVERAGE);
        let (mut quantities, mut left_out) = (QuantitiesMade::default(), Vec::new());
        for series in request::series(&request.shots)? {
            call.go_on()?;
            let made = statistics::of(&series, &request.shots, coverage, &mut left_out)?;
            *quantities.place(series.quantity) = made;
        }
        let response = ConsistencyResponse {
            shot_count: request.shots.len(),
            coverage_probability: coverage,
            tighten_first: tighten_first(&quantities, coverage),
            quantities,
            left_out,
        };
        let workings = (request.workings == Some(true))
            .then(|| workings::steps(&response.quantities, coverage));
        Ok(
            Answer::of::<Self>(response, &["nist-handbook", "massbalance", "practice"])
                .with_cautions(cautions(request))
                .with_workings(workings),
        )
    }
}

/// What stands out in the yield, otherwise in the beverage, otherwise in the time.
fn tighten_first(quantities: &QuantitiesMade, coverage: f64) -> Option<TightenFirst> {
    let order = [
        (
            ShotQuantity::ExtractionYieldPercent,
            &quantities.extraction_yield_percent,
        ),
        (ShotQuantity::BeverageMassG, &quantities.beverage_mass_g),
        (ShotQuantity::ShotTimeS, &quantities.shot_time_s),
    ];
    let is_enough = |made: &&QuantityMade| made.count >= statistics::SHARE_FROM;
    let first = order
        .into_iter()
        .find_map(|(quantity, made)| Some((quantity, made.as_ref().filter(is_enough)?)));
    first.map(|(quantity, made)| explained::tighten(quantity, made, coverage))
}

fn cautions(request: &ConsistencyRequest) -> Vec<Caution> {
    let count = request.shots.len();
    let mut cautions = Vec::new();
    if count < ENOUGH_SHOTS {
        let shots = u32::try_from(count).map_or(f64::MAX, f64::from);
        cautions.push(Caution::from(CautionCode::FewShots).with("shot_count", shots));
    }
    if explained::has_confounded(&request.shots) {
        cautions.push(CautionCode::ConfoundedLabels.into());
    }
    cautions
}

impl QuantitiesMade {
    /// Where a quantity stands.
    const fn place(&mut self, quantity: ShotQuantity) -> &mut Option<QuantityMade> {
        match quantity {
            ShotQuantity::DoseG => &mut self.dose_g,
            ShotQuantity::BeverageMassG => &mut self.beverage_mass_g,
            ShotQuantity::BrewRatio => &mut self.brew_ratio,
            ShotQuantity::ShotTimeS => &mut self.shot_time_s,
            ShotQuantity::TdsPercent => &mut self.tds_percent,
            ShotQuantity::ExtractionYieldPercent => &mut self.extraction_yield_percent,
        }
    }

    /// Every quantity by its name.
    fn named(&self) -> [(&'static str, Option<&QuantityMade>); 6] {
        let all = [
            &self.dose_g,
            &self.beverage_mass_g,
            &self.brew_ratio,
            &self.shot_time_s,
            &self.tds_percent,
            &self.extraction_yield_percent,
        ];
        let mut place = 0;
        ShotQuantity::ALL.map(|quantity| {
            let made = all[place].as_ref();
            place += 1;
            (quantity.name(), made)
        })
    }
}
