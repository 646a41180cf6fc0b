//! How the shot time changes: by simulation where both shots can be simulated, otherwise only
//! the direction.

use super::request::{BrewSetUp, RecipeToCarry};
use super::response::{
    NotSimulated, NotSimulatedCode, ShotTimeChange, ShotTimeDirection, ShotTimeMethod, TimeDriver,
};
use crate::api::calculation::{Calculation, Call};
use crate::api::calculations::shot_simulation::ProfileRequest;
use crate::api::calculations::shot_simulation::ShotSimulation;
use crate::api::calculations::shot_simulation::ShotSimulationRequest;
use crate::api::calculations::shot_simulation::ShotSimulationResponse;
use crate::api::compose::answer_of;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::provenance::Answer;

/// Ratios of simulated times nearer to one than this are no change.
const SAME_TIME: f64 = 1e-9;

/// One of the two shots, as far as it is known.
#[derive(Debug, Clone)]
pub(super) struct Shot {
    pub(super) dose_g: f64,
    pub(super) beverage_mass_g: Option<f64>,
    pub(super) temperature_c: f64,
    pub(super) profile: Option<ProfileRequest>,
}

/// Both shots as simulated, or why there are none.
pub(super) enum Simulated {
    Both(Box<[Answer<ShotSimulationResponse>; 2]>),
    Not(NotSimulated),
}

/// Simulates both shots, where enough is known of each.
pub(super) fn simulated(
    shots: &[(Shot, &BrewSetUp); 2],
    call: &Call<'_>,
) -> Result<Simulated, Problem> {
    let [from, to] = shots;
    let requests = request(&from.0, from.1).and_then(|old| Ok([old, request(&to.0, to.1)?]));
    let requests = match requests {
        Ok(requests) => requests,
        Err(missing) => return Ok(Simulated::Not(missing)),
    };
    let mut answers = Vec::new();
    for request in &requests {
        match answer_of::<ShotSimulation>(request, call) {
            Ok(answer) => answers.push(answer),
            Err(problem) if is_refused(&problem) => {
                return Ok(Simulated::Not(NotSimulated {
                    code: NotSimulatedCode::OutsideTheModel,
                    detail: problem.detail().to_owned(),
                }));
            }
            Err(problem) => return Err(problem),
        }
    }
    let answers = <[_; 2]>::try_from(answers);
    let answers = answers.map_err(|_| Problem::internal("two shots were simulated"))?;
    Ok(Simulated::Both(Box::new(answers)))
}

/// Whether the simulation does not take the shot, which is an answer; a shot that ran out of
/// time is none.
fn is_refused(problem: &Problem) -> bool {
    [
        ProblemCode::ValidationFailed,
        ProblemCode::NoSolution,
        ProblemCode::WorkTooLarge,
    ]
    .contains(&problem.code())
}

/// The shot as a request of the simulation, or what is missing.
fn request(shot: &Shot, set_up: &BrewSetUp) -> Result<ShotSimulationRequest, NotSimulated> {
    let lacking = |code, what: &str| NotSimulated {
        code,
        detail: format!("{what}, so no shot is simulated and only the direction is told"),
    };
    use NotSimulatedCode::{BasketUnknown, BeverageUnknown, GrindUnknown, PressureUnknown};
    let grind_um = set_up.grind_diameter_um;
    let (diameter_mm, profile) = (set_up.basket_diameter_mm, shot.profile.clone());
    Ok(ShotSimulationRequest {
        dose_g: shot.dose_g,
        grind_diameter_um: grind_um.ok_or_else(|| lacking(GrindUnknown, "no grind is known"))?,
        basket_diameter_mm: diameter_mm
            .ok_or_else(|| lacking(BasketUnknown, "no basket is known"))?,
        water_temperature_c: shot.temperature_c,
        pressure_profile: profile
            .ok_or_else(|| lacking(PressureUnknown, "no pressure is known"))?,
        target_beverage_mass_g: shot
            .beverage_mass_g
            .ok_or_else(|| lacking(BeverageUnknown, "the recipe names no beverage mass"))?,
        duration_s: None,
        // no samples: the shot need not be run twice
        sample_time_s: Some(Vec::new()),
        accuracy: None,
        parameters: None,
        include_bed: None,
        sweep: None,
        workings: None,
    })
}

/// Most that both shots can cost. The bed is as deep on the new set-up as on the old one, so the
/// old one's dose and basket say how much work each grind is.
pub(super) fn cost(recipe: &RecipeToCarry, set_ups: (&BrewSetUp, &BrewSetUp)) -> u64 {
    let grinds = [set_ups.0.grind_diameter_um, set_ups.1.grind_diameter_um];
    let costs = grinds.into_iter().map(|grind_diameter_um| {
        let shot = Shot {
            dose_g: recipe.dose_g,
            beverage_mass_g: recipe.beverage_mass_g,
            temperature_c: recipe.temperature().0.unwrap_or_default(),
            profile: Some(ProfileRequest {
                time_s: vec![0.0],
                pressure_bar: vec![0.0],
            }),
        };
        let set_up = BrewSetUp {
            grind_diameter_um,
            ..set_ups.0.clone()
        };
        request(&shot, &set_up).map_or(1, |request| ShotSimulation::cost(&request))
    });
    costs.fold(1, u64::saturating_add)
}

/// What the answer says about the shot time.
pub(super) fn change(
    simulated: &Simulated,
    drivers: Vec<TimeDriver>,
    shot_time_s: Option<f64>,
) -> ShotTimeChange {
    match simulated {
        Simulated::Not(reason) => ShotTimeChange {
            method: ShotTimeMethod::Direction,
            direction: together(&drivers),
            change_s: None,
            time_ratio: None,
            simulated_from_s: None,
            simulated_to_s: None,
            tds_change_points: None,
            extraction_yield_change_points: None,
            because: drivers,
            not_simulated: Some(reason.clone()),
        },
        Simulated::Both(shots) => {
            let [old, new] = shots.each_ref().map(|shot| &shot.result);
            by_simulation((old, new), drivers, shot_time_s)
        }
    }
}

fn by_simulation(
    (old, new): (&ShotSimulationResponse, &ShotSimulationResponse),
    because: Vec<TimeDriver>,
    shot_time_s: Option<f64>,
) -> ShotTimeChange {
    let times = old.time_to_target_s.zip(new.time_to_target_s);
    let time_ratio = times.map(|(old, new)| new / old);
    let direction = match (time_ratio, old.target_reached) {
        (Some(ratio), _) if (ratio - 1.0).abs() <= SAME_TIME => ShotTimeDirection::Unchanged,
        (Some(ratio), _) if ratio < 1.0 => ShotTimeDirection::Shorter,
        // a shot that does not end in time takes longer than one that does
        (Some(_), _) | (None, true) => ShotTimeDirection::Longer,
        (None, false) if new.target_reached => ShotTimeDirection::Shorter,
        (None, false) => ShotTimeDirection::Undetermined,
    };
    let cups = old.at_target.as_ref().zip(new.at_target.as_ref());
    let strengths = cups.and_then(|(old, new)| old.tds_percent.zip(new.tds_percent));
    ShotTimeChange {
        method: ShotTimeMethod::Simulation,
        direction,
        change_s: shot_time_s
            .zip(time_ratio)
            .map(|(time_s, ratio)| time_s * ratio - time_s),
        time_ratio,
        simulated_from_s: old.time_to_target_s,
        simulated_to_s: new.time_to_target_s,
        tds_change_points: strengths.map(|(old, new)| new - old),
        extraction_yield_change_points: cups
            .map(|(old, new)| new.extraction_yield_percent - old.extraction_yield_percent),
        because,
        not_simulated: None,
    }
}

/// The direction of all drivers together: undetermined where they disagree.
fn together(drivers: &[TimeDriver]) -> ShotTimeDirection {
    let mut driven = drivers
        .iter()
        .map(|driver| driver.direction)
        .filter(|direction| *direction != ShotTimeDirection::Unchanged);
    let Some(first) = driven.next() else {
        return ShotTimeDirection::Unchanged;
    };
    if driven.all(|direction| direction == first) {
        first
    } else {
        ShotTimeDirection::Undetermined
    }
}
