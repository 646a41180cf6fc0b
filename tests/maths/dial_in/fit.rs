//! What a fit says of itself.

use extraction_maths::maths::dial_in::{Dial, Fit, HigherIs, PulledShot};

use super::worlds::{Physics, START, recipe, usual};

fn fitted(shots: &[PulledShot], dial: Dial) -> Fit {
    Fit::of(shots, dial, &|| false)
        .expect("a fit")
        .expect("not cancelled")
}

#[test]
fn a_cancelled_fit_answers_nothing() {
    let mut world = usual(1, HigherIs::Coarser, Physics::Right).remove(0);
    let shots = world.pulled_at(&[START]).expect("a shot");
    assert_eq!(Fit::of(&shots, world.dial, &|| true), Ok(None));
}

#[test]
fn no_shots_and_too_many_are_refused() {
    let mut world = usual(1, HigherIs::Coarser, Physics::Right).remove(0);
    let shot = world.pulled_at(&[START]).expect("a shot").remove(0);
    assert!(Fit::of(&[], world.dial, &|| false).is_err());
    assert!(Fit::of(&vec![shot; 51], world.dial, &|| false).is_err());
}

#[test]
fn shots_at_one_setting_leave_the_dial_as_it_was_expected_and_others_do_not() {
    let mut world = usual(1, HigherIs::Coarser, Physics::Right).remove(0);
    let same = world.pulled_at(&[START, START]).expect("shots");
    let apart = world
        .pulled_at(&[START, START - 4.0, START + 4.0])
        .expect("shots");
    assert!(fitted(&same, world.dial).slope_left() > 0.9);
    assert!(fitted(&apart, world.dial).slope_left() < 0.6);
}

/// Numbers on a dial are names: turned the other way, or counted from elsewhere, they tell the
/// same.
#[test]
fn the_direction_and_the_origin_of_the_dial_change_nothing() {
    let mut world = usual(1, HigherIs::Coarser, Physics::Right).remove(0);
    let shots = world.pulled_at(&[START, 18.0, 22.0]).expect("shots");
    let renamed: Vec<_> = shots
        .iter()
        .cloned()
        .map(|mut shot| {
            shot.recipe.setting = 50.0 - shot.recipe.setting;
            shot
        })
        .collect();
    let finer = Dial {
        higher_is: HigherIs::Finer,
        ..world.dial
    };
    let (fit, other) = (fitted(&shots, world.dial), fitted(&renamed, finer));
    let time = |fit: &Fit, setting: f64| {
        let modelled = fit.modelled(&recipe(setting), 60.0, &|| false);
        modelled.expect("a model").expect("not cancelled").ln_time
    };
    assert!((time(&fit, 19.0) - time(&other, 31.0)).abs() < 1e-9);
}

#[test]
fn a_shot_of_other_numbers_than_the_rest_is_named() {
    let mut world = usual(1, HigherIs::Coarser, Physics::Right).remove(0);
    let mut shots = world.pulled_at(&[20.0; 6]).expect("shots");
    assert!(fitted(&shots, world.dial).odd.is_empty());
    shots[2].shot_time_s *= 1.8;
    let fit = fitted(&shots, world.dial);
    assert!(fit.odd.contains(&2), "{:?}", fit.odd);
    assert!(fit.scatter > 1.0);
}

#[test]
fn without_a_strength_there_is_no_prediction_of_it() {
    let mut world = usual(1, HigherIs::Coarser, Physics::Right).remove(0);
    let mut shots = world.pulled_at(&[20.0, 18.0]).expect("shots");
    for shot in &mut shots {
        shot.dissolved_fraction = None;
    }
    let fit = fitted(&shots, world.dial);
    assert!(!fit.has_strength);
    let prediction = fit
        .prediction((&recipe(19.0), 60.0), &shots, 0.9, &|| false)
        .expect("a prediction")
        .expect("not cancelled");
    assert_eq!(prediction.dissolved_fraction, None);
    assert_eq!(prediction.extraction_fraction, None);
}
