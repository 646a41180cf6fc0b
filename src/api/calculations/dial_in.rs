//! `dial-in`: the smallest change that brings the next shot to its target, learned from the shots
//! pulled so far.

mod reasons;
mod request;
mod response;
mod workings;

pub use reasons::{Reason, ReasonCode};
pub use request::{
    DialInRequest, DialInShot, DialInTarget, GrinderDial, HigherSetting, MayChange, ShotTaste,
};
pub use response::{
    DialInMethod, DialInMethods, DialInResponse, NextShot, NotDetermined, PredictedShot,
    PredictedValue,
};

use std::time::Duration;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, Weight, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::from_maths::AtField;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::provenance::{Answer, Basis};
use crate::maths::MathsError;
use crate::maths::dial_in::{
    Aims, Dial, Fit, Next, Prediction, PulledShot, Recipe, Regression, prediction, shot, unknowns,
};
use crate::maths::numeric::gauss_newton;
use crate::maths::quantity::{GaugePressure, Length};
use crate::maths::range::Range;
use crate::maths::simulation::{PressureProfile, Shot};

/// Share of its prior spread that the dial's slope may keep and still count as told by the shots.
const SLOPE_UNKNOWN: f64 = 0.7;
/// Coverage of the intervals where none is asked for.
const USUAL_COVERAGE: f64 = 0.9;
/// Strength below which an espresso's was probably given as a fraction; common practice.
const FRACTION_BELOW_PERCENT: f64 = 0.5;
/// Strengths.
const TDS: Range = Range::new("strength", 0.0, 30.0, "%");
/// Yields.
const YIELD: Range = Range::new("extraction yield", 0.0, 35.0, "%");
/// Beverage over dose.
const RATIO: Range = Range::new("brew ratio", 0.5, 6.0, "1");
/// Pump on to the first drop.
const FIRST_DROP: Range = Range::new("first drop", 0.1, 180.0, "s");

/// The fitted model's own sources and those of the fit.
const SOURCES: &[&str] = &[
    "packedbed",
    "moroney2015",
    "cameron2020",
    "grudeva2025",
    "waszkiewicz2025",
    "bjorck1996",
    "jcgm2008",
];

/// The `dial-in` calculation.
#[derive(Debug)]
pub struct DialIn;

impl Calculation for DialIn {
    const NAME: &'static str = "dial-in";
    const SUMMARY: &'static str = "The smallest change that brings the next shot to its target";
    const DESCRIPTION: &'static str = "Learns from 1 to 50 pulled shots and recommends the smallest change that is expected to reach \
        the target, on a step of the dial. A model of the bed is fitted to all shots by Gauss–Newton with priors, so that one \
        shot is enough to begin with; offset and slope of the dial in µm are unknowns too. A regression on the shots that differ in nothing but the grind \
        stands beside it. Each interval holds what the shots leave open, the difference from puck to puck (5 % in permeability) and the reading; \
        strength and yield are widened for grinds outside of those tried and for another dose, ratio, temperature, basket or profile. \
        Without a `tds_percent` neither strength nor yield is determined, and the answer says so. In trials with synthetic shots the \
        next shot time was off by 4 to 5 % (rms) between the settings tried, nearly all of it the puck; no raw \
        experimental curve was compared. Fitted constants are not answered: they are effective ones of a simple model. \
        The beverage in the cup at pump off is taken as the beverage weighed. The next shot goes on from the last one of the list, with its basket and profile.";
    const TAG: Tag = Tag::Shot;
    const BASIS: Basis = Basis::SimulatedUnvalidated;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::HotWater,
        CautionCode::LooksLikeAFraction,
        CautionCode::UnvalidatedModel,
        CautionCode::BeyondTheShots,
        CautionCode::AnotherRecipe,
    ];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("grind_setting", Dial::SETTING),
        Bound::new("lowest_setting", Dial::SETTING),
        Bound::new("highest_setting", Dial::SETTING),
        Bound::new("smallest_step", Dial::STEP),
        Bound::new("micrometres_per_step", Dial::STEP_SIZE),
        Bound::new("dose_g", Shot::DOSE),
        Bound::new("basket_diameter_mm", Length::BASKET_DIAMETER),
        Bound::new("beverage_mass_g", Shot::TARGET_BEVERAGE),
        Bound::new("shot_time_s", Recipe::SHOT_TIME),
        Bound::new("tds_percent", TDS),
        Bound::new("extraction_yield_percent", YIELD),
        Bound::new("brew_ratio", RATIO),
        Bound::new("first_drop_s", FIRST_DROP),
        Bound::new("water_temperature_c", Shot::WATER_TEMPERATURE),
        Bound::list("time_s", PressureProfile::TIME, 1, 200),
        Bound::list("pressure_bar", GaugePressure::RANGE, 1, 200),
        Bound::new("coverage_probability", prediction::COVERAGE),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("next.grind_setting", 2),
        Headline::new("next.dose_g", 1),
        Headline::new("next.beverage_mass_g", 1),
        Headline::new("predicted.shot_time_s.value", 1),
        Headline::new("predicted.extraction_yield_percent.value", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "dial-in",
            "harbour-third-shot",
            "Three shots at the harbour bar that ran too fast, on a dial of which higher is finer"
        ),
        example!(
            "dial-in",
            "station-first-shot",
            "The summit station's first shot of a new coffee, without a strength, with workings"
        ),
        example!(
            "dial-in",
            "lab-yield-and-ratio",
            "The lab course aims at a yield and a ratio, with four things to change"
        ),
    ];
    const WEIGHT: Weight = Weight::Heavy;
    /// About five seconds: fifty slow shots, were none of them to end when it should.
    const BUDGET: u64 = 2_500_000;
    const DEADLINE: Duration = Duration::from_secs(5);

    type Request = DialInRequest;
    type Response = DialInResponse;

    /// Most that fit and search can cost; a usual dial-in of five shots needs a twentieth.
    fn cost(request: &DialInRequest) -> u64 {
        /// One unit is a hundred cells carried over a time step, about two microseconds.
        const CELL_STEPS_PER_UNIT: u64 = 100;
        /// Runs of the search: fifteen sets of changes, each descended thrice at most.
        const SEARCH: u64 = 1_200;
        let cells = u64::from(shot::MOST_CELLS);
        let run = cells * (cells / 2 + u64::from(shot::MOST_STEPS)) / CELL_STEPS_PER_UNIT;
        let each = unknowns::COUNT as u64 + 2 + u64::from(gauss_newton::MOST_TRIES);
        let fit =
            request.shots.len() as u64 * (u64::from(gauss_newton::MOST_ITERATIONS) * each + 1);
        run.saturating_mul(fit.saturating_add(SEARCH))
    }

    fn answer(request: &DialInRequest, call: &Call<'_>) -> Result<Answer<DialInResponse>, Problem> {
        let faults = request.faults();
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let shots = request.pulled()?;
        let found = Found::of(request, &shots, call)?;
        let mut response = found.response(request)?;
        response.why = reasons::of(request, (&shots, &found), &response);
        let workings = (request.workings == Some(true))
            .then(|| workings::steps(&found.next.recipe, &found.prediction));
        Ok(Answer::of::<Self>(response, SOURCES)
            .with_cautions(cautions(request, &shots, &found))
            .with_workings(workings))
    }
}

/// What the maths finds.
struct Found {
    fit: Fit,
    aims: Aims,
    next: Next,
    prediction: Prediction,
    regression: Option<Regression>,
    /// Expected change of the yield from the last recipe, mass fraction.
    yield_change: f64,
    coverage: f64,
}

impl Found {
    fn of(request: &DialInRequest, shots: &[PulledShot], call: &Call<'_>) -> Result<Self, Problem> {
        let cancel = || call.is_cancelled();
        let Some(last) = shots.last() else {
            return Err(Problem::internal("a dial-in without a shot"));
        };
        let fit = done(Fit::of(shots, request.dial(), &cancel).at("shots")?)?;
        let aims = request.aims(fit.has_strength);
        let aimed_s = aims.shot_time_s.unwrap_or(last.shot_time_s);
        let expected_s = aimed_s.max(last.shot_time_s);
        let asked = (aims, request.limits());
        let next = fit.next(&last.recipe, asked, expected_s, &cancel);
        let next = done(next.at("target")?)?;
        let coverage = request.coverage_probability.unwrap_or(USUAL_COVERAGE);
        let of = (&next.recipe, expected_s);
        let prediction = done(fit.prediction(of, shots, coverage, &cancel)?)?;
        let before = done(fit.modelled(&last.recipe, expected_s, &cancel)?)?;
        let after = done(fit.modelled(&next.recipe, expected_s, &cancel)?)?;
        let yields = [(&before, &last.recipe), (&after, &next.recipe)]
            .map(|(modelled, recipe)| modelled.dissolved_fraction * recipe.brew_ratio());
        Ok(Self {
            regression: Regression::of(shots, &next.recipe),
            yield_change: yields[1] - yields[0],
            fit,
            aims,
            next,
            prediction,
            coverage,
        })
    }

    fn response(&self, request: &DialInRequest) -> Result<DialInResponse, Problem> {
        let predicted = PredictedShot::of(&self.prediction, self.coverage);
        let next = NextShot::of(&self.next.recipe);
        let regression = self.regression.as_ref();
        let regression = regression.map(|lines| self.regressed(request, lines));
        let target = &request.target;
        let aims_at_strength =
            target.tds_percent.is_some() || target.extraction_yield_percent.is_some();
        Ok(DialInResponse {
            target_reached: self.next.distance <= 1.0
                && self.next.has_ratio
                && (self.fit.has_strength || !aims_at_strength),
            methods: DialInMethods {
                physics: DialInMethod {
                    grind_setting: Some(next.grind_setting),
                    predicted: predicted.clone(),
                },
                regression: regression.transpose()?,
            },
            next,
            predicted,
            not_determined: self.not_determined(),
            why: Vec::new(),
        })
    }

    /// What the regression makes of the next shot, and the setting that it would take.
    fn regressed(
        &self,
        request: &DialInRequest,
        lines: &Regression,
    ) -> Result<DialInMethod, MathsError> {
        let (recipe, coverage) = (&self.next.recipe, self.coverage);
        let strength = lines.dissolved_fraction.as_ref();
        let strength = strength
            .map(|line| line.interval(recipe.setting, coverage))
            .transpose()?;
        let percent = |factor: f64| {
            strength.map(|interval| PredictedValue::of(interval.times(100.0 * factor), coverage))
        };
        let time = lines.shot_time_s(recipe.setting, coverage)?;
        let by_strength = |aim: f64| lines.dissolved_fraction.as_ref()?.setting(aim);
        let by_yield = |aim: f64| by_strength(aim / recipe.brew_ratio());
        let aims = &self.aims;
        let by_time = |aim: f64| lines.ln_time.setting(libm::log(aim));
        let setting = match (aims.shot_time_s, aims.extraction_fraction) {
            (Some(aim), _) => by_time(aim),
            (None, Some(aim)) => by_yield(aim),
            (None, None) => aims.dissolved_fraction.and_then(by_strength),
        };
        // a nearly level line may lead anywhere
        let is_there = |setting: &f64| Dial::SETTING.contains(*setting);
        let dial = request.dial();
        Ok(DialInMethod {
            grind_setting: setting.filter(is_there).map(|s| dial.nearest_step(s)),
            predicted: PredictedShot {
                shot_time_s: PredictedValue::of(time, coverage),
                tds_percent: percent(1.0),
                extraction_yield_percent: percent(recipe.brew_ratio()),
                first_drop_s: None,
            },
        })
    }

    fn not_determined(&self) -> Vec<NotDetermined> {
        let mut open = Vec::new();
        if !self.fit.has_strength {
            open.push(NotDetermined::TdsPercent);
            open.push(NotDetermined::ExtractionYieldPercent);
        }
        if self.fit.slope_left() > SLOPE_UNKNOWN {
            open.push(NotDetermined::MicrometresPerStep);
        }
        open
    }
}

/// What was worked out, unless the call was cancelled on the way.
fn done<T>(result: Option<T>) -> Result<T, Problem> {
    result.ok_or_else(|| {
        Problem::new(
            ProblemCode::DeadlineExceeded,
            "the calculation was stopped at its deadline",
        )
    })
}

fn cautions(request: &DialInRequest, shots: &[PulledShot], found: &Found) -> Vec<Caution> {
    let mut cautions = vec![
        Caution::from(CautionCode::UnvalidatedModel),
        Caution::from(CautionCode::HotWater),
    ];
    let recipe = &found.next.recipe;
    if PulledShot::is_beyond(recipe, shots) {
        let caution = Caution::from(CautionCode::BeyondTheShots);
        cautions.push(caution.with("grind_setting", recipe.setting));
    }
    if PulledShot::is_another_recipe(recipe, shots) {
        cautions.push(CautionCode::AnotherRecipe.into());
    }
    let strengths = request.shots.iter().filter_map(|shot| shot.tds_percent);
    if strengths
        .chain(request.target.tds_percent)
        .any(|tds| tds < FRACTION_BELOW_PERCENT)
    {
        cautions.push(CautionCode::LooksLikeAFraction.into());
    }
    cautions
}
