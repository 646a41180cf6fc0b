//! The probability of two dependent values inside a window, against a plain sum and against
//! the whole that its regions make.

use extraction_maths::maths::uncertainty::joint_conformity::{
    DependentPair, Interval, joint_probability,
};
use extraction_maths::maths::uncertainty::{DegreesOfFreedom, normal, student};
use proptest::prelude::*;

const fn interval(low: f64, high: f64) -> Interval {
    Interval { low, high }
}

/// Below, inside and above a window.
fn regions(low: f64, high: f64) -> [Interval; 3] {
    [
        interval(f64::NEG_INFINITY, low),
        interval(low, high),
        interval(high, f64::INFINITY),
    ]
}

/// Integral over the independent part by the midpoint rule, which knows of no kink: good to the
/// square of its step.
fn by_midpoints(pair: &DependentPair, first: Interval, second: Interval) -> f64 {
    let (steps, reach) = (8000, 9.0);
    let step = 2.0 * reach / f64::from(steps);
    let up_to = |z: f64| match pair.first_degrees_of_freedom.value() {
        None => normal::cumulative(z),
        Some(_) => {
            let z = z.clamp(student::ARGUMENT.min, student::ARGUMENT.max);
            student::cumulative(z, pair.first_degrees_of_freedom).expect("a probability")
        }
    };
    let values = (0..steps).map(|place| {
        let q = -reach + (f64::from(place) + 0.5) * step;
        let rest = pair.second + pair.second_own_uncertainty * q;
        let by_second = |limit: f64| (limit - rest) / (pair.slope * pair.first_uncertainty);
        let by_first = |limit: f64| (limit - pair.first) / pair.first_uncertainty;
        let low = by_first(first.low).max(by_second(second.low));
        let high = by_first(first.high).min(by_second(second.high));
        if high > low {
            normal::density(q) * (up_to(high) - up_to(low))
        } else {
            0.0
        }
    });
    values.sum::<f64>() * step
}

fn pairs() -> impl Strategy<Value = DependentPair> {
    let degrees = prop_oneof![
        3 => Just(DegreesOfFreedom::INFINITE),
        1 => (1.0..30.0_f64).prop_map(|n| DegreesOfFreedom::finite(n).expect("from one")),
    ];
    let values = (1.0..1.5_f64, -4.0..0.0_f64, 14.0..26.0_f64, -4.0..1.0_f64);
    (values, 1.0..20.0_f64, degrees).prop_map(|((first, small, second, own), slope, degrees)| {
        DependentPair {
            first,
            first_uncertainty: 10_f64.powf(small),
            first_degrees_of_freedom: degrees,
            second,
            slope,
            second_own_uncertainty: 10_f64.powf(own),
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn the_regions_of_two_windows_are_everything(pair in pairs()) {
        let mut sum = 0.0;
        for first in regions(1.15, 1.35) {
            for second in regions(18.0, 22.0) {
                sum += joint_probability(&pair, first, second).expect("a probability");
            }
        }
        // nine integrals, each good to 1e-11
        prop_assert!((sum - 1.0).abs() < 9e-11, "{sum} for {pair:?}");
    }
}

#[test]
fn the_probability_is_the_plain_sum() {
    let normal = DegreesOfFreedom::INFINITE;
    let student = DegreesOfFreedom::finite(4.0).expect("from one");
    for (degrees, first_uncertainty, second_own_uncertainty) in [
        (normal, 0.02, 0.05),
        (normal, 0.002, 0.6),
        (normal, 0.3, 0.01),
        (student, 0.02, 0.05),
        (student, 0.1, 1.0),
    ] {
        for (first, second) in [(1.2, 18.1), (1.34, 20.0), (1.4, 22.3), (1.16, 17.0)] {
            let pair = DependentPair {
                first,
                first_uncertainty,
                first_degrees_of_freedom: degrees,
                second,
                slope: 15.0,
                second_own_uncertainty,
            };
            for by_first in regions(1.15, 1.35) {
                for by_second in regions(18.0, 22.0) {
                    let found = joint_probability(&pair, by_first, by_second).expect("inside");
                    let expected = by_midpoints(&pair, by_first, by_second);
                    assert!(
                        (found - expected).abs() < 1e-6,
                        "{found} and {expected} for {pair:?}"
                    );
                }
            }
        }
    }
}
