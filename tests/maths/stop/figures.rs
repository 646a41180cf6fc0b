//! How well shots are stopped, on simulated scales: nothing here was measured on a machine.

use extraction_maths::maths::stop::drain::learned;
use extraction_maths::maths::stop::{Drained, Settings, Tracker};

use super::stop_streams::{DELAY_S, Draws, Machine, Shot};

pub(super) fn settings(target_g: f64) -> Settings {
    Settings {
        target_g,
        command_latency_s: 0.25,
        scale_lag_s: 0.4,
        transport_delay_s: DELAY_S,
    }
}

/// How a shot ended.
struct Ended {
    /// Mass in the end less the target, g.
    error_g: f64,
    /// The stop against the one that would have hit the target, s.
    late_s: f64,
    /// What was foretold to be uncertain, g.
    uncertainty_g: f64,
    /// Squared errors of the flow over the steady part, and their number.
    flow: [f64; 2],
    /// What a phone sends of it with the next shot.
    drained: Drained,
}

/// Pulls a shot and stops it when the tracker says so; the command goes out between readings.
fn pulled(machine: Machine, target_g: f64, history: &[Drained], seed: u64) -> Ended {
    let mut shot = Shot::drawn(machine, seed);
    let mut tracker = Tracker::new(settings(target_g), learned(history)).expect("settings");
    let mut flow = [0.0; 2];
    let (outlook, command_s) = loop {
        let (time_s, reading_g) = shot.next();
        tracker.push(time_s, reading_g).expect("a reading");
        let outlook = tracker.outlook();
        assert!(time_s < 90.0, "the shot never ends: {tracker:?}");
        if shot.mass_g() > 10.0 {
            let miss = outlook.flow_g_per_s.expect("a flow") - shot.flow();
            flow = [flow[0] + miss * miss, flow[1] + 1.0];
        }
        // the phone has a timer for what is due before the next reading
        if outlook.seconds_left.is_some_and(|left| left < 0.1) {
            break (outlook, outlook.stop_at_s.expect("a time").max(time_s));
        }
    };
    shot.command(command_s);
    let stop_s = command_s + settings(target_g).command_latency_s;
    let flow_at_stop = outlook.flow_g_per_s.expect("a flow");
    let at_command = outlook.mass_g.expect("a mass");
    let last_s = stop_s - command_s;
    let mass_at_stop = at_command + flow_at_stop * last_s;
    let rate = shot.flow();
    // what the scale shows in the end, in its own steps
    let mut shown = 0.0;
    let mut later = shot.clone();
    for _ in 0..60 {
        shown = later.next().1;
    }
    let final_g = shot.drained_g();
    Ended {
        error_g: final_g - target_g,
        late_s: (final_g - target_g) / rate,
        uncertainty_g: outlook.uncertainty_g.expect("an uncertainty"),
        flow,
        drained: Drained {
            flow_at_stop_g_per_s: flow_at_stop,
            after_stop_g: (shown - mass_at_stop).max(0.0),
        },
    }
}

#[derive(Debug, Default)]
struct Figures {
    mean: f64,
    sd: f64,
    p95: f64,
    late_mean: f64,
    late_sd: f64,
    claimed: f64,
    covered: f64,
    flow_rms: f64,
}

#[expect(clippy::cast_precision_loss, reason = "some hundred shots")]
fn figures(ended: &[Ended]) -> Figures {
    let n = ended.len() as f64;
    let mean = |of: &dyn Fn(&Ended) -> f64| ended.iter().map(of).sum::<f64>() / n;
    let (error, late) = (mean(&|e| e.error_g), mean(&|e| e.late_s));
    let spread = |of: &dyn Fn(&Ended) -> f64| (mean(&|e| of(e).powi(2)) * n / (n - 1.0)).sqrt();
    let mut sizes: Vec<_> = ended.iter().map(|e| e.error_g.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let place = sizes.len() * 95 / 100;
    let flow = ended
        .iter()
        .fold([0.0; 2], |sum, e| [sum[0] + e.flow[0], sum[1] + e.flow[1]]);
    Figures {
        mean: error,
        sd: spread(&|e| e.error_g - error),
        p95: sizes[place],
        late_mean: late,
        late_sd: spread(&|e| e.late_s - late),
        claimed: mean(&|e| e.uncertainty_g.powi(2)).sqrt(),
        covered: mean(&|e| f64::from(u8::from(e.error_g.abs() <= 1.645 * e.uncertainty_g))),
        flow_rms: (flow[0] / flow[1]).sqrt(),
    }
}

/// Shots of many machines, each with so many earlier shots.
fn after(earlier: usize, machines: u64) -> Figures {
    let mut ended = Vec::new();
    for number in 0..machines {
        let mut draws = Draws::new(1_000 + number);
        let machine = Machine::drawn(&mut draws);
        let target_g = (draws.even(28.0, 44.0) * 10.0).round() / 10.0;
        let mut history = Vec::new();
        for shot in 0.. {
            let seed = 7_919 * number + shot;
            let one = pulled(machine, target_g, &history, seed);
            history.push(one.drained);
            if history.len() > earlier {
                ended.push(one);
                break;
            }
        }
    }
    let found = figures(&ended);
    eprintln!("{earlier} earlier shots: {found:?}");
    found
}

/// What two in three hundred draws may differ by; the draws are the same in every run.
#[track_caller]
fn within(value: f64, low: f64, high: f64) {
    assert!(low <= value && value <= high, "{value} in {low} to {high}");
}

/// On 400 machines: +0.05 g, 0.57 g and 1.09 g for mean, standard deviation and the 95th
/// percentile of the size; 0.28 s for the standard deviation in time.
#[test]
fn a_shot_without_history_ends_within_a_gram_or_so() {
    let found = after(0, 150);
    within(found.mean, -0.15, 0.25);
    within(found.sd, 0.3, 0.7);
    within(found.p95, 0.5, 1.5);
    within(found.late_mean, -0.1, 0.15);
    within(found.late_sd, 0.1, 0.36);
    within(found.covered, 0.85, 1.0);
}

/// On 400 machines: -0.05 g, 0.29 g, 0.6 g and 0.15 s.
#[test]
fn one_earlier_shot_halves_the_error() {
    let found = after(1, 100);
    within(found.mean, -0.18, 0.1);
    within(found.sd, 0.1, 0.4);
    within(found.covered, 0.85, 1.0);
}

/// On 400 machines: -0.06 g, 0.24 g, 0.47 g and 0.13 s. What three shots must come to is
/// 0.4 g; the hold-up's own scatter is 0.15 g.
#[test]
fn three_earlier_shots_leave_a_quarter_of_a_gram() {
    let found = after(3, 80);
    within(found.mean, -0.18, 0.1);
    within(found.sd, 0.1, 0.33);
    within(found.p95, 0.2, 0.65);
    within(found.late_sd, 0.05, 0.2);
    within(found.covered, 0.85, 1.0);
    // what is claimed is what is found, or somewhat more
    within(found.claimed / found.sd, 0.9, 2.0);
}

/// On 400 machines: -0.07 g, 0.21 g, 0.42 g and 0.11 s.
#[test]
fn ten_earlier_shots_leave_little_but_scatter() {
    let found = after(10, 40);
    within(found.mean, -0.2, 0.1);
    within(found.sd, 0.05, 0.3);
}

/// A shot that a phone stops by the rule alone, with the mass and the slope of the last second
/// as the scale shows them: what is in the cup in the end less the target, g.
fn pulled_by_rule(seed: u64) -> f64 {
    let mut draws = Draws::new(1_000 + seed);
    let mut shot = Shot::drawn(Machine::drawn(&mut draws), seed);
    let (drain, settings) = (learned(&[]), settings(36.0));
    let delay_s = settings.transport_delay_s + settings.scale_lag_s + settings.command_latency_s;
    let mut readings = vec![shot.next()];
    while readings.len() < 900 {
        readings.push(shot.next());
        let (now_s, shown_g) = readings[readings.len() - 1];
        let (was_s, was_g) = readings[readings.len().saturating_sub(11)];
        let flow = (shown_g - was_g) / (now_s - was_s);
        if shown_g + flow * (delay_s + drain.per_flow_s) + drain.base_g >= settings.target_g {
            shot.command(now_s);
            return shot.drained_g() - settings.target_g;
        }
    }
    panic!("the shot never ends");
}

/// On 200 machines: +0.18 g and 0.58 g, hardly worse than the filter without history.
#[test]
#[expect(clippy::cast_precision_loss, reason = "some hundred shots")]
fn the_rule_alone_stops_a_shot_nearly_as_well() {
    let errors: Vec<_> = (0..200).map(pulled_by_rule).collect();
    let n = errors.len() as f64;
    let mean = errors.iter().sum::<f64>() / n;
    let square = errors
        .iter()
        .map(|error| (error - mean).powi(2))
        .sum::<f64>();
    let sd = (square / (n - 1.0)).sqrt();
    eprintln!("by the rule: {mean} {sd}");
    within(mean, -0.2, 0.45);
    within(sd, 0.3, 0.75);
}

/// 0.061 g/s; a causal flow must be within 0.09 g/s.
#[test]
fn the_flow_is_known_as_it_runs() {
    let found = after(0, 40);
    within(found.flow_rms, 0.02, 0.09);
}
