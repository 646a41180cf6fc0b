//! Whether what is recommended lands where it should.

use extraction_maths::maths::dial_in::{Aims, Fit, HigherIs, Limits, Next, PulledShot};

use super::worlds::{Physics, START, World, recipe, usual};

const GRIND_ALONE: Limits = Limits {
    may: [true, false, false, false],
};

fn next(world: &World, shots: &[PulledShot], aims: Aims) -> Next {
    let fit = Fit::of(shots, world.dial, &|| false)
        .expect("a fit")
        .expect("not cancelled");
    let last = &shots.last().expect("a shot").recipe;
    fit.next(last, (aims, GRIND_ALONE), 60.0, &|| false)
        .expect("a next shot")
        .expect("not cancelled")
}

/// Time by which each recommended shot misses 28 s as read, after one, two and three shots.
fn misses(count: usize, higher_is: HigherIs) -> Vec<[f64; 3]> {
    let aims = Aims {
        shot_time_s: Some(28.0),
        ..Aims::default()
    };
    let worlds = usual(count, higher_is, Physics::Right);
    worlds
        .into_iter()
        .filter_map(|mut world| {
            let mut shots = world.pulled_at(&[START])?;
            let mut misses = [0.0; 3];
            for miss in &mut misses {
                let next = next(&world, &shots, aims);
                let steps = next.recipe.setting / world.dial.smallest_step;
                assert!((steps - steps.round()).abs() < 1e-9, "on a step");
                let shot = world.pulled(&recipe(next.recipe.setting))?;
                *miss = shot.shot_time_s - 28.0;
                shots.push(shot);
            }
            Some(misses)
        })
        .collect()
}

fn share_within(misses: &[[f64; 3]], place: usize, seconds: f64) -> f64 {
    let within = misses.iter().filter(|m| m[place].abs() <= seconds).count();
    let float = |count| f64::from(u32::try_from(count).expect("few"));
    float(within) / float(misses.len())
}

/// Read within 3 s of 28 s, with 5 % of puck noise and a step of 3 to 31 µm that nobody knows: 22 %
/// of the recommendations after one shot, 83 % after two, 87 % after three (23 worlds).
#[test]
fn recommendations_land_ever_nearer_whichever_way_the_dial_turns() {
    for higher_is in [HigherIs::Coarser, HigherIs::Finer] {
        let misses = misses(24, higher_is);
        let shares = [0, 1, 2].map(|place| share_within(&misses, place, 3.0));
        assert!(misses.len() >= 20);
        assert!(shares[0] >= 0.1, "{shares:?}");
        assert!(shares[1] >= 0.7, "{shares:?}");
        assert!(shares[2] >= 0.75, "{shares:?}");
    }
}

#[test]
fn what_is_on_target_stays_as_it_is() {
    let mut worlds = usual(6, HigherIs::Coarser, Physics::Right);
    for world in &mut worlds {
        let shots = world.pulled_at(&[START, START]).expect("shots");
        let fit = Fit::of(&shots, world.dial, &|| false)
            .expect("a fit")
            .expect("not cancelled");
        let here = fit
            .modelled(&recipe(START), 60.0, &|| false)
            .expect("a model")
            .expect("not cancelled");
        let aims = Aims {
            shot_time_s: Some(here.ln_time.exp() + 0.5),
            ..Aims::default()
        };
        let next = next(world, &shots, aims);
        assert_eq!(next.recipe, shots[1].recipe);
        assert!(next.distance <= 1.0);
    }
}

#[test]
fn a_finer_grind_is_recommended_for_a_longer_shot() {
    for (higher_is, sign) in [(HigherIs::Coarser, -1.0), (HigherIs::Finer, 1.0)] {
        let mut world = usual(1, higher_is, Physics::Right).remove(0);
        let shots = world.pulled_at(&[START]).expect("a shot");
        let aims = Aims {
            shot_time_s: Some(shots[0].shot_time_s + 6.0),
            ..Aims::default()
        };
        let moved = next(&world, &shots, aims).recipe.setting - START;
        assert!(moved * sign > 0.0, "{higher_is:?}: {moved}");
    }
}
