//! The drain against normal equations solved another way, limits and hand arithmetic.

use extraction_maths::maths::stop::Drained;
use extraction_maths::maths::stop::drain::{
    BASE_SPREAD_G, PER_FLOW_SPREAD_S, SHOT_SPREAD_G, USUAL_BASE_G, USUAL_PER_FLOW_S, learned,
};
use proptest::prelude::*;

use crate::support::relative;

fn shot(flow: f64, mass: f64) -> Drained {
    Drained {
        flow_at_stop_g_per_s: flow,
        after_stop_g: mass,
    }
}

#[test]
fn without_shots_it_is_the_usual_drain() {
    let drain = learned(&[]);
    assert!((drain.mass_g(0.0) - USUAL_BASE_G).abs() < 1e-15);
    assert!((drain.mass_g(1.0) - USUAL_BASE_G - USUAL_PER_FLOW_S).abs() < 1e-15);
    let base = BASE_SPREAD_G * BASE_SPREAD_G;
    let per_flow = PER_FLOW_SPREAD_S * PER_FLOW_SPREAD_S;
    let expected = base + 4.0 * per_flow + SHOT_SPREAD_G * SHOT_SPREAD_G;
    relative(drain.variance_g2(2.0), expected, 1e-12, "variance");
}

/// By hand: one shot without flow that drained 1.1 g, where 0.8 is usual to 0.3 and shots scatter
/// by 0.15. The first line is 0.8 + 0.3 x 0.09 / (0.09 + 0.0225) = 1.04; it misses by 0.06, so
/// the scatter is (4 x 0.0225 + 0.0036) / 5 = 0.01872 and the base
/// 0.8 + 0.3 x 0.09 / (0.09 + 0.01872) = 1.0483444.
#[test]
fn one_shot_pulls_the_base_by_its_weight() {
    let drain = learned(&[shot(0.0, 1.1)]);
    relative(drain.base_g, 0.8 + 0.027 / 0.10872, 1e-12, "base");
    relative(
        drain.per_flow_s,
        USUAL_PER_FLOW_S,
        1e-12,
        "nothing learned of the flow",
    );
    relative(drain.shot_variance_g2, 0.01872, 1e-12, "scatter");
}

/// Steepest descent on the sum that the ridge makes least; knows no normal equations.
fn descended(history: &[Drained], variance: f64) -> [f64; 2] {
    let (mut a, mut b) = (USUAL_BASE_G, USUAL_PER_FLOW_S);
    let (base, per_flow) = (BASE_SPREAD_G.powi(2), PER_FLOW_SPREAD_S.powi(2));
    let curvature: f64 = history
        .iter()
        .map(|shot| (1.0 + shot.flow_at_stop_g_per_s.powi(2)) / variance)
        .sum::<f64>()
        + 1.0 / base
        + 1.0 / per_flow;
    for _ in 0..20_000 {
        let (mut da, mut db) = ((a - USUAL_BASE_G) / base, (b - USUAL_PER_FLOW_S) / per_flow);
        for shot in history {
            let miss = a + b * shot.flow_at_stop_g_per_s - shot.after_stop_g;
            da += miss / variance;
            db += miss * shot.flow_at_stop_g_per_s / variance;
        }
        a -= da / curvature;
        b -= db / curvature;
    }
    [a, b]
}

#[test]
fn the_line_is_where_the_sum_is_least() {
    let history = [
        shot(1.4, 1.9),
        shot(2.1, 2.7),
        shot(2.6, 2.6),
        shot(1.9, 2.3),
    ];
    let drain = learned(&history);
    let [a, b] = descended(&history, drain.shot_variance_g2);
    relative(drain.base_g, a, 1e-6, "base");
    relative(drain.per_flow_s, b, 1e-6, "seconds of flow");
}

#[test]
fn many_shots_on_a_line_are_that_line() {
    let history: Vec<_> = (0..300)
        .map(|number| f64::from(number % 30) / 10.0 + 0.5)
        .map(|flow| shot(flow, 0.4 + 0.9 * flow))
        .collect();
    let drain = learned(&history);
    relative(drain.base_g, 0.4, 0.01, "base");
    relative(drain.per_flow_s, 0.9, 0.01, "seconds of flow");
}

#[test]
fn nothing_is_sucked_back_out_of_the_cup() {
    let history: Vec<_> = (0..100).map(|_| [shot(1.0, 5.0), shot(4.0, 0.0)]).collect();
    let drain = learned(&history.concat());
    assert!(drain.per_flow_s >= 0.0 && drain.base_g > 1.0, "{drain:?}");
    let history: Vec<_> = (0..100).map(|_| [shot(1.0, 0.0), shot(4.0, 9.0)]).collect();
    let drain = learned(&history.concat());
    assert!(drain.base_g >= 0.0 && drain.per_flow_s > 1.0, "{drain:?}");
}

proptest! {
    #[test]
    fn more_shots_are_never_less_sure_at_the_same_scatter(
        flows in prop::collection::vec(0.5..4.0_f64, 1..20)
    ) {
        let on_the_line = |flow: &f64| shot(*flow, USUAL_BASE_G + USUAL_PER_FLOW_S * flow);
        let history: Vec<_> = flows.iter().map(on_the_line).collect();
        let (fewer, more) = (learned(&history[1..]), learned(&history));
        prop_assert!(more.variance_g2(2.0) <= fewer.variance_g2(2.0) * (1.0 + 1e-12));
        prop_assert!((more.base_g - USUAL_BASE_G).abs() < 1e-9);
    }

    #[test]
    fn any_history_gives_a_line_of_finite_numbers(
        shots in prop::collection::vec((0.0..=20.0_f64, 0.0..=100.0_f64), 0..50)
    ) {
        let history: Vec<_> = shots.iter().map(|(flow, mass)| shot(*flow, *mass)).collect();
        let drain = learned(&history);
        prop_assert!(drain.base_g >= 0.0 && drain.per_flow_s >= 0.0);
        prop_assert!(drain.base_g.is_finite() && drain.per_flow_s.is_finite());
        prop_assert!(drain.variance_g2(2.0) > 0.0);
    }
}
