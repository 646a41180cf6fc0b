//! What scales do besides weighing: none of it may move the stop by much, all of it is said.

use extraction_maths::maths::stop::drain::learned;
use extraction_maths::maths::stop::{Fault, Phase, Tracker};

use super::figures::settings;
use super::stop_streams::{Draws, Machine, Shot};

/// A shot to 36 g, what a phone made of its readings before it sent them, and what came of it.
struct Run {
    error_g: f64,
    faults: Vec<Fault>,
    ignored: usize,
}

/// Pulls a shot whose readings pass through `spoil`, which may turn one into none or several.
fn run(seed: u64, mut spoil: impl FnMut(usize, (f64, f64)) -> Vec<(f64, f64)>) -> Run {
    let machine = Machine::drawn(&mut Draws::new(seed));
    let mut shot = Shot::drawn(machine, seed);
    let mut tracker = Tracker::new(settings(36.0), learned(&[])).expect("settings");
    let (mut faults, mut ignored) = (Vec::new(), 0);
    for number in 0.. {
        let reading = shot.next();
        assert!(number < 900, "the shot never ends: {tracker:?}");
        for (time_s, reading_g) in spoil(number, reading) {
            let taken = tracker.push(time_s, reading_g).expect("a reading");
            faults.extend(taken.fault);
            ignored += usize::from(!taken.is_used);
        }
        let outlook = tracker.outlook();
        if outlook.phase == Phase::StopNow || outlook.phase == Phase::Past {
            shot.command(reading.0);
            break;
        }
    }
    Run {
        error_g: shot.drained_g() - 36.0,
        faults,
        ignored,
    }
}

/// A zero that differs by a step of the scale may put the stop one reading later, which is up to
/// 0.35 g.
const ONE_LATER_G: f64 = 0.45;

const SEEDS: std::ops::Range<u64> = 0..25;

/// By how much the final mass moves when readings are spoiled, at most over many shots.
fn moved(spoil: impl Fn(u64, usize, (f64, f64)) -> Vec<(f64, f64)>) -> (f64, Vec<Run>) {
    let mut most = 0.0_f64;
    let mut runs = Vec::new();
    for seed in SEEDS {
        let clean = run(seed, |_, reading| vec![reading]);
        assert_eq!(clean.faults, [], "{seed}");
        assert_eq!(clean.ignored, 0, "{seed}");
        let spoiled = run(seed, |number, reading| spoil(seed, number, reading));
        most = most.max((spoiled.error_g - clean.error_g).abs());
        runs.push(spoiled);
    }
    (most, runs)
}

#[track_caller]
fn assert_all(runs: &[Run], fault: Fault) {
    for run in runs {
        assert!(run.faults.contains(&fault), "{:?}", run.faults);
    }
}

#[test]
fn readings_sent_twice_change_nothing() {
    let (most, runs) = moved(|_, _, reading| vec![reading, reading]);
    assert!(most < 1e-12, "{most}");
    assert!(
        runs.iter()
            .all(|run| run.faults.is_empty() && run.ignored > 50)
    );
}

#[test]
fn lost_readings_cost_little() {
    let (most, _) = moved(|seed, number, reading| {
        let is_lost = Draws::new(seed * 1000 + number as u64).even(0.0, 1.0) < 0.3;
        if is_lost { vec![] } else { vec![reading] }
    });
    assert!(most < 0.7, "{most}");
}

#[test]
fn a_gap_is_bridged_and_said() {
    // from the midst of a shot for 1.5 s
    let (most, runs) = moved(|_, number, reading| {
        if (120..135).contains(&number) {
            vec![]
        } else {
            vec![reading]
        }
    });
    assert!(most < 0.4, "{most}");
    assert_all(&runs, Fault::Gap);
}

#[test]
fn a_bump_is_set_aside_and_said() {
    let (most, runs) = moved(|_, number, (time_s, reading_g)| {
        let bump_g = [25.0, -18.0, 9.0][number % 3];
        let is_bumped = (130..133).contains(&number);
        vec![(
            time_s,
            if is_bumped {
                reading_g + bump_g
            } else {
                reading_g
            },
        )]
    });
    assert!(most < 0.4, "{most}");
    assert_all(&runs, Fault::Bump);
    assert!(runs.iter().all(|run| run.ignored == 3));
}

#[test]
fn a_bump_while_waiting_does_not_start_the_shot() {
    let (most, runs) = moved(|_, number, (time_s, reading_g)| {
        vec![(
            time_s,
            if (20..23).contains(&number) {
                reading_g + 30.0
            } else {
                reading_g
            },
        )]
    });
    assert!(most < ONE_LATER_G, "{most}");
    assert_all(&runs, Fault::Bump);
}

#[test]
fn a_tare_in_the_midst_keeps_the_mass() {
    let mut zero_g = None;
    let (most, runs) = {
        let zero = std::cell::Cell::new(0.0);
        let moved = moved(|_, number, (time_s, reading_g)| {
            if number == 130 {
                zero.set(reading_g);
            }
            let off_g = if number >= 130 { zero.get() } else { 0.0 };
            vec![(time_s, reading_g - off_g)]
        });
        zero_g = zero_g.or(Some(zero.get()));
        moved
    };
    assert!(
        zero_g.is_some_and(|zero| zero > 3.0),
        "there was something to tare"
    );
    assert!(most < 0.6, "{most}");
    assert_all(&runs, Fault::Tare);
}

#[test]
fn a_spoon_in_the_cup_is_no_coffee() {
    let (most, runs) = moved(|_, number, (time_s, reading_g)| {
        vec![(
            time_s,
            if number >= 130 {
                reading_g + 12.0
            } else {
                reading_g
            },
        )]
    });
    assert!(most < 0.6, "{most}");
    assert_all(&runs, Fault::Shift);
}

#[test]
fn a_cup_that_was_never_tared_is_no_coffee() {
    let (most, runs) = moved(|_, _, (time_s, reading_g)| vec![(time_s, reading_g + 163.4)]);
    assert!(most < ONE_LATER_G, "{most}");
    assert!(runs.iter().all(|run| run.faults.is_empty()));
}

#[test]
fn a_cup_set_down_and_tared_while_waiting_is_no_coffee() {
    let (most, _) = moved(|_, number, (time_s, reading_g)| {
        // rises as slowly as the scale does
        let cup_g = if (12..30).contains(&number) {
            #[expect(clippy::cast_precision_loss, reason = "a few readings")]
            let since_s = (number - 11) as f64 / 10.0;
            148.0 * (1.0 - (-since_s / 0.4).exp())
        } else {
            0.0
        };
        vec![(time_s, reading_g + cup_g)]
    });
    assert!(most < ONE_LATER_G, "{most}");
}

#[test]
fn a_stream_that_begins_in_the_midst_is_taken_at_its_word() {
    let (most, _) = moved(|_, number, reading| if number < 140 { vec![] } else { vec![reading] });
    assert!(most < 0.5, "{most}");
}

#[test]
fn a_clock_that_is_set_back_is_found_out_by_the_mass() {
    for back_s in [0.7, 5.0, 500.0] {
        let (most, runs) = moved(|_, number, (time_s, reading_g)| {
            vec![(
                if number >= 120 {
                    time_s - back_s
                } else {
                    time_s
                },
                reading_g,
            )]
        });
        assert!(most < 1.0, "{back_s} s: {most}");
        if back_s > 1.0 {
            assert_all(&runs, Fault::ClockBack);
        }
    }
}
