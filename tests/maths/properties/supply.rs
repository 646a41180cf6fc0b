//! Freshness and stock for every input.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::chemistry::rates::{arrhenius_factor, q10_factor, q10_of};
use extraction_maths::maths::quantity::Temperature;
use extraction_maths::maths::supply::degassing::gas_left;
use extraction_maths::maths::supply::stock::{
    SAFETY_FACTOR, daily_use_g, days_covered, left_over_g, reorder_point_g, use_of_days_g,
};
use extraction_maths::maths::supply::storage::{STORAGE, ageing_factor};
use extraction_maths::maths::supply::window::{AGE, Window, WindowState};
use proptest::prelude::*;

use crate::support::relative;

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).expect("a temperature")
}

proptest! {
    #[test]
    fn rates_go_back_and_forth_and_multiply(e in 0.0..120.0_f64, a in -20.0..60.0_f64,
                                            b in -20.0..60.0_f64, c in -20.0..60.0_f64) {
        let factor = |t, t0| arrhenius_factor(e, celsius(t), celsius(t0)).unwrap();
        relative(factor(a, b) * factor(b, a), 1.0, 1e-12, "there and back");
        relative(factor(a, b) * factor(b, c), factor(a, c), 1e-12, "in two steps");
        prop_assert!(a < b || factor(a, b) >= 1.0 - 1e-12);
    }

    #[test]
    fn a_factor_for_ten_degrees_is_that_of_ten_degrees(e in 0.0..120.0_f64, t in -20.0..60.0_f64) {
        let q10 = q10_of(e, celsius(t)).unwrap();
        prop_assume!((0.5..=10.0).contains(&q10));
        let ten = q10_factor(q10, celsius(t + 10.0), celsius(t)).unwrap();
        relative(ten, q10, 1e-12, "ten degrees");
    }

    #[test]
    fn gas_only_leaves(d in 0.5e-13..10e-13_f64, t in 0.0..1e6_f64, more in 1.0..1e6_f64,
                       r in 50e-6..4e-3_f64) {
        let left = |t| gas_left(d, t, r).unwrap();
        prop_assert!((0.0..=1.0).contains(&left(t)));
        prop_assert!(left(t + more) <= left(t));
        // a grain of twice the size takes four times as long
        relative(gas_left(d, 4.0 * t, 2.0 * r).unwrap(), left(t), 1e-9, "scale");
    }

    #[test]
    fn a_stock_is_used_up_or_left_over(on_hand in 0.0..1e6_f64, daily in 1.0..1e5_f64,
                                       left in -50.0..50.0_f64) {
        let over = left_over_g(on_hand, daily, left).unwrap();
        prop_assert!(0.0 <= over && over <= on_hand);
        let covered = days_covered(on_hand, daily).unwrap();
        prop_assert_eq!(over > 0.0, covered > left.max(0.0));
        relative(daily * covered, on_hand, 1e-12, "days times use");
    }

    #[test]
    fn more_safety_is_a_higher_point(daily in 1.0..1e5_f64, lead in 0.0..60.0_f64,
                                     z in 0.0..5.0_f64, s in 0.0..1e4_f64) {
        let point = |z| reorder_point_g(daily, lead, (z, s)).unwrap();
        prop_assert!(point(z) <= point(z + 1.0));
        relative(point(0.0), daily * lead, 1e-15, "no safety");
        // what is wasted is bought too
        let bought = daily_use_g(daily, 20.0).unwrap();
        relative(bought * 0.8, daily, 1e-12, "waste");
    }
}

/// The series and its expansion for short times meet where one takes over from the other.
#[test]
fn the_two_forms_of_degassing_meet() {
    let radius = 0.3e-3;
    let at = |tau: f64| gas_left(3e-13, tau * radius * radius / 3e-13, radius).expect("a share");
    let step = at(0.02 - 1e-12) - at(0.02 + 1e-12);
    assert!(0.0 <= step && step < 1e-10, "{step}");
    assert!((at(0.0) - 1.0).abs() < 1e-15);
}

#[test]
fn windows_hold_their_ends_and_refuse_to_run_backwards() {
    let window = Window::between(5.0, 30.0).expect("a window");
    for (age, state) in [
        (4.0, WindowState::Resting),
        (5.0, WindowState::Open),
        (30.0, WindowState::Open),
        (31.0, WindowState::Past),
    ] {
        assert_eq!(window.state(age), state, "{age}");
    }
    assert!(Window::between(7.0, 7.0).is_ok());
    assert!(matches!(
        Window::between(8.0, 7.0),
        Err(MathsError::Inconsistent { .. })
    ));
    assert!(Window::between(0.0, AGE.max.next_up()).is_err());
    assert!(Window::between(f64::NAN, 30.0).is_err());
}

#[test]
fn what_is_not_published_is_refused() {
    let at = |t: f64| ageing_factor(celsius(t), celsius(20.0));
    assert!(at(STORAGE.min).is_ok() && at(STORAGE.max).is_ok());
    for t in [-18.0, 3.9, STORAGE.min.next_down(), STORAGE.max.next_up()] {
        assert!(matches!(at(t), Err(MathsError::OutOfRange { .. })), "{t}");
        assert!(ageing_factor(celsius(20.0), celsius(t)).is_err(), "{t}");
    }
}

#[test]
fn ends_of_ranges_are_inside_and_the_next_number_is_not() {
    assert!(reorder_point_g(1000.0, 365.0, (SAFETY_FACTOR.max, 0.0)).is_ok());
    assert!(reorder_point_g(1000.0, 365.1, (1.0, 0.0)).is_err());
    assert!(reorder_point_g(1000.0, 1.0, (SAFETY_FACTOR.max.next_up(), 0.0)).is_err());
    assert!(use_of_days_g(0.0, 1.0).is_err());
    assert!(days_covered(-1.0, 1.0).is_err());
    assert!(left_over_g(f64::INFINITY, 1.0, 1.0).is_err());
    assert!(daily_use_g(1_000_000.0, 50.0).is_err());
    assert!(gas_left(3e-13, -1.0, 1e-3).is_err());
    assert!(gas_left(3e-13, 1.0, 0.0).is_err());
    assert!(arrhenius_factor(-1.0, celsius(20.0), celsius(20.0)).is_err());
    assert!(q10_factor(0.0, celsius(20.0), celsius(20.0)).is_err());
}
