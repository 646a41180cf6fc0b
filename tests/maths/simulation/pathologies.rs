//! Shots that go nowhere or ask too much: answered, never hung.
#![expect(
    clippy::float_cmp,
    reason = "what stands still stays the same bit for bit"
)]

use std::cell::Cell;

use extraction_maths::maths::MathsError;
use extraction_maths::maths::quantity::Mass;
use extraction_maths::maths::simulation::{
    Accuracy, Ending, Outcome, Parameters, Resolution, Shot, run, run_bed,
};

use super::cases::{bed, ordinary, outcome};

pub(super) fn standard(shot: &Shot) -> Result<Outcome, MathsError> {
    run(shot, &Parameters::default(), Accuracy::Standard, &|| false)
}

pub(super) fn answered(shot: &Shot) -> Outcome {
    let outcome = standard(shot).expect("an outcome");
    assert!(outcome.diagnostics.solute_defect <= 1e-9);
    assert!(outcome.diagnostics.water_defect <= 1e-9);
    assert_eq!(outcome.samples.len(), shot.sample_times_s.len());
    outcome
}

#[test]
fn a_target_out_of_reach_ends_with_the_duration() {
    let shot = Shot {
        target_beverage: Mass::from_grams(500.0).expect("a target"),
        duration_s: 40.0,
        sample_times_s: vec![40.0],
        ..ordinary(&[(0.0, 9.0)])
    };
    let outcome = answered(&shot);
    assert_eq!(outcome.ending, Ending::DurationOver);
    assert_eq!((outcome.time_to_target_s, outcome.at_target), (None, None));
    assert!(outcome.end.beverage_mass_g > 40.0);
    assert_eq!(outcome.end.time_s, 40.0);
    assert_eq!(outcome.samples[0], outcome.end);
}

#[test]
fn no_pressure_wets_nothing() {
    let shot = Shot {
        sample_times_s: vec![0.0, 5.0, 120.0],
        ..ordinary(&[(0.0, 0.0)])
    };
    let outcome = answered(&shot);
    assert_eq!(
        (outcome.headspace_full_s, outcome.first_drop_s),
        (None, None)
    );
    assert!(outcome.samples.iter().all(|cup| cup.beverage_mass_g == 0.0));
    assert!(
        outcome
            .bed
            .iter()
            .all(|layer| layer.solubles_left_fraction == 1.0)
    );
    assert_eq!(outcome.ending, Ending::DurationOver);
}

#[test]
fn a_pause_inside_the_infiltration_holds_the_front_and_delays_the_drop() {
    let steady = answered(&ordinary(&[(0.0, 3.0)]))
        .first_drop_s
        .expect("a drop");
    let paused = answered(&ordinary(&[
        (0.0, 3.0),
        (6.0, 3.0),
        (6.001, 0.0),
        (16.0, 0.0),
        (16.001, 3.0),
    ]));
    let delay = paused.first_drop_s.expect("a drop") - steady;
    // Ten seconds of rest; what dissolves meanwhile changes the resistance a little.
    assert!((delay - 10.0).abs() < 0.5, "{delay}");
}

/// Clean water that meets the rich liquid of a pause all at once: a steep layer at the inlet,
/// where half old, half new time would overshoot below zero.
#[test]
fn pressure_that_returns_at_once_after_a_pause_leaves_no_negative_concentration() {
    for pause_s in [0.001, 1.0, 9.0] {
        for bar in [9.0, 15.0] {
            let back = 20.0 + pause_s;
            let points = [
                (0.0, 6.0),
                (18.0, 6.0),
                (20.0, 0.0),
                (back, 0.0),
                (back + 0.001, bar),
            ];
            let shot = Shot {
                sample_times_s: (1..=240).map(|k| 0.25 * f64::from(k)).collect(),
                ..ordinary(&points)
            };
            let found = answered(&shot).diagnostics;
            assert!(
                found.least_kg_per_m3 >= 0.0,
                "{pause_s} s, {bar} bar: {found:?}"
            );
        }
    }
}

#[test]
fn pressure_that_falls_to_zero_stops_the_flow_and_keeps_the_cup() {
    let shot = Shot {
        sample_times_s: vec![15.0, 21.0, 60.0],
        target_beverage: Mass::from_grams(200.0).expect("a target"),
        ..ordinary(&[(0.0, 9.0), (18.0, 9.0), (20.0, 0.0)])
    };
    let outcome = answered(&shot);
    let [before, stopped, later] = outcome.samples[..] else {
        panic!("three samples");
    };
    assert!(before.flow_g_per_s > 1.0 && stopped.flow_g_per_s == 0.0);
    assert_eq!(stopped.beverage_mass_g, later.beverage_mass_g);
    assert_eq!(stopped.extraction_fraction, later.extraction_fraction);
}

#[test]
fn a_front_that_is_not_through_in_time_leaves_an_empty_cup() {
    let shot = Shot {
        duration_s: 5.0,
        sample_times_s: vec![1.0, 5.0],
        ..ordinary(&[(0.0, 9.0)])
    };
    let outcome = answered(&shot);
    assert!(outcome.headspace_full_s.is_some() && outcome.first_drop_s.is_none());
    assert!(outcome.samples.iter().all(|cup| cup.beverage_mass_g == 0.0));
    let left = |index: usize| outcome.bed[index].solubles_left_fraction;
    assert!(left(0) < 0.9 && left(59) == 1.0);
}

#[test]
fn a_hint_of_pressure_creeps() {
    let shot = Shot {
        duration_s: 600.0,
        ..ordinary(&[(0.0, 0.01)])
    };
    let outcome = answered(&shot);
    assert_eq!(outcome.first_drop_s, None);
}

#[test]
fn pressure_that_starts_late_or_from_zero_is_followed() {
    let at_once = answered(&ordinary(&[(0.0, 9.0)]));
    let late = answered(&ordinary(&[(0.0, 0.0), (10.0, 0.0), (10.000_001, 9.0)]));
    let delay =
        |f: fn(&Outcome) -> Option<f64>| f(&late).expect("late") - f(&at_once).expect("at once");
    for read in [
        |o: &Outcome| o.headspace_full_s,
        |o: &Outcome| o.first_drop_s,
        |o: &Outcome| o.time_to_target_s,
    ] {
        assert!((delay(read) - 10.0).abs() < 1e-5);
    }
    let ramp = answered(&ordinary(&[(0.0, 0.0), (30.0, 9.0)]));
    assert!(ramp.first_drop_s > at_once.first_drop_s);
}

#[test]
fn ten_cells_and_four_hundred_give_the_same_shot() {
    let shot = ordinary(&[(0.0, 9.0)]);
    let bed = bed(&shot);
    let time = |resolution| {
        outcome(&bed, &shot, resolution)
            .time_to_target_s
            .expect("the target")
    };
    // The spread of a very coarse grid.
    assert!((time((10, 5, 0.25)) / time((400, 5, 0.25)) - 1.0).abs() < 5e-3);
}

#[test]
fn a_shot_can_be_cancelled_at_any_poll() {
    let shot = ordinary(&[(0.0, 9.0)]);
    for allowed in [0, 1, 5] {
        let polls = Cell::new(0);
        let cancel = || {
            polls.set(polls.get() + 1);
            polls.get() > allowed
        };
        let outcome = run(&shot, &Parameters::default(), Accuracy::Standard, &cancel);
        let outcome = outcome.expect("an outcome");
        assert_eq!(outcome.ending, Ending::Cancelled);
        assert_eq!(outcome.diagnostics.steps, 16 * (allowed + 1));
        assert!(outcome.at_target.is_none());
    }
}

#[test]
fn work_beyond_the_limit_is_refused() {
    let shot = Shot {
        duration_s: 600.0,
        sample_times_s: vec![600.0],
        ..ordinary(&[(0.0, 9.0)])
    };
    let resolution = Resolution {
        cells: 800,
        modes: 12,
        step_s: 0.005,
    };
    let refused = run_bed(&bed(&shot), &shot, resolution, &|| false);
    assert!(matches!(refused, Err(MathsError::WorkLimit { asked, allowed }) if asked > allowed));
    assert!(standard(&shot).is_ok());
}
