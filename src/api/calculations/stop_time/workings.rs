//! The stop with the numbers put in. What filter and ridge find is taken from them; a shot has
//! hundreds of their steps.

use super::response::StopRule;
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::stop::{Outlook, Phase, Tracker, estimate};

/// The derivation at the last reading.
pub(super) fn steps(tracker: &Tracker) -> Vec<WorkingStep> {
    let outlook = tracker.outlook();
    let mut steps = rule(tracker);
    // once the moment has come it stays, and nothing is worked out anew
    if outlook.phase == Phase::Flowing {
        steps.extend(stop(tracker, &outlook).unwrap_or_default());
        steps.extend(ending(tracker, &outlook).unwrap_or_default());
    }
    steps
}

fn rule(tracker: &Tracker) -> Vec<WorkingStep> {
    let (rule, settings) = (StopRule::new(tracker), tracker.settings());
    let fit = (
        "least of the sum of ((y - a - b q) / s)^2, ((a - 0.8) / 0.3)^2 and ((b - 0.6) / 0.25)^2",
        "hoerl1970",
    );
    vec![
        WorkingStep::new(
            "drain_base_g",
            fit,
            format!("a = {}", shown(rule.drain_base_g)),
            (rule.drain_base_g, "g"),
        ),
        WorkingStep::new(
            "drain_per_flow_s",
            fit,
            format!("b = {}", shown(rule.drain_per_flow_s)),
            (rule.drain_per_flow_s, "s"),
        ),
        WorkingStep::new(
            "delay_s",
            ("D + tau + L", "stop-drain"),
            format!(
                "{} + {} + {}",
                shown(settings.transport_delay_s),
                shown(settings.scale_lag_s),
                shown(settings.command_latency_s)
            ),
            (rule.delay_s, "s"),
        ),
    ]
}

/// When the command goes out.
fn stop(tracker: &Tracker, outlook: &Outlook) -> Option<Vec<WorkingStep>> {
    let settings = tracker.settings();
    let [m, q, _] = tracker.estimate()?.mean.map(shown);
    let [a, b] = [tracker.drain().base_g, tracker.drain().per_flow_s].map(shown);
    let (stop_at_s, left_s) = (outlook.stop_at_s?, outlook.seconds_left?);
    let delay = shown(settings.transport_delay_s);
    Some(vec![
        WorkingStep::new(
            "beverage_mass_g",
            ("m + q D, m and q of the filter", "kalman1960"),
            format!("{m} + {q} × {delay}"),
            (outlook.mass_g?, "g"),
        ),
        WorkingStep::new(
            "seconds_left",
            ("(T - a - m) / q - L - b - D", "massbalance"),
            format!(
                "({} - {a} - {m}) / {q} - {} - {b} - {delay}",
                shown(settings.target_g),
                shown(settings.command_latency_s),
            ),
            (left_s, "s"),
        ),
        WorkingStep::new(
            "stop_at_s",
            ("time of the last reading + seconds left", "massbalance"),
            format!("{} + {}", shown(stop_at_s - left_s), shown(left_s)),
            (stop_at_s, "s"),
        ),
    ])
}

/// What is then in the cup, and how sure both are.
fn ending(tracker: &Tracker, outlook: &Outlook) -> Option<Vec<WorkingStep>> {
    let (settings, drain) = (tracker.settings(), tracker.drain());
    let [mass_g, flow, _] = tracker.estimate()?.mean;
    let [m, q, a, b] = [mass_g, flow, drain.base_g, drain.per_flow_s].map(shown);
    let soonest_s = settings.transport_delay_s + settings.command_latency_s;
    let run_s = soonest_s + outlook.seconds_left?;
    Some(vec![
        foretold(
            "stop_at_uncertainty_s",
            (
                "sqrt(Pmm + 2 h Pmq + h^2 Pqq + w^2 (t^3 / 3 + b t^2 + b^2 t)) / q, h = t + b, t = D + seconds left + L",
                run_s,
            ),
            tracker,
            &format!(" / {q}"),
            (outlook.stop_uncertainty_s?, "s"),
        )?,
        WorkingStep::new(
            "expected_final_mass_g",
            ("m + q t + a + b q, t = D + seconds left + L", "massbalance"),
            format!("{m} + {q} × {} + {a} + {b} × {q}", shown(run_s)),
            (outlook.final_g?, "g"),
        ),
        foretold(
            "standard_uncertainty_g",
            (
                "sqrt(Pmm + 2 h Pmq + h^2 Pqq + w^2 (t^3 / 3 + b t^2 + b^2 t) + u_drain^2), h = t + b, t = D + L",
                soonest_s,
            ),
            tracker,
            &format!(", under the root + {}", shown(drain.variance_g2(flow))),
            (outlook.uncertainty_g?, "g"),
        )?,
    ])
}

/// A step of the propagation of the filter's covariance over `t`.
fn foretold(
    step: &'static str,
    (formula, t): (&'static str, f64),
    tracker: &Tracker,
    rest: &str,
    answered: (f64, &'static str),
) -> Option<WorkingStep> {
    let [mm, mq, _, qq, _, _] = tracker.estimate()?.covariance.map(shown);
    let b = tracker.drain().per_flow_s;
    let (h, t, b) = (shown(t + b), shown(t), shown(b));
    let substituted = format!(
        "sqrt({mm} + 2 × {h} × {mq} + {h}^2 × {qq} + {w}^2 × ({t}^3 / 3 + {b} × {t}^2 + {b}^2 × {t})){rest}",
        w = estimate::FLOW_WANDER_G_PER_S15,
    );
    Some(WorkingStep::new(
        step,
        (formula, "kalman1960"),
        substituted,
        answered,
    ))
}
