//! What is foretold of a shot: when to stop it, and what will then be in the cup.

use super::drain::Drain;
use super::estimate::{Estimate, FLOW_WANDER_G_PER_S15};
use super::flowing::Flowing;
use super::tracker::{Cup, Due, Settings, Tracker};

/// Flow below which nothing is foretold, g/s.
pub const LEAST_FLOW_G_PER_S: f64 = 0.05;

/// Time after which a moment to stop has passed, s.
pub const PAST_AFTER_S: f64 = 2.0;

/// Share of the flow at the stop above which the pump must still be running.
const STILL_RUNNING: f64 = 0.5;

/// Where a shot is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// Nothing has flowed yet.
    Waiting,
    /// Coffee flows, and the moment to stop is to come.
    Flowing,
    /// The moment to stop is now.
    StopNow,
    /// The target is in the cup, or the moment to stop has long passed.
    Past,
}

/// What is foretold of a shot at its last reading. A quantity that does not exist is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlook {
    /// Where the shot is.
    pub phase: Phase,
    /// Mass in the cup, g.
    pub mass_g: Option<f64>,
    /// Flow into the cup, g/s.
    pub flow_g_per_s: Option<f64>,
    /// When to send the command to stop, s on the clock of the readings.
    pub stop_at_s: Option<f64>,
    /// Time left until then, s; never below zero.
    pub seconds_left: Option<f64>,
    /// How far that moment may still move, s: its standard uncertainty without further readings.
    pub stop_uncertainty_s: Option<f64>,
    /// Mass in the end, if the command is sent then, g.
    pub final_g: Option<f64>,
    /// Standard uncertainty of that mass when readings go on until then, g.
    pub uncertainty_g: Option<f64>,
}

impl Outlook {
    const WAITING: Self = Self {
        phase: Phase::Waiting,
        mass_g: None,
        flow_g_per_s: None,
        stop_at_s: None,
        seconds_left: None,
        stop_uncertainty_s: None,
        final_g: None,
        uncertainty_g: None,
    };
}

/// When to send the command, in seconds from the moment of the estimate.
///
/// # Equation
/// `t = (T - a - m) / q - L - b`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | t | time left (returned) | s |
/// | T | target | g |
/// | m, q | mass in the cup and flow into it | g, g/s |
/// | L | latency of the command | s |
/// | a, b | base and seconds of flow of the drain | g, s |
///
/// # Source
/// Mass balance at a steady flow: `T = m + q (t + L) + a + b q`.
///
/// # Valid for
/// Flows of [`LEAST_FLOW_G_PER_S`] and above; none is returned below.
///
/// # Example
/// ```
/// # use extraction_maths::maths::stop::{drain, outlook::command_in_s, Settings};
/// let settings = Settings { target_g: 36.0, command_latency_s: 0.2, scale_lag_s: 0.4, transport_delay_s: 0.12 };
/// // 30 g in the cup, 2 g/s; 0.8 g + 0.6 s come after the stop: (36 - 0.8 - 30) / 2 - 0.2 - 0.6
/// let left_s = command_in_s([30.0, 2.0], &settings, &drain::learned(&[]));
/// assert!((left_s.unwrap_or(0.0) - 1.8).abs() < 1e-12);
/// ```
#[must_use]
pub fn command_in_s(
    [mass_g, flow_g_per_s]: [f64; 2],
    settings: &Settings,
    drain: &Drain,
) -> Option<f64> {
    (flow_g_per_s >= LEAST_FLOW_G_PER_S).then(|| {
        (settings.target_g - drain.base_g - mass_g) / flow_g_per_s
            - settings.command_latency_s
            - drain.per_flow_s
    })
}

/// Variance of the mass in the end when the pump stops `stop_s` after the moment of the estimate.
///
/// # Equation
/// `v = Pmm + 2 h Pmq + h^2 Pqq + w^2 (t^3 / 3 + b t^2 + b^2 t) + drain`, `h = t + b`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | v | variance of the final mass (returned) | g² |
/// | P | covariance of mass m and flow q | g², g²/s, g²/s² |
/// | t | from the estimate to the pump's stop, without further readings | s |
/// | b | seconds of flow of the drain | s |
/// | w | wandering of the flow | g/s^1.5 |
///
/// # Source
/// Propagation of the model of [`Estimate::after`] to `m + q (t + b) + a`; the drain's own
/// variance is that of [`Drain::variance_g2`].
///
/// # Valid for
/// Any estimate; times from nothing upwards.
///
/// # Example
/// ```
/// # use extraction_maths::maths::stop::{drain, outlook::final_variance_g2, Estimate};
/// let known = Estimate { mean: [30.0, 0.0, 30.0], covariance: [0.0; 6] };
/// let drain = drain::learned(&[]);
/// // nothing is left but the drain's own: 0.3 and 0.15 g
/// let variance = final_variance_g2(&known, 0.0, &drain);
/// assert!((variance - 0.1125).abs() < 1e-9);
/// ```
#[must_use]
pub fn final_variance_g2(estimate: &Estimate, stop_s: f64, drain: &Drain) -> f64 {
    let [mm, mq, _, qq, _, _] = estimate.covariance;
    let (t, b) = (stop_s, drain.per_flow_s);
    let h = t + b;
    let of_estimate = mm + h * (2.0 * mq + h * qq);
    let wander = FLOW_WANDER_G_PER_S15 * FLOW_WANDER_G_PER_S15;
    let of_wander = wander * t * (t * t / 3.0 + b * t + b * b);
    of_estimate.max(0.0) + of_wander + drain.variance_g2(estimate.mean[1].max(0.0))
}

/// Mass and flow at the moment of the estimate, which is the delay before the last reading.
fn mass_and_flow(flowing: &Flowing) -> [f64; 2] {
    let [mass_g, flow_g_per_s, _] = flowing.estimate.mean;
    [mass_g, flow_g_per_s]
}

/// The moment to stop, when it has come by the last reading.
pub(super) fn due(tracker: &Tracker) -> Option<Due> {
    let Cup::Flowing(flowing) = &tracker.cup else {
        return None;
    };
    let settings = &tracker.settings;
    let [mass_g, flow_g_per_s] = mass_and_flow(flowing);
    let in_s = command_in_s([mass_g, flow_g_per_s], settings, &tracker.drain)?;
    let left_s = in_s - settings.transport_delay_s;
    // the command goes out at the last reading
    let stop_s = settings.transport_delay_s + settings.command_latency_s;
    (left_s <= 0.0).then(|| Due {
        // a reading that jumps cannot put the moment before the readings
        stop_at_s: tracker.clock.last_s + left_s.max(-PAST_AFTER_S),
        flow_g_per_s,
        final_g: mass_g + flow_g_per_s * stop_s + tracker.drain.mass_g(flow_g_per_s),
        variance_g2: final_variance_g2(&flowing.estimate, stop_s, &tracker.drain),
    })
}

/// What is foretold at the last reading of a tracker.
pub(super) fn outlook(tracker: &Tracker) -> Outlook {
    let Cup::Flowing(flowing) = &tracker.cup else {
        return Outlook::WAITING;
    };
    let settings = &tracker.settings;
    let delay_s = settings.transport_delay_s;
    let [mass_g, flow_g_per_s] = mass_and_flow(flowing);
    let flow_now = flow_g_per_s.max(0.0);
    let mass_now_g = mass_g + flow_g_per_s * delay_s;
    let seen = Outlook {
        phase: Phase::Flowing,
        mass_g: Some(mass_now_g),
        flow_g_per_s: Some(flow_now),
        ..Outlook::WAITING
    };
    let Some(due) = &tracker.due else {
        let Some(in_s) = command_in_s([mass_g, flow_g_per_s], settings, &tracker.drain) else {
            return seen;
        };
        let left_s = (in_s - delay_s).max(0.0);
        let run_s = delay_s + left_s + settings.command_latency_s;
        // what moves the moment is all but the scatter of the drain itself
        let moving = |stop_s| final_variance_g2(&flowing.estimate, stop_s, &tracker.drain);
        let drain_g2 = tracker.drain.variance_g2(flow_now);
        let moved_g = libm::sqrt((moving(run_s) - drain_g2).max(0.0));
        // the last readings come when only these two times are left
        let variance = moving(delay_s + settings.command_latency_s);
        return Outlook {
            stop_at_s: Some(tracker.clock.last_s + left_s),
            seconds_left: Some(left_s),
            stop_uncertainty_s: Some(moved_g / flow_g_per_s),
            final_g: Some(mass_g + flow_g_per_s * run_s + tracker.drain.mass_g(flow_g_per_s)),
            uncertainty_g: Some(libm::sqrt(variance)),
            ..seen
        };
    };
    after_due(tracker, due, seen)
}

/// What is foretold once the moment to stop has come.
fn after_due(tracker: &Tracker, due: &Due, seen: Outlook) -> Outlook {
    let Cup::Flowing(flowing) = &tracker.cup else {
        return seen;
    };
    let settings = &tracker.settings;
    let [mass_g, flow_g_per_s] = mass_and_flow(flowing);
    let flow = flow_g_per_s.max(0.0);
    let since_s = tracker.clock.last_s - due.stop_at_s;
    let mass_now_g = mass_g + flow_g_per_s * settings.transport_delay_s;
    let is_past = mass_now_g >= settings.target_g || since_s > PAST_AFTER_S;
    let (phase, final_g, variance) = if !is_past {
        // what flows now tells of the drain already, which the foretelling has in it
        (Phase::StopNow, due.final_g, due.variance_g2)
    } else if flow > STILL_RUNNING * due.flow_g_per_s {
        let stop_s = settings.transport_delay_s + settings.command_latency_s;
        let final_g = mass_g + flow * stop_s + tracker.drain.mass_g(flow);
        let variance = final_variance_g2(&flowing.estimate, stop_s, &tracker.drain);
        (Phase::Past, final_g, variance)
    } else {
        // the pump has stopped: what is left of the drain follows the flow
        let left_g = tracker.drain.per_flow_s * flow;
        let variance = final_variance_g2(&flowing.estimate, 0.0, &tracker.drain);
        (Phase::Past, mass_g + left_g, variance)
    };
    Outlook {
        phase,
        stop_at_s: Some(due.stop_at_s),
        seconds_left: Some(0.0),
        final_g: Some(final_g),
        uncertainty_g: Some(libm::sqrt(variance)),
        ..seen
    }
}
