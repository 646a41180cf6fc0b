//! What goes wrong with a scale: it is told, and it does not spoil the rest.

use extraction_maths::maths::shot::{Analysis, FaultKind};

use super::scale_stream::Truth;
use super::{Case, Errors, analysed, case};

const SEEDS: u64 = 40;

/// Largest errors of first drop, beverage and steady flow; bias, deviation, worst.
struct Allowed {
    first_drop_s: (f64, f64, f64),
    beverage_g: (f64, f64, f64),
    flow_g_per_s: (f64, f64, f64),
}

const AS_CLEAN: Allowed = Allowed {
    first_drop_s: (0.06, 0.08, 0.30),
    beverage_g: (0.03, 0.06, 0.2),
    flow_g_per_s: (0.02, 0.05, 0.5),
};

/// Spoils seeded streams, and asserts that the fault is told at its time and nothing else is.
fn spoiled(
    what: &str,
    (kind, allowed): (FaultKind, &Allowed),
    extra_g: &dyn Fn(&Truth, f64) -> f64,
    spoil: &dyn Fn(&mut Case) -> f64,
) {
    let (mut drops, mut beverages, mut flows) = (vec![], vec![], vec![]);
    for seed in 0..SEEDS {
        let truth = case(seed, &|_| 0.0).truth;
        let mut case = case(seed, &|time_s| extra_g(&truth, time_s));
        let at_s = spoil(&mut case);
        let analysis = analysed(&case.recorded, Some(truth.stop_s));
        is_told(what, (kind, at_s), &case, &analysis);
        let drop = analysis.first_drop.expect(what);
        drops.push(drop.time_s - truth.first_drop_s);
        beverages.push(analysis.beverage_g - truth.mass_at(truth.end_s));
        let (from_s, to_s) = (truth.first_drop_s + 3.0, truth.stop_s - 0.5);
        let steady = analysis
            .cup
            .iter()
            .filter(|s| from_s < s.time_s && s.time_s < to_s);
        flows.extend(steady.map(|s| s.flow_g_per_s - truth.flow_at(s.time_s)));
    }
    Errors::of(drops).within(&format!("{what}: first drop"), allowed.first_drop_s);
    Errors::of(beverages).within(&format!("{what}: beverage"), allowed.beverage_g);
    Errors::of(flows).within(&format!("{what}: flow"), allowed.flow_g_per_s);
}

fn is_told(what: &str, (kind, at_s): (FaultKind, f64), case: &Case, analysis: &Analysis) {
    let told = &analysis.faults;
    let is_it = told
        .iter()
        .any(|f| f.kind == kind && (f.time_s - at_s).abs() < 0.7);
    assert!(is_it, "{what} at {at_s}, seed {}: {told:?}", case.seed);
    let others: Vec<_> = told.iter().filter(|f| f.kind != kind).collect();
    assert!(
        others.is_empty(),
        "{what} at {at_s}, seed {}: {others:?}",
        case.seed
    );
}

/// An instant in the middle of the shot.
fn middle_s(truth: &Truth) -> f64 {
    truth.first_drop_s + 8.0
}

fn nothing(_: &Truth, _: f64) -> f64 {
    0.0
}

/// Something on the scale between two instants.
fn between(time_s: f64, from_s: f64, to_s: f64, mass_g: f64) -> f64 {
    if from_s <= time_s && time_s < to_s {
        mass_g
    } else {
        0.0
    }
}

#[test]
fn a_knock_is_told_and_left_out() {
    for mass_g in [6.0, 40.0, -15.0] {
        let knock = move |truth: &Truth, time_s: f64| {
            let begin_s = middle_s(truth);
            between(time_s, begin_s, begin_s + 0.3, mass_g)
        };
        let what = format!("a knock of {mass_g} g");
        let expected = (FaultKind::Bump, &AS_CLEAN);
        spoiled(&what, expected, &knock, &|case| {
            middle_s(&case.truth) + 0.12
        });
    }
}

#[test]
fn a_knock_before_the_first_drop_is_no_first_drop() {
    let knock = |_: &Truth, time_s: f64| between(time_s, 1.0, 1.3, 10.0);
    spoiled(
        "an early knock",
        (FaultKind::Bump, &AS_CLEAN),
        &knock,
        &|_| 1.12,
    );
}

#[test]
fn a_tare_in_the_middle_is_told_and_the_beverage_goes_on() {
    let tare = |case: &mut Case| {
        let at_s = middle_s(&case.truth);
        case.recorded.tare(at_s);
        at_s
    };
    spoiled("a tare", (FaultKind::Tare, &AS_CLEAN), &nothing, &tare);
}

#[test]
fn a_tare_of_the_cup_before_the_shot_is_told() {
    let tare = |case: &mut Case| {
        case.recorded.tare(1.5);
        1.5
    };
    let cup = |_: &Truth, _: f64| 143.7;
    spoiled(
        "a tare of the cup",
        (FaultKind::Tare, &AS_CLEAN),
        &cup,
        &tare,
    );
}

#[test]
fn a_cup_set_down_before_the_first_drop_is_told() {
    let cup = |_: &Truth, time_s: f64| between(time_s, 0.5, f64::MAX, 62.0);
    let expected = (FaultKind::CupSetDown, &AS_CLEAN);
    spoiled("a cup", expected, &cup, &|_| 0.62);
}

#[test]
fn a_cup_set_down_late_weighs_what_it_catches() {
    for seed in 0..SEEDS {
        let truth = case(seed, &|_| 0.0).truth;
        let late_s = truth.first_drop_s + 3.0;
        let missed_g = truth.mass_at(late_s);
        // what fell before is beside the cup: the scale shows nothing of it
        let extra = |time_s: f64| {
            if time_s < late_s {
                -truth.mass_at(time_s)
            } else {
                180.0 - missed_g
            }
        };
        let case = case(seed, &extra);
        let analysis = analysed(&case.recorded, Some(truth.stop_s));
        let told = &analysis.faults;
        let is_it = |f: &&_| {
            matches!(
                f,
                extraction_maths::maths::shot::Fault {
                    kind: FaultKind::CupSetDown,
                    ..
                }
            )
        };
        assert!(told.iter().any(|f| is_it(&f)), "seed {seed}: {told:?}");
        let caught_g = truth.mass_at(truth.end_s) - missed_g;
        let error_g = analysis.beverage_g - caught_g;
        assert!(
            error_g.abs() < 1.2,
            "seed {seed}: {error_g} g of {caught_g}"
        );
    }
}

#[test]
fn a_cup_lifted_at_the_end_leaves_the_beverage() {
    let lifted = |truth: &Truth, time_s: f64| between(time_s, truth.stop_s + 4.0, f64::MAX, -300.0);
    let expected = (FaultKind::CupLifted, &AS_CLEAN);
    spoiled("a lifted cup", expected, &lifted, &|case| {
        case.truth.stop_s + 4.12
    });
}

#[test]
fn a_gap_is_told_and_bridged() {
    let gap = |case: &mut Case| {
        let from_s = middle_s(&case.truth);
        case.recorded.gap(from_s, from_s + 2.5);
        from_s
    };
    spoiled("a gap", (FaultKind::Gap, &AS_CLEAN), &nothing, &gap);
}

#[test]
fn doubled_readings_are_told_and_count_once() {
    let twice = |case: &mut Case| {
        let from_s = middle_s(&case.truth);
        case.recorded.twice(from_s, from_s + 0.5);
        from_s
    };
    spoiled(
        "doubled readings",
        (FaultKind::Duplicate, &AS_CLEAN),
        &nothing,
        &twice,
    );
}

#[test]
fn readings_that_overtake_each_other_are_put_in_order() {
    let swap = |case: &mut Case| {
        let at_s = middle_s(&case.truth);
        case.recorded.swap(at_s);
        at_s
    };
    let expected = (FaultKind::ClockRunningBack, &AS_CLEAN);
    spoiled("late readings", expected, &nothing, &swap);
}

/// After it, the clock of the readings is off by what was lost, a tenth of a second or so.
#[test]
fn a_clock_that_is_set_back_is_told_and_carried_on() {
    for by_s in [0.7, 5.0, 3600.0] {
        let back = move |case: &mut Case| {
            let at_s = middle_s(&case.truth);
            case.recorded.clock_back(at_s, by_s);
            at_s
        };
        let expected = (FaultKind::ClockRunningBack, &AS_CLEAN);
        spoiled(
            &format!("a clock set back by {by_s} s"),
            expected,
            &nothing,
            &back,
        );
    }
}

#[test]
fn the_end_of_the_range_is_told() {
    for seed in 0..SEEDS {
        let mut case = case(seed, &|_| 0.0);
        let truth = &case.truth;
        case.recorded
            .limit((0.6 * truth.mass_at(truth.stop_s)).round());
        let analysis = analysed(&case.recorded, Some(truth.stop_s));
        let told: Vec<_> = analysis.faults.iter().map(|f| f.kind).collect();
        assert_eq!(told, [FaultKind::ScaleOutOfRange], "seed {seed}");
        let drop_s = analysis.first_drop.expect("a first drop").time_s;
        assert!((drop_s - truth.first_drop_s).abs() < 0.3, "seed {seed}");
    }
}

/// Everything at once is still an answer.
#[test]
fn many_faults_at_once_are_all_told() {
    for seed in 0..SEEDS {
        let truth = case(seed, &|_| 0.0).truth;
        let begin_s = truth.first_drop_s;
        let knock = |time_s: f64| {
            between(time_s, 0.5, f64::MAX, 80.0)
                + between(time_s, begin_s + 4.0, begin_s + 4.2, 20.0)
        };
        let mut case = case(seed, &knock);
        case.recorded.tare(begin_s + 8.5);
        case.recorded.gap(begin_s + 11.0, begin_s + 12.5);
        case.recorded.swap(begin_s + 10.2);
        case.recorded.twice(begin_s + 7.6, begin_s + 8.0);
        let analysis = analysed(&case.recorded, Some(truth.stop_s));
        for kind in [
            FaultKind::CupSetDown,
            FaultKind::Bump,
            FaultKind::Gap,
            FaultKind::Duplicate,
            FaultKind::ClockRunningBack,
        ] {
            let is_told = analysis.faults.iter().any(|f| f.kind == kind);
            assert!(is_told, "seed {seed}: no {kind:?} in {:?}", analysis.faults);
        }
        let error_g = analysis.beverage_g - truth.mass_at(truth.end_s);
        assert!(error_g.abs() < 0.6, "seed {seed}: {error_g} g");
    }
}
