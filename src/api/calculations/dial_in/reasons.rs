//! Why the next shot is what it is: codes and words.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::request::{DialInRequest, HigherSetting, ShotTaste};
use super::response::DialInResponse;
use super::{Found, SLOPE_UNKNOWN};
use crate::api::provenance::shown;
use crate::maths::dial_in::{PulledShot, Recipe, Regression};

/// A reason.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Reason {
    /// Stable code, for a caller who translates.
    pub code: ReasonCode,
    /// The reason in English.
    pub text: String,
    /// Numbers of this case, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub values: BTreeMap<String, f64>,
}

/// Stable code of a reason.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ReasonCode {
    /// The last recipe is expected to reach the target.
    OnTarget,
    /// Grind finer.
    GrindFiner,
    /// Grind coarser.
    GrindCoarser,
    /// More beverage.
    MoreBeverage,
    /// Less beverage.
    LessBeverage,
    /// A larger dose.
    LargerDose,
    /// A smaller dose.
    SmallerDose,
    /// Hotter water.
    HotterWater,
    /// Cooler water.
    CoolerWater,
    /// What may be changed does not reach the target; this comes nearest.
    TargetOutOfReach,
    /// Without a strength no yield.
    NoStrengthReading,
    /// What a step does is assumed.
    StepAssumed,
    /// Too few shots that differ only in grind for a regression.
    NoRegression,
    /// The regression expects something else than the physics.
    MethodsDisagree,
    /// The shots run slower the coarser the dial says that they were ground.
    DialAgainstShots,
    /// The readings scatter more than pucks and readings should.
    ShotsScatter,
    /// A shot does not fit the others.
    OddShot,
    /// The change goes the way that the taste asks for.
    TasteAgrees,
    /// The change goes against what the taste asks for.
    TasteDisagrees,
}

fn reason(code: ReasonCode, text: impl Into<String>) -> Reason {
    Reason {
        code,
        text: text.into(),
        values: BTreeMap::new(),
    }
}

fn with(mut reason: Reason, name: &str, value: f64) -> Reason {
    reason.values.insert(name.to_owned(), value);
    reason
}

/// All reasons: the changes first.
pub(super) fn of(
    request: &DialInRequest,
    (shots, found): (&[PulledShot], &Found),
    response: &DialInResponse,
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    reasons.extend(against(request, shots));
    let is_warned = !reasons.is_empty();
    if let Some(last) = shots.last() {
        reasons.extend(changes(request, &last.recipe, &found.next.recipe));
    }
    if !response.target_reached {
        reasons.push(reason(
            ReasonCode::TargetOutOfReach,
            "What may be changed is not expected to reach the whole target in one step of the dial; this comes nearest.",
        ));
    } else if reasons.len() == usize::from(is_warned) {
        reasons.push(reason(
            ReasonCode::OnTarget,
            "The last recipe is expected to reach the target: pull it again.",
        ));
    }
    reasons.extend(knowledge(found));
    reasons.extend(methods(response));
    reasons.extend(taste(request, found));
    reasons
}

/// Shots that ran slower where the dial says coarser, beyond their scatter: the direction of the
/// dial is more likely wrong than the shots are.
fn against(request: &DialInRequest, shots: &[PulledShot]) -> Option<Reason> {
    /// Coverage within which a slope may be chance.
    const CHANCE: f64 = 0.95;
    let line = Regression::of(shots, &shots.last()?.recipe)?.ln_time;
    let is_against = line.slope * request.dial().higher_is.sign() > 0.0;
    let is_clear = line.is_sloped(CHANCE).unwrap_or(false);
    let text = "The shots ran slower the coarser the dial says they were ground: check `higher_is` before anything is changed.";
    (is_against && is_clear).then(|| reason(ReasonCode::DialAgainstShots, text))
}

fn changes(request: &DialInRequest, last: &Recipe, next: &Recipe) -> Vec<Reason> {
    let coarser = match request.grinder.higher_is {
        HigherSetting::Coarser => 1.0,
        HigherSetting::Finer => -1.0,
    };
    let setting = next.setting - last.setting;
    let celsius = |recipe: &Recipe| recipe.water_temperature.celsius();
    let rows = [
        (
            (setting, setting * coarser),
            [ReasonCode::GrindFiner, ReasonCode::GrindCoarser],
            ("Grind finer", "Grind coarser", "grind_setting", ""),
        ),
        (
            both(next.beverage.grams() - last.beverage.grams()),
            [ReasonCode::LessBeverage, ReasonCode::MoreBeverage],
            ("Stop earlier", "Let more run", "beverage_mass_g", " g"),
        ),
        (
            both(next.dose.grams() - last.dose.grams()),
            [ReasonCode::SmallerDose, ReasonCode::LargerDose],
            ("Dose less", "Dose more", "dose_g", " g"),
        ),
        (
            both(celsius(next) - celsius(last)),
            [ReasonCode::CoolerWater, ReasonCode::HotterWater],
            ("Brew cooler", "Brew hotter", "water_temperature_c", " °C"),
        ),
    ];
    let made = rows.into_iter().filter(|((by, _), ..)| by.abs() > 1e-9);
    made.map(|((by, way), [down, up], (less, more, field, unit))| {
        let (code, words) = if way < 0.0 { (down, less) } else { (up, more) };
        let by = libm::round(by * 1e6) / 1e6;
        let text = format!("{words}: `{field}` by {}{unit}.", shown(by));
        with(reason(code, text), field, by)
    })
    .collect()
}

const fn both(by: f64) -> (f64, f64) {
    (by, by)
}

/// What the shots tell, and what they do not.
fn knowledge(found: &Found) -> Vec<Reason> {
    let fit = &found.fit;
    let mut reasons = Vec::new();
    if !fit.has_strength {
        reasons.push(reason(
            ReasonCode::NoStrengthReading,
            "No shot has a `tds_percent`, so strength and yield are not determined and no target of theirs is aimed at: measure one cup.",
        ));
    }
    if fit.slope_left() > SLOPE_UNKNOWN {
        reasons.push(reason(
            ReasonCode::StepAssumed,
            "The shots do not tell what a step of the dial does, so it is assumed and the interval is wide: a shot at another setting tells it.",
        ));
    }
    if fit.scatter > 1.0 {
        let text = "The shots scatter more than pucks and readings should; all intervals are widened by this factor. Look to dosing, distribution and tamping first.";
        reasons.push(with(
            reason(ReasonCode::ShotsScatter, text),
            "factor",
            fit.scatter,
        ));
    }
    for place in &fit.odd {
        let text = format!(
            "The shot at `/shots/{place}` does not fit the others: check its numbers, or leave it out."
        );
        #[expect(clippy::cast_precision_loss, reason = "at most 50 shots")]
        let place = *place as f64;
        reasons.push(with(reason(ReasonCode::OddShot, text), "shot", place));
    }
    reasons
}

fn methods(response: &DialInResponse) -> Option<Reason> {
    let Some(regression) = &response.methods.regression else {
        return Some(reason(
            ReasonCode::NoRegression,
            "A regression needs three shots at two settings that differ from the next one in nothing but the grind.",
        ));
    };
    let time_s = regression.predicted.shot_time_s.value;
    let disagrees = !response.predicted.shot_time_s.holds(time_s);
    let text = "The regression expects a shot time outside of the interval: trust neither, and change little.";
    disagrees.then(|| {
        with(
            reason(ReasonCode::MethodsDisagree, text),
            "shot_time_s",
            time_s,
        )
    })
}

/// Whether the change goes the way that the last taste asks for; common practice, no source.
fn taste(request: &DialInRequest, found: &Found) -> Option<Reason> {
    /// Change of the yield that can be tasted at all, mass fraction; common practice, no source.
    const TASTED: f64 = 2e-3;
    let wanted = match request.shots.last()?.taste? {
        ShotTaste::Sour | ShotTaste::Salty | ShotTaste::Thin => 1.0,
        ShotTaste::Bitter | ShotTaste::Astringent | ShotTaste::Harsh => -1.0,
        ShotTaste::Balanced => return None,
    };
    let change = found.yield_change;
    let (way, other) = if wanted > 0.0 {
        ("more", "less")
    } else {
        ("less", "more")
    };
    if wanted * change > TASTED {
        let text = format!(
            "The last taste asks for {way} extraction by common practice, and the next shot is expected to have it."
        );
        Some(reason(ReasonCode::TasteAgrees, text))
    } else if wanted * change < -TASTED {
        let text = format!(
            "The last taste asks for {way} extraction by common practice, and the next shot is expected to have {other}: look at the target."
        );
        Some(reason(ReasonCode::TasteDisagrees, text))
    } else {
        None
    }
}
