//! The distributions against figures to 25 digits (mpmath, see tests/data/SOURCES.md) and
//! against an independent Rust library.

use extraction_maths::maths::uncertainty::conformity::{Estimate, region_probabilities};
use extraction_maths::maths::uncertainty::{DegreesOfFreedom, normal, student};
use statrs::distribution::{Continuous, ContinuousCDF, Normal, StudentsT};

use crate::support::{relative, table};

fn degrees(text: &str) -> DegreesOfFreedom {
    if text == "inf" {
        return DegreesOfFreedom::INFINITE;
    }
    DegreesOfFreedom::finite(text.parse().expect("a number")).expect("degrees of freedom")
}

#[test]
fn students_t_matches_the_figures_to_a_part_in_ten_to_the_twelve() {
    for row in table("mpmath_student.csv") {
        let degrees_of_freedom = degrees(&row["degrees_of_freedom"]);
        let argument: f64 = row["argument"].parse().expect("a number");
        let computed = match row["function"].as_str() {
            "quantile" => student::two_sided_quantile(argument, degrees_of_freedom),
            "cumulative" => student::cumulative(argument, degrees_of_freedom),
            other => panic!("{other} is not checked"),
        };
        let what = format!("{row:?}");
        relative(
            computed.expect(&what),
            row["expected"].parse().unwrap(),
            1e-12,
            &what,
        );
    }
}

#[test]
fn the_normal_distribution_matches_the_figures_to_double_precision() {
    for row in table("mpmath_normal.csv") {
        let argument: f64 = row["argument"].parse().expect("a number");
        let computed = match row["function"].as_str() {
            "quantile" => normal::quantile(argument).expect("a quantile"),
            "cumulative" => normal::cumulative(argument),
            other => panic!("{other} is not checked"),
        };
        // the lower tail multiplies the rounding of its argument by its square
        let rounding = if row["function"] == "cumulative" {
            argument * argument * f64::EPSILON
        } else {
            0.0
        };
        let tolerance = 4e-15 + rounding;
        relative(
            computed,
            row["expected"].parse().unwrap(),
            tolerance,
            &format!("{row:?}"),
        );
    }
}

#[test]
fn probabilities_of_regions_match_the_figures() {
    for row in table("mpmath_conformity.csv") {
        let number = |name: &str| row[name].parse::<f64>().expect("a number");
        let estimate = Estimate {
            value: number("value"),
            standard_uncertainty: number("u"),
            degrees_of_freedom: degrees(&row["degrees_of_freedom"]),
        };
        let found = region_probabilities(estimate, number("low"), number("high")).expect("them");
        // (limit - value) / u is rounded before the distribution sees it
        let tolerance = 1e-11;
        relative(found.below, number("below"), tolerance, &format!("{row:?}"));
        relative(
            found.within,
            number("within"),
            tolerance,
            &format!("{row:?}"),
        );
        relative(found.above, number("above"), tolerance, &format!("{row:?}"));
    }
}

/// The library's own inverses are coarser than its distribution functions: both are used.
#[test]
fn an_independent_library_agrees() {
    let reference = Normal::new(0.0, 1.0).expect("a distribution");
    for z in [-4.0, -1.5, 0.0, 0.3, 2.0, 5.0] {
        relative(normal::cumulative(z), reference.cdf(z), 1e-10, "normal");
        relative(
            normal::density(z),
            reference.pdf(z),
            1e-12,
            "normal density",
        );
    }
    for n in [1.0, 2.5, 7.0, 16.0, 80.0] {
        let reference = StudentsT::new(0.0, 1.0, n).expect("a distribution");
        let degrees_of_freedom = DegreesOfFreedom::finite(n).expect("degrees of freedom");
        for t in [-3.0, -0.4, 0.0, 1.0, 2.92, 8.0] {
            let found = student::cumulative(t, degrees_of_freedom).expect("a probability");
            relative(found, reference.cdf(t), 1e-11, &format!("t {t}, n {n}"));
        }
        for p in [0.5, 0.9, 0.95, 0.99] {
            let t = student::two_sided_quantile(p, degrees_of_freedom).expect("a quantile");
            relative(
                2.0 * reference.cdf(t) - 1.0,
                p,
                1e-11,
                &format!("p {p}, n {n}"),
            );
        }
    }
}

/// Closed forms: n = 1 is Cauchy's, n = 2 is algebraic.
#[test]
fn one_and_two_degrees_of_freedom_have_closed_forms() {
    let of = |p, n| student::two_sided_quantile(p, DegreesOfFreedom::finite(n).unwrap()).unwrap();
    for p in [0.2, 0.5, 0.8, 0.95] {
        relative(
            of(p, 1.0),
            (std::f64::consts::FRAC_PI_2 * p).tan(),
            1e-13,
            "n = 1",
        );
        let tails: f64 = 1.0 - p;
        relative(
            of(p, 2.0),
            p * (2.0 / (tails * (2.0 - tails))).sqrt(),
            1e-13,
            "n = 2",
        );
    }
}
