//! Properties of the statistics of a series.

use extraction_maths::maths::process::groups::group_share;
use extraction_maths::maths::process::individuals::individuals_limits;
use extraction_maths::maths::process::line::least_squares_line;
use extraction_maths::maths::process::spread::spread_interval;
use extraction_maths::maths::uncertainty::{DegreesOfFreedom, chi_squared};
use proptest::collection::vec;
use proptest::prelude::*;

fn values() -> impl Strategy<Value = Vec<f64>> {
    vec(10.0..50.0_f64, 4..40)
}

proptest! {
    #[test]
    fn chi_squared_quantiles_rise_and_are_undone(n in 1.0..5000.0_f64, p in 1e-4..0.9998_f64) {
        let n = DegreesOfFreedom::finite(n).expect("degrees of freedom");
        let x = chi_squared::quantile(p, n).expect("a quantile");
        prop_assert!((chi_squared::cumulative(x, n).expect("a probability") - p).abs() < 1e-11);
        prop_assert!(x < chi_squared::quantile(p + 1e-4, n).expect("a quantile"));
    }

    #[test]
    fn an_interval_holds_its_spread_and_widens_with_its_probability(
        n in 1.0..2000.0_f64, spread in 0.01..10.0_f64,
    ) {
        let n = DegreesOfFreedom::finite(n).expect("degrees of freedom");
        let narrow = spread_interval(spread, n, 0.8).expect("an interval");
        let wide = spread_interval(spread, n, 0.99).expect("an interval");
        prop_assert!(wide.low < narrow.low && narrow.low < spread);
        prop_assert!(spread < narrow.high && narrow.high < wide.high);
    }

    /// Another unit moves and stretches the limits as it does the values.
    #[test]
    fn limits_go_with_the_unit(values in values(), factor in 0.1..9.0_f64, shift in -5.0..5.0_f64) {
        let own = individuals_limits(&values).expect("limits");
        let other: Vec<f64> = values.iter().map(|value| factor * value + shift).collect();
        let other = individuals_limits(&other).expect("limits");
        prop_assert!((other.upper - (factor * own.upper + shift)).abs() < 1e-9);
        prop_assert!((other.lower - (factor * own.lower + shift)).abs() < 1e-9);
    }

    #[test]
    fn a_share_is_none_to_all_whatever_the_unit_and_the_adjusted_one_is_no_larger(
        y in values(), factor in 0.1..9.0_f64,
    ) {
        let x: Vec<f64> = (0_u32..).map(f64::from).take(y.len()).collect();
        let line = least_squares_line(&x, &y).expect("a line");
        prop_assert!((0.0..=1.0).contains(&line.share) && line.adjusted_share <= line.share);
        prop_assert!((0.0..=1.0).contains(&line.p_value));
        let other: Vec<f64> = y.iter().map(|value| -factor * value).collect();
        let other = least_squares_line(&x, &other).expect("a line");
        prop_assert!((other.share - line.share).abs() < 1e-9);
        prop_assert!((other.slope + factor * line.slope).abs() < 1e-9);
    }

    /// Two groups are a line through two places: eta squared is R squared, p is p.
    #[test]
    fn two_groups_are_a_line(first in values(), second in values()) {
        let share = group_share(&[first.clone(), second.clone()]).expect("a share");
        let x: Vec<f64> = first.iter().map(|_| 0.0).chain(second.iter().map(|_| 1.0)).collect();
        let y: Vec<f64> = first.into_iter().chain(second).collect();
        let line = least_squares_line(&x, &y).expect("a line");
        prop_assert!((share.share - line.share).abs() < 1e-9);
        prop_assert!((share.p_value - line.p_value).abs() < 1e-9);
        prop_assert!(share.adjusted_share <= share.share);
    }
}
