//! What is foretold of an ideal shot, by hand; the words of its course.

use extraction_maths::maths::stop::drain::learned;
use extraction_maths::maths::stop::{Outlook, Phase, Tracker};

use super::figures::settings;

/// A steady 2 g/s from 5 s on, on a scale with the lag and the delay that are assumed.
fn shown_g(time_s: f64) -> f64 {
    let since_s = time_s - 5.0 - 0.12;
    if since_s <= 0.0 {
        return 0.0;
    }
    // a first-order lag of a ramp: q (t - tau (1 - exp(-t / tau)))
    2.0 * (since_s - 0.4 * (1.0 - (-since_s / 0.4).exp()))
}

fn after(seconds: f64) -> Outlook {
    let mut tracker = Tracker::new(settings(36.0), learned(&[])).expect("settings");
    let times = (0_u32..).map(|number| f64::from(number) / 10.0);
    for time_s in times.take_while(|time| *time <= seconds) {
        tracker.push(time_s, shown_g(time_s)).expect("a reading");
    }
    tracker.outlook()
}

/// 36 g less 0.8 g + 0.6 s x 2 g/s after the stop is 34 g, reached 17 s after 5 s; the command
/// goes out 0.25 s before.
#[test]
fn the_stop_of_a_steady_flow_is_known_by_hand() {
    let outlook = after(15.0);
    assert_eq!(outlook.phase, Phase::Flowing);
    let stop_at_s = outlook.stop_at_s.expect("a time");
    assert!((stop_at_s - 21.75).abs() < 0.02, "{stop_at_s}");
    let left_s = outlook.seconds_left.expect("a time");
    assert!((left_s - 6.75).abs() < 0.02, "{left_s}");
    let final_g = outlook.final_g.expect("a mass");
    assert!((final_g - 36.0).abs() < 1e-9, "{final_g}");
    let mass_g = outlook.mass_g.expect("a mass");
    assert!((mass_g - 20.0).abs() < 0.02, "{mass_g}");
}

#[test]
fn a_nearer_stop_is_foretold_more_surely() {
    let mass = |seconds| after(seconds).uncertainty_g.expect("an uncertainty");
    assert!(mass(9.0) >= mass(21.0) && mass(21.0) > 0.0);
    let spread = |seconds| after(seconds).stop_uncertainty_s.expect("an uncertainty");
    assert!(spread(9.0) > spread(15.0) && spread(15.0) > spread(21.0));
}

#[test]
fn a_shot_waits_flows_is_to_be_stopped_and_is_past() {
    let mut phases = Vec::new();
    for tenths in 0..300_u32 {
        let phase = after(f64::from(tenths) / 10.0).phase;
        if phases.last() != Some(&phase) {
            phases.push(phase);
        }
    }
    let course = [Phase::Waiting, Phase::Flowing, Phase::StopNow, Phase::Past];
    assert_eq!(phases, course);
}

#[test]
fn before_the_first_drop_nothing_is_foretold() {
    let outlook = after(5.0);
    assert_eq!(outlook.phase, Phase::Waiting);
    let foretold = [outlook.stop_at_s, outlook.final_g, outlook.uncertainty_g];
    assert_eq!(foretold, [None; 3]);
}

#[test]
fn a_shot_that_runs_on_is_foretold_as_it_runs() {
    // still 2 g/s at 24 s: 38 g in the cup, 0.25 s of latency, 0.8 g + 0.6 s of drain
    let outlook = after(24.0);
    assert_eq!(outlook.phase, Phase::Past);
    let final_g = outlook.final_g.expect("a mass");
    assert!((final_g - 40.5).abs() < 0.05, "{final_g}");
}
