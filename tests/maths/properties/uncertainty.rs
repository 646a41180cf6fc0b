//! Distributions, readings and combinations for every input.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::uncertainty::combine::{Correlations, Input, combined_uncertainty};
use extraction_maths::maths::uncertainty::conformity::{Estimate, region_probabilities};
use extraction_maths::maths::uncertainty::coverage::coverage_factor;
use extraction_maths::maths::uncertainty::type_a::{
    Repeatability, correlation, pooled, type_a, with_known_repeatability,
};
use extraction_maths::maths::uncertainty::type_b::{rectangular, triangular};
use extraction_maths::maths::uncertainty::welch_satterthwaite::effective_degrees_of_freedom;
use extraction_maths::maths::uncertainty::{DegreesOfFreedom, normal, student};
use proptest::prelude::*;

use crate::support::relative;

fn finite(value: f64) -> DegreesOfFreedom {
    DegreesOfFreedom::finite(value).expect("degrees of freedom")
}

fn input(
    standard_uncertainty: f64,
    sensitivity: f64,
    degrees_of_freedom: DegreesOfFreedom,
) -> Input {
    Input {
        standard_uncertainty,
        sensitivity,
        degrees_of_freedom,
    }
}

proptest! {
    #[test]
    fn normal_quantiles_come_back(p in 1e-12..1.0_f64) {
        prop_assume!(p < 1.0 - 1e-12);
        relative(normal::cumulative(normal::quantile(p).unwrap()), p, 1e-13, "probability");
        let z = normal::two_sided_quantile(p).unwrap();
        // one less twice the tail loses what p near zero has
        let inside = 1.0 - 2.0 * normal::cumulative(-z);
        prop_assert!((inside - p).abs() < 1e-14);
    }

    #[test]
    fn student_quantiles_come_back(p in 1e-6..0.999_999_f64, log_n in 0.0..14.0_f64) {
        let n = finite(10.0_f64.powf(log_n));
        let t = student::two_sided_quantile(p, n).unwrap();
        let tails = 2.0 * student::cumulative(-t, n).unwrap();
        if p > 0.5 {
            relative(tails, 1.0 - p, 2e-12, "tails");
        } else {
            prop_assert!((1.0 - tails - p).abs() < 1e-14);
        }
        prop_assert!(t >= normal::two_sided_quantile(p).unwrap() * (1.0 - 1e-12));
    }

    #[test]
    fn student_is_symmetric_and_rises(t in 0.0..50.0_f64, n in 1.0..1e4_f64) {
        let of = |t| student::cumulative(t, finite(n)).unwrap();
        prop_assert!((of(t) + of(-t) - 1.0).abs() < 1e-15);
        prop_assert!(of(-t - 0.1) <= of(-t) && of(t) <= of(t + 0.1));
    }

    #[test]
    fn the_coverage_factor_takes_the_integer_below(n in 1.0..500.0_f64) {
        let of = |n| coverage_factor(0.95, finite(n)).unwrap();
        relative(of(n), of(n.floor()), 1e-15, "k");
        prop_assert!(of(n + 1.0) < of(n));
    }

    #[test]
    fn readings_shift_and_scale(readings in prop::collection::vec(-10.0..10.0_f64, 2..50),
                                shift in -100.0..100.0_f64) {
        let plain = type_a(&readings).unwrap();
        let moved: Vec<_> = readings.iter().map(|x| 2.0 * x + shift).collect();
        let moved = type_a(&moved).unwrap();
        prop_assert!((moved.mean - 2.0 * plain.mean - shift).abs() < 1e-12);
        prop_assert!((moved.standard_deviation - 2.0 * plain.standard_deviation).abs() < 1e-12);
    }

    #[test]
    fn contributions_add_up(parts in prop::collection::vec((0.0..5.0_f64, -5.0..5.0_f64, 1.0..50.0_f64), 1..6),
                            scale in 1e-30..1e30_f64) {
        prop_assume!(parts.iter().any(|(u, c, _)| (u * c).abs() > 1e-6));
        let of = |k: f64| {
            let inputs: Vec<_> = parts.iter().map(|&(u, c, v)| input(k * u, c, finite(v))).collect();
            combined_uncertainty(&inputs, &Correlations::none()).unwrap()
        };
        let (plain, scaled) = (of(1.0), of(scale));
        let squares: f64 = parts.iter().map(|(u, c, _)| u * u * c * c).sum();
        relative(plain.standard_uncertainty, squares.sqrt(), 1e-14, "uncertainty");
        relative(plain.contributions.iter().map(|c| c.share).sum(), 1.0, 1e-13, "shares");
        relative(scaled.standard_uncertainty, scale * plain.standard_uncertainty, 1e-13, "scale");
        // between the smallest and the sum of the inputs' degrees of freedom
        let effective = plain.effective_degrees_of_freedom.unwrap().value().unwrap();
        let smallest = parts.iter().map(|p| p.2).fold(f64::INFINITY, f64::min);
        let sum: f64 = parts.iter().map(|p| p.2).sum();
        prop_assert!(smallest * (1.0 - 1e-12) <= effective && effective <= sum * (1.0 + 1e-12));
    }

    #[test]
    fn probabilities_of_the_three_regions_add_up(y in 10.0..30.0_f64, u in 0.0..3.0_f64, n in 1.0..60.0_f64) {
        for degrees_of_freedom in [finite(n), DegreesOfFreedom::INFINITE] {
            let estimate = Estimate { value: y, standard_uncertainty: u, degrees_of_freedom };
            let p = region_probabilities(estimate, 18.0, 22.0).unwrap();
            prop_assert!((p.below + p.within + p.above - 1.0).abs() < 1e-14);
            let mirrored = Estimate { value: 40.0 - y, ..estimate };
            let mirrored = region_probabilities(mirrored, 18.0, 22.0).unwrap();
            prop_assert!((p.within - mirrored.within).abs() < 1e-12);
        }
    }
}

/// One degree of freedom at the floor of 1.9, and a quantile for the largest number allowed.
#[test]
fn ends_of_the_degrees_of_freedom_work() {
    relative(
        coverage_factor(0.5, finite(1.9)).unwrap(),
        1.0,
        1e-14,
        "k of one degree",
    );
    let large = student::two_sided_quantile(0.95, finite(1e15)).expect("a quantile");
    relative(
        large,
        normal::two_sided_quantile(0.95).unwrap(),
        1e-12,
        "k of many degrees",
    );
    for bad in [0.999, 0.0, -1.0, 1.1e15, f64::NAN, f64::INFINITY] {
        assert!(DegreesOfFreedom::finite(bad).is_err(), "{bad}");
    }
    let heavy = student::two_sided_quantile(1.0 - 1e-15, finite(1.0)).expect("a far quantile");
    // Cauchy's tail: t = 2 / (pi alpha); alpha is what the double nearest to p leaves of one
    let alpha = 1.0 - (1.0 - 1e-15);
    relative(
        heavy,
        2.0 / (std::f64::consts::PI * alpha),
        1e-12,
        "far quantile",
    );
}

#[test]
fn probabilities_outside_of_the_open_interval_are_refused() {
    for bad in [0.0, 1.0, -0.1, 1.5, f64::NAN, f64::INFINITY] {
        assert!(normal::quantile(bad).is_err(), "{bad}");
        assert!(normal::two_sided_quantile(bad).is_err(), "{bad}");
        assert!(
            student::two_sided_quantile(bad, finite(5.0)).is_err(),
            "{bad}"
        );
        assert!(
            coverage_factor(bad, DegreesOfFreedom::INFINITE).is_err(),
            "{bad}"
        );
    }
    assert!(student::cumulative(f64::NAN, finite(3.0)).is_err());
}

#[test]
fn readings_that_say_nothing_are_refused() {
    assert!(matches!(type_a(&[1.0]), Err(MathsError::OutOfRange { .. })));
    assert!(type_a(&[]).is_err());
    assert!(matches!(
        type_a(&[1.0, f64::NAN]),
        Err(MathsError::NonFinite { .. })
    ));
    assert!(type_a(&[1e300, 1.0]).is_err());
    let same = type_a(&[8.61, 8.61, 8.61]).expect("readings");
    assert_eq!((same.mean, same.standard_uncertainty), (8.61, 0.0));
    assert!(matches!(
        correlation(&[1.0, 1.0], &[1.0, 2.0]),
        Err(MathsError::NoSolution { .. })
    ));
    assert!(matches!(
        correlation(&[1.0, 1.5], &[1.0, 2.0, 3.0]),
        Err(MathsError::Inconsistent { .. })
    ));
    for bad in [-0.1, f64::NAN, f64::INFINITY] {
        assert!(rectangular(bad).is_err() && triangular(bad).is_err());
    }
}

#[test]
fn a_known_repeatability_serves_a_single_reading() {
    let known = Repeatability {
        standard_deviation: 0.03,
        degrees_of_freedom: finite(40.0),
    };
    let one = with_known_repeatability(&[8.7], known).expect("a reading");
    assert_eq!((one.mean, one.standard_uncertainty), (8.7, 0.03));
    assert!(with_known_repeatability(&[], known).is_err());
    // pooling equal spreads keeps the spread; a day known for certain decides alone
    let both = pooled(&[known, known]).expect("a spread");
    relative(both.standard_deviation, 0.03, 1e-15, "spread");
    assert_eq!(both.degrees_of_freedom, finite(80.0));
    let certain = Repeatability {
        standard_deviation: 0.05,
        ..known
    };
    let certain = Repeatability {
        degrees_of_freedom: DegreesOfFreedom::INFINITE,
        ..certain
    };
    assert_eq!(pooled(&[known, certain]).expect("a spread"), certain);
    assert!(pooled(&[]).is_err());
}

#[test]
fn correlations_act_as_they_must() {
    let sure = DegreesOfFreedom::INFINITE;
    let pair = [input(1.0, 1.0, sure), input(1.0, 1.0, sure)];
    let with = |r| {
        let correlations = Correlations::none().with(0, 1, r).expect("a coefficient");
        combined_uncertainty(&pair, &correlations)
            .expect("it")
            .standard_uncertainty
    };
    relative(with(1.0), 2.0, 1e-15, "full correlation adds");
    relative(with(-1.0), 0.0, 1e-15, "full anticorrelation cancels");
    relative(with(0.0), 2.0_f64.sqrt(), 1e-15, "none adds squares");
    let some = Correlations::none().with(0, 1, 0.5).expect("a coefficient");
    let all = combined_uncertainty(&pair, &some).expect("an uncertainty");
    assert_eq!(all.effective_degrees_of_freedom, None);
    // three that exclude each other: the variance would be negative
    let three = [pair[0], pair[1], input(1.0, 1.0, sure)];
    let wrong = Correlations::none()
        .with(0, 1, -1.0)
        .unwrap()
        .with(0, 2, -1.0)
        .unwrap();
    let wrong = wrong.with(1, 2, -1.0).unwrap();
    assert!(matches!(
        combined_uncertainty(&three, &wrong),
        Err(MathsError::Inconsistent { .. })
    ));
    assert!(combined_uncertainty(&pair, &Correlations::none().with(0, 2, 0.1).unwrap()).is_err());
    assert!(Correlations::none().with(1, 1, 0.5).is_err());
    assert!(
        Correlations::none()
            .with(0, 1, 0.5)
            .unwrap()
            .with(1, 0, 0.5)
            .is_err()
    );
    assert!(Correlations::none().with(0, 1, 1.01).is_err());
}

#[test]
fn certain_inputs_leave_nothing_uncertain() {
    let all = combined_uncertainty(&[input(0.0, 3.0, finite(4.0))], &Correlations::none());
    let all = all.expect("an uncertainty");
    relative(all.standard_uncertainty, 0.0, 0.0, "uncertainty");
    relative(all.contributions[0].share, 0.0, 0.0, "share");
    assert_eq!(
        all.effective_degrees_of_freedom,
        Some(DegreesOfFreedom::INFINITE)
    );
    let none = effective_degrees_of_freedom(&[]).expect("degrees of freedom");
    assert_eq!(none, DegreesOfFreedom::INFINITE);
    let at_limit = Estimate {
        value: 22.0,
        standard_uncertainty: 0.0,
        degrees_of_freedom: DegreesOfFreedom::INFINITE,
    };
    let within = region_probabilities(at_limit, 18.0, 22.0)
        .expect("them")
        .within;
    relative(within, 1.0, 0.0, "within");
    assert!(region_probabilities(at_limit, 22.0, 18.0).is_err());
}

#[test]
fn a_correlation_matrix_is_its_factor_squared_or_refused() {
    let some = Correlations::none()
        .with(0, 1, 0.9)
        .and_then(|all| all.with(2, 1, -0.3))
        .and_then(|all| all.with(3, 0, 1.0))
        .and_then(|all| all.with(3, 1, 0.9))
        .expect("coefficients");
    let factor = some.factor(4).expect("a positive semidefinite matrix");
    let product = |i: usize, j: usize| -> f64 { (0..4).map(|k| factor[i][k] * factor[j][k]).sum() };
    for (i, j, expected) in [
        (0, 0, 1.0),
        (3, 3, 1.0),
        (0, 1, 0.9),
        (2, 1, -0.3),
        (3, 0, 1.0),
        (2, 0, 0.0),
    ] {
        assert!((product(i, j) - expected).abs() < 1e-12, "{i} {j}");
    }
    // a twin of the first input must be correlated with all others as the first is
    let twin = Correlations::none()
        .with(0, 2, 1.0)
        .and_then(|all| all.with(0, 1, 0.5))
        .and_then(|all| all.with(1, 2, 0.4))
        .expect("coefficients");
    assert!(matches!(
        twin.factor(3),
        Err(MathsError::Inconsistent { .. })
    ));
    assert!(Correlations::none().factor(1_001).is_err());
}
