//! Series of shots as a process: the examples and certified values of [nist-handbook] and
//! [nist-strd], read in test suites that cite them, and chi-squared against another library.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::process::groups::group_share;
use extraction_maths::maths::process::individuals::individuals_limits;
use extraction_maths::maths::process::line::least_squares_line;
use extraction_maths::maths::process::spread::spread_interval;
use extraction_maths::maths::uncertainty::{DegreesOfFreedom, chi_squared};
use statrs::distribution::{ChiSquared, ContinuousCDF, FisherSnedecor, StudentsT};

use crate::support::{published, relative};

fn degrees(n: f64) -> DegreesOfFreedom {
    DegreesOfFreedom::finite(n).expect("degrees of freedom")
}

/// [nist-handbook] section 6.3.2.2, flow rates of ten batches: centre, mean moving range and
/// limits as printed.
#[test]
fn limits_of_the_flow_rates_match_the_handbook() {
    let flow_rates = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
    let limits = individuals_limits(&flow_rates).expect("limits");
    published(limits.centre, "50.81", "of the flow");
    published(limits.mean_moving_range, "1.8778", "of the flow");
    published(limits.upper, "55.8041", "of the flow");
    published(limits.lower, "45.8159", "of the flow");
}

/// [nist-strd] Norris: x, y.
const NORRIS: [(f64, f64); 36] = [
    (0.2, 0.1),
    (337.4, 338.8),
    (118.2, 118.1),
    (884.6, 888.0),
    (10.1, 9.2),
    (226.5, 228.1),
    (666.3, 668.5),
    (996.3, 998.5),
    (448.6, 449.1),
    (777.0, 778.9),
    (558.2, 559.2),
    (0.4, 0.3),
    (0.6, 0.1),
    (775.5, 778.1),
    (666.9, 668.8),
    (338.0, 339.3),
    (447.5, 448.9),
    (11.6, 10.8),
    (556.0, 557.7),
    (228.1, 228.3),
    (995.8, 998.0),
    (887.6, 888.8),
    (120.2, 119.6),
    (0.3, 0.3),
    (0.3, 0.6),
    (556.8, 557.6),
    (339.1, 339.3),
    (887.2, 888.0),
    (999.0, 998.5),
    (779.0, 778.9),
    (11.1, 10.2),
    (118.3, 117.6),
    (229.2, 228.9),
    (669.1, 668.4),
    (448.9, 449.2),
    (0.5, 0.2),
];

/// Certified: slope 1.00211681802045, its standard deviation 0.429796848199937E-03, R squared
/// 0.999993745883712.
#[test]
fn the_line_matches_the_certified_one() {
    let (x, y): (Vec<f64>, Vec<f64>) = NORRIS.into_iter().unzip();
    let line = least_squares_line(&x, &y).expect("a line");
    relative(line.slope, 1.002_116_818_020_45, 1e-13, "slope");
    relative(
        line.slope_uncertainty,
        0.429_796_848_199_937e-3,
        1e-11,
        "its deviation",
    );
    relative(line.share, 0.999_993_745_883_712, 1e-14, "R squared");
    assert!(line.p_value < 1e-80);
}

/// [nist-strd] `SiRstv`: resistivity of silicon by five instruments.
const RESISTIVITY: [[f64; 5]; 5] = [
    [196.3052, 196.1240, 196.1890, 196.2569, 196.3403],
    [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
    [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
    [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
    [196.2119, 196.1051, 196.1850, 196.0052, 196.2090],
];

/// Certified: F 1.18046237440255, R squared 0.190999039051129, residual standard deviation
/// 0.104076068334656.
#[test]
fn the_share_of_groups_matches_the_certified_one() {
    let groups = RESISTIVITY.map(|group| group.to_vec());
    let share = group_share(&groups).expect("a share");
    relative(share.f.expect("F"), 1.180_462_374_402_55, 1e-10, "F");
    relative(share.share, 0.190_999_039_051_129, 1e-10, "R squared");
    relative(
        share.within,
        0.104_076_068_334_656,
        1e-10,
        "residual deviation",
    );
    // another library's distribution of F, at the certified value
    let f = FisherSnedecor::new(4.0, 20.0).expect("a distribution");
    relative(share.p_value, f.sf(1.180_462_374_402_55), 1e-9, "p");
    // omega squared by hand: v_b (F - 1) / (v_b (F - 1) + n)
    let above = 4.0 * 0.180_462_374_402_55;
    relative(
        share.adjusted_share,
        above / (above + 25.0),
        1e-9,
        "omega squared",
    );
}

/// Chi-squared tables, from memory: 0.95 with 10 degrees of freedom 18.307, 0.05 with 10 3.940,
/// 0.975 with 1 5.024, 0.025 with 20 9.591.
#[test]
fn chi_squared_quantiles_are_those_of_the_tables() {
    for (probability, n, printed) in [
        (0.95, 10.0, "18.307"),
        (0.05, 10.0, "3.940"),
        (0.975, 1.0, "5.024"),
        (0.025, 20.0, "9.591"),
    ] {
        let quantile = chi_squared::quantile(probability, degrees(n)).expect("a quantile");
        published(quantile, printed, "1");
    }
}

#[test]
fn chi_squared_agrees_with_another_library_in_both_tails() {
    for n in [1.0, 2.0, 3.5, 19.0, 20.0, 21.0, 99.0, 1000.0, 20_000.0] {
        let other = ChiSquared::new(n).expect("a distribution");
        for probability in [1e-6, 0.005, 0.025, 0.2, 0.5, 0.8, 0.975, 0.999_9] {
            let x = chi_squared::quantile(probability, degrees(n)).expect("a quantile");
            let what = format!("{n} {probability}");
            if probability < 0.5 {
                relative(other.cdf(x), probability, 1e-9, &what);
            } else {
                relative(other.sf(x), 1.0 - probability, 1e-9, &what);
            }
            let below = chi_squared::cumulative(x, degrees(n)).expect("a probability");
            relative(below, probability, 1e-12, &what);
        }
    }
}

/// With two degrees of freedom the quantile is -2 ln(1 - p), with one it is the square of the
/// normal one: 1.959963984540054 for 0.95.
#[test]
fn chi_squared_is_exact_where_it_has_a_closed_form() {
    for probability in [1e-9, 0.3, 0.999_999] {
        let computed = chi_squared::quantile(probability, degrees(2.0)).expect("a quantile");
        let exact = -2.0 * f64::ln_1p(-probability);
        relative(computed, exact, 1e-9, "two degrees");
    }
    let one = chi_squared::quantile(0.95, degrees(1.0)).expect("a quantile");
    relative(one, 1.959_963_984_540_054_f64.powi(2), 1e-13, "one degree");
}

/// The p of a slope is Student's two-sided tail of slope over its deviation: another library.
#[test]
fn the_test_of_a_slope_is_students() {
    let x = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
    let y = [27.1, 27.9, 26.8, 27.0, 26.1, 26.6, 25.9];
    let line = least_squares_line(&x, &y).expect("a line");
    let t = StudentsT::new(0.0, 1.0, 5.0).expect("a distribution");
    let tail = 2.0 * t.cdf(-(line.slope / line.slope_uncertainty).abs());
    relative(line.p_value, tail, 1e-10, "p");
    // adjusted share, by its other form
    let adjusted = 1.0 - (1.0 - line.share) * 6.0 / 5.0;
    relative(line.adjusted_share, adjusted, 1e-12, "adjusted");
}

#[test]
fn series_without_anything_to_explain_have_no_share() {
    let none = |outcome: Result<f64, MathsError>| {
        assert!(
            matches!(outcome, Err(MathsError::NoSolution { .. })),
            "{outcome:?}"
        );
    };
    let line = |x: &[f64], y: &[f64]| least_squares_line(x, y).map(|line| line.share);
    none(line(&[18.3, 18.3, 18.3], &[1.0, 2.0, 3.0]));
    none(line(&[1.0, 2.0, 3.0], &[0.1, 0.1, 0.1]));
    let groups = |groups: &[Vec<f64>]| group_share(groups).map(|share| share.share);
    none(groups(&[vec![1.0, 2.0, 3.0]]));
    none(groups(&[vec![1.0], vec![2.0]]));
    none(groups(&[vec![0.1, 0.1], vec![0.1]]));
    let few = individuals_limits(&[1.0, 2.0]);
    assert!(matches!(few, Err(MathsError::OutOfRange { .. })));
    let wild = individuals_limits(&[1.0, 2.0, f64::NAN]);
    assert!(matches!(wild, Err(MathsError::NonFinite { .. })));
    // nothing is left inside: all of the spread is between, and that is certain
    let apart = group_share(&[vec![1.0, 1.0], vec![2.0, 2.0]]).expect("a share");
    assert!((apart.share - 1.0).abs() < 1e-15 && apart.f.is_none() && apart.p_value < 1e-15);
}

#[test]
fn what_is_no_spread_or_probability_has_no_interval() {
    for (spread, probability) in [(-1.0, 0.95), (f64::NAN, 0.95), (1.0, 0.0), (1.0, 1.0)] {
        assert!(spread_interval(spread, degrees(4.0), probability).is_err());
    }
    assert!(spread_interval(1.0, DegreesOfFreedom::INFINITE, 0.95).is_err());
    let none = spread_interval(0.0, degrees(4.0), 0.95).expect("an interval");
    assert!(none.low <= 0.0 && none.high <= 0.0);
    assert!(chi_squared::cumulative(-1.0, degrees(4.0)).is_err());
    assert!(chi_squared::quantile(f64::NAN, degrees(4.0)).is_err());
}
