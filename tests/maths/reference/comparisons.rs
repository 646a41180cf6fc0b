//! Analysis of variance, straight lines and differences against published values and an
//! independent library.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::uncertainty::DegreesOfFreedom;
use extraction_maths::maths::uncertainty::difference::{Measured, difference};
use extraction_maths::maths::uncertainty::fisher::upper_tail;
use extraction_maths::maths::uncertainty::straight_line::straight_line;
use extraction_maths::maths::uncertainty::variance_components::variance_components;
use statrs::distribution::{ContinuousCDF, FisherSnedecor};

use super::rows::rows;
use crate::support::relative;

fn finite(value: f64) -> DegreesOfFreedom {
    DegreesOfFreedom::finite(value).expect("degrees of freedom")
}

#[test]
fn tails_of_the_f_distribution_match_an_independent_library() {
    for n1 in [1.0, 2.0, 4.0, 9.0, 60.0] {
        for n2 in [1.0, 3.0, 16.0, 40.0, 400.0] {
            let other = FisherSnedecor::new(n1, n2).expect("it");
            for ratio in [0.01, 0.5, 1.0, 2.25, 9.0, 80.0] {
                let own = upper_tail(ratio, finite(n1), finite(n2)).expect("a probability");
                let expected = other.sf(ratio);
                assert!(
                    (own - expected).abs() < 1e-11,
                    "{n1} {n2} {ratio}: {own} {expected}"
                );
            }
        }
    }
    assert!(upper_tail(1.0, finite(3.0), DegreesOfFreedom::INFINITE).is_err());
    assert!(upper_tail(-1.0, finite(3.0), finite(3.0)).is_err());
}

/// [jcgm2008] H.5: voltage standard, ten days of five readings; only means and deviations are
/// printed, so groups with just these are made: two readings k s either side of the mean and
/// three on it have the deviation s when 2 (k s)^2 = 4 s^2.
#[test]
fn the_ratio_of_variances_matches_the_worked_example() {
    let row = rows("gum.csv").into_iter().find(|row| row.id == "GUM-H5-F");
    let row = row.expect("the row");
    let (means, deviations) = (row.list("means"), row.list("s_uV"));
    let groups: Vec<Vec<f64>> = means
        .iter()
        .zip(&deviations)
        .map(|(mean, s)| {
            let apart = 2.0_f64.sqrt() * s * 1e-6;
            vec![mean - apart, *mean, *mean, *mean, mean + apart]
        })
        .collect();
    let groups: Vec<&[f64]> = groups.iter().map(Vec::as_slice).collect();
    let found = variance_components(&groups).expect("components");
    row.check(found.ratio.expect("a ratio"));
    assert_eq!(found.between_degrees.value(), Some(9.0));
    assert_eq!(found.within_degrees.value(), Some(40.0));
    // the same clause: F(0.95; 9, 40) = 2.12 (from memory), so the days differ
    let at_limit = upper_tail(2.12, finite(9.0), finite(40.0)).expect("a probability");
    assert!((at_limit - 0.05).abs() < 0.001);
    assert!(found.p_value.expect("a probability") < 0.05);
}

/// Hand: groups 1 3, 5 7 9, 2: within (2 + 8) / 3, n0 = (6 - 14 / 6) / 2.
#[test]
fn groups_of_unequal_size_match_hand_arithmetic() {
    let found = variance_components(&[&[1.0, 3.0], &[5.0, 7.0, 9.0], &[2.0]]).expect("it");
    relative(found.within, 10.0 / 3.0, 1e-14, "within");
    let between = (2.0 * 6.25 + 3.0 * 6.25 + 6.25) / 2.0;
    relative(found.between, between, 1e-14, "between");
    relative(found.readings_per_group, 11.0 / 6.0, 1e-14, "n0");
    relative(
        found.of_groups,
        (between - 10.0 / 3.0) / (11.0 / 6.0),
        1e-14,
        "of groups",
    );
    for few in [
        &[&[1.0, 2.0][..]][..],
        &[&[1.0], &[2.0]],
        &[&[1.0, 2.0], &[]],
    ] {
        let refused = variance_components(few);
        assert!(matches!(refused, Err(MathsError::NoSolution { .. })));
    }
}

#[test]
fn a_line_needs_three_points_at_different_places() {
    assert!(straight_line(&[1.0, 2.0], &[1.0, 2.0], 0.0).is_err());
    assert!(straight_line(&[1.0, 1.0, 1.0], &[1.0, 2.0, 3.0], 0.0).is_err());
    assert!(straight_line(&[1.0, 2.0, 3.0], &[1.0, 2.0], 0.0).is_err());
}

/// Welch's test of two groups with the means 15 and 20, deviations 2 and 4, ten and eight
/// readings; by hand: u^2 = 0.4 + 2, v = 2.4^2 / (0.16 / 9 + 4 / 7).
#[test]
fn a_difference_of_means_matches_hand_arithmetic() {
    let of = |value, square: f64, degrees| Measured {
        value,
        standard_uncertainty: square.sqrt(),
        degrees_of_freedom: finite(degrees),
    };
    let found = difference(of(15.0, 0.4, 9.0), of(20.0, 2.0, 7.0), 0.95).expect("it");
    relative(found.t.expect("t"), 5.0 / 2.4_f64.sqrt(), 1e-14, "t");
    let degrees = found.degrees_of_freedom.value().expect("finite");
    relative(degrees, 5.76 / (0.16 / 9.0 + 4.0 / 7.0), 1e-14, "degrees");
    // with expanded uncertainties of k u each: t(9) = 2.262, t(7) = 2.365 (table G.2: 2.26, 2.36)
    let expected = 5.0 / (2.262_f64.powi(2) * 0.4 + 2.365_f64.powi(2) * 2.0).sqrt();
    relative(found.normalised_error.expect("E_n"), expected, 1e-3, "E_n");
    let same = difference(of(1.0, 0.0, 3.0), of(1.0, 0.0, 3.0), 0.95).expect("it");
    assert_eq!((same.t, same.normalised_error), (None, None));
}
