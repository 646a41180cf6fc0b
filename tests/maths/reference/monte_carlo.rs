//! Propagation of distributions against the worked examples of [jcgm2008s1] (rows of
//! tests/data/gum.csv, which say how each is known) and against independent libraries.

use extraction_maths::maths::uncertainty::correlations::Correlations;
use extraction_maths::maths::uncertainty::monte_carlo::distribution::Distribution;
use extraction_maths::maths::uncertainty::monte_carlo::generator::Generator;
use extraction_maths::maths::uncertainty::monte_carlo::inputs::Inputs;
use extraction_maths::maths::uncertainty::monte_carlo::propagate::{
    Model, Propagated, Settings, Trials, propagated,
};
use extraction_maths::maths::uncertainty::monte_carlo::tolerance::numerical_tolerance;
use extraction_maths::maths::uncertainty::monte_carlo::ziggurat::Ziggurat;
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};
use statrs::distribution::{ContinuousCDF, Normal, StudentsT, Triangular, Uniform};

use super::rows::{Row, rows};
use crate::support::relative;

/// The generator and its seeding, against another implementation of both.
#[test]
fn streams_are_those_of_another_implementation() {
    for seed in [0, 1, 42, 20_261_125, u64::MAX] {
        let mut other = Xoshiro256PlusPlus::seed_from_u64(seed);
        let mut own = Generator::seeded(seed);
        for _ in 0..1_000 {
            assert_eq!(own.bits(), other.next_u64(), "seed {seed}");
        }
    }
}

#[test]
fn blocks_and_seeds_have_streams_of_their_own() {
    let mut first: Vec<u64> = (0..100)
        .flat_map(|seed| (0..100).map(move |block| Generator::of_block(seed, block).bits()))
        .collect();
    first.sort_unstable();
    first.dedup();
    assert_eq!(first.len(), 10_000);
}

/// The two printed constants of the method make layers of equal area that reach the top.
#[test]
fn the_layers_of_the_ziggurat_close() {
    assert!(Ziggurat::new().gap().abs() < 1e-8);
}

/// Largest distance between the drawn numbers and a distribution, times √n: Kolmogorov's
/// statistic, above 1.95 once in a thousand.
fn distance(drawn: &mut [f64], cumulative: impl Fn(f64) -> f64) -> f64 {
    drawn.sort_unstable_by(f64::total_cmp);
    let n = f64::from(u32::try_from(drawn.len()).expect("few"));
    let steps = drawn.iter().zip(0_u32..).map(|(x, place)| {
        let (below, above) = (f64::from(place) / n, f64::from(place + 1) / n);
        let p = cumulative(*x);
        (p - below).abs().max((p - above).abs())
    });
    steps.fold(0.0, f64::max) * n.sqrt()
}

fn drawn(distribution: Distribution, count: usize) -> Vec<f64> {
    let inputs = Inputs::new(vec![distribution], &Correlations::none()).expect("inputs");
    let mut columns = vec![vec![0.0; count]];
    inputs.draw(&mut Generator::of_block(7, 0), &mut columns);
    columns.remove(0)
}

/// Cumulative distributions from an independent library.
#[test]
fn drawn_numbers_follow_their_distributions() {
    const COUNT: usize = 100_000;
    let statistic =
        |distribution, other: &dyn Fn(f64) -> f64| distance(&mut drawn(distribution, COUNT), other);
    let normal = Normal::new(2.0, 0.5).expect("normal");
    let rectangle = Uniform::new(1.0, 4.0).expect("uniform");
    let triangle = Triangular::new(1.0, 4.0, 2.5).expect("triangular");
    let mut all = vec![
        statistic(Distribution::normal(2.0, 0.5).unwrap(), &|x| normal.cdf(x)),
        statistic(Distribution::rectangular(2.5, 1.5).unwrap(), &|x| {
            rectangle.cdf(x)
        }),
        statistic(Distribution::triangular(2.5, 1.5).unwrap(), &|x| {
            triangle.cdf(x)
        }),
    ];
    for degrees in [3.0, 4.0, 7.5, 30.0, 1e6] {
        let other = StudentsT::new(-1.0, 0.2, degrees).expect("t");
        let own = Distribution::student(-1.0, 0.2, degrees).unwrap();
        all.push(statistic(own, &|x| other.cdf(x)));
    }
    assert!(all.iter().all(|statistic| *statistic < 1.95), "{all:?}");
}

/// The far tail, which a coarse test of the whole does not see.
#[test]
fn the_tail_of_the_normal_distribution_is_drawn_as_often_as_it_should() {
    let numbers = drawn(Distribution::normal(0.0, 1.0).unwrap(), 2_000_000);
    for limit in [3.0, 3.7, 4.2] {
        let expected = 4e6 * Normal::standard().cdf(-limit);
        let found = numbers.iter().filter(|x| x.abs() > limit).count();
        let found = f64::from(u32::try_from(found).expect("few"));
        let deviation = (found - expected) / expected.sqrt();
        assert!(deviation.abs() < 4.0, "{limit}: {found} against {expected}");
    }
}

fn sum(columns: &[Vec<f64>], out: &mut [f64]) {
    for (trial, value) in out.iter_mut().enumerate() {
        *value = columns.iter().map(|column| column[trial]).sum();
    }
}

fn settings(trials: Trials) -> Settings {
    Settings {
        seed: 1,
        trials,
        probability: 0.95,
    }
}

fn million(distributions: Vec<Distribution>, model: &Model<'_>) -> Propagated {
    let inputs = Inputs::new(distributions, &Correlations::none()).expect("inputs");
    propagated(&inputs, model, &settings(Trials::Fixed(1_000_000)), &|| {
        true
    })
    .expect("a result")
    .expect("not stopped")
}

fn row(id: &str) -> Row {
    let found = rows("gum.csv").into_iter().find(|row| row.id == id);
    found.expect("the row")
}

#[track_caller]
fn check(row: &Row, found: [f64; 4]) {
    for (found, expected) in found.into_iter().zip(row.expected()) {
        assert!(
            (found - expected).abs() <= row.tolerance,
            "{}: {found} against {expected}",
            row.id
        );
    }
}

fn results(all: &Propagated) -> [f64; 4] {
    let symmetric = all.intervals.symmetric;
    [
        all.mean,
        all.standard_uncertainty,
        symmetric.low,
        symmetric.high,
    ]
}

#[test]
fn four_normal_inputs_match_the_worked_example() {
    let all = million(vec![Distribution::normal(0.0, 1.0).unwrap(); 4], &sum);
    check(&row("S1-9.2.2"), results(&all));
    assert!(all.is_stable);
}

#[test]
fn four_rectangular_inputs_match_the_worked_example() {
    let one = Distribution::rectangular(0.0, 3.0_f64.sqrt()).unwrap();
    check(&row("S1-9.2.3"), results(&million(vec![one; 4], &sum)));
}

/// One of the four is ten times as wide; the row's last pair is the first-order interval.
#[test]
fn a_dominating_rectangular_input_matches_the_worked_example() {
    let wide = Distribution::rectangular(0.0, 10.0 * 3.0_f64.sqrt()).unwrap();
    let one = Distribution::rectangular(0.0, 3.0_f64.sqrt()).unwrap();
    let all = million(vec![one, one, one, wide], &sum);
    let row = row("S1-9.2.4");
    let expected = row.expected();
    let [_, u, low, high] = results(&all);
    for (found, expected) in [(u, expected[0]), (low, expected[1]), (high, expected[2])] {
        assert!(
            (found - expected).abs() <= row.tolerance,
            "{found} against {expected}"
        );
    }
}

/// Mass of a weight in air: the model is not linear, and first order misses a third of it.
#[test]
fn the_calibration_of_a_weight_matches_the_worked_example() {
    let inputs = vec![
        Distribution::normal(100_000.0, 0.050).unwrap(),
        Distribution::normal(1.234, 0.020).unwrap(),
        Distribution::rectangular(1.20, 0.10).unwrap(),
        Distribution::rectangular(8_000.0, 1_000.0).unwrap(),
        Distribution::rectangular(8_000.0, 50.0).unwrap(),
    ];
    let model = |columns: &[Vec<f64>], out: &mut [f64]| {
        for (trial, value) in out.iter_mut().enumerate() {
            let [reference, small, air, weight, of_reference] =
                [0, 1, 2, 3, 4].map(|input: usize| columns[input][trial]);
            let buoyancy = (air - 1.2) * (1.0 / weight - 1.0 / of_reference);
            *value = (reference + small) * (1.0 + buoyancy) - 100_000.0;
        }
    };
    check(&row("S1-9.3"), results(&million(inputs, &model)));
}

/// The variance of a product of two independent inputs is known exactly.
#[test]
fn moments_of_a_product_match_the_closed_form() {
    let inputs = vec![
        Distribution::triangular(3.0, 1.2).unwrap(),
        Distribution::normal(2.0, 0.3).unwrap(),
    ];
    let product = |columns: &[Vec<f64>], out: &mut [f64]| {
        for (trial, value) in out.iter_mut().enumerate() {
            *value = columns[0][trial] * columns[1][trial];
        }
    };
    let all = million(inputs, &product);
    let (a, b): (f64, f64) = (1.2 * 1.2 / 6.0, 0.09);
    relative(all.mean, 6.0, 1e-3, "mean");
    let expected = (a * 4.0 + b * 9.0 + a * b).sqrt();
    relative(
        all.standard_uncertainty,
        expected,
        3e-3,
        "standard deviation",
    );
}

#[test]
fn correlated_inputs_vary_together_as_they_are_told() {
    let u = [0.1, 0.2, 0.3];
    let inputs = u.map(|u| Distribution::normal(1.0, u).unwrap()).to_vec();
    let correlations = Correlations::none()
        .with(0, 1, 0.5)
        .and_then(|all| all.with(0, 2, -0.3))
        .and_then(|all| all.with(1, 2, 0.2))
        .expect("correlations");
    let inputs = Inputs::new(inputs, &correlations).expect("inputs");
    let all = propagated(&inputs, &sum, &settings(Trials::Fixed(1_000_000)), &|| true);
    let all = all.expect("a result").expect("not stopped");
    // hand: 0.01 + 0.04 + 0.09 + 2 (0.5 × 0.02 − 0.3 × 0.03 + 0.2 × 0.06) = 0.166
    relative(
        all.standard_uncertainty,
        0.166_f64.sqrt(),
        3e-3,
        "deviation",
    );
    // of rectangular inputs a coefficient does not say enough
    let rectangles = vec![Distribution::rectangular(0.0, 1.0).unwrap(); 3];
    assert!(Inputs::new(rectangles, &correlations).is_err());
}

/// [jcgm2008s1] 7.9.2, its examples (from memory): 0.000 35 g, 0.071 and 0.07 Ω, 10.47.
#[test]
fn tolerances_match_the_worked_examples() {
    for (u, digits, expected) in [
        (0.000_35, 2, 0.000_005),
        (0.071, 2, 0.000_5),
        (0.07, 1, 0.005),
        (2.0, 1, 0.5),
        // rounds to the two digits 10 of the decade above
        (0.0996, 2, 0.005),
    ] {
        relative(
            numerical_tolerance(u, digits).unwrap(),
            expected,
            1e-12,
            "tolerance",
        );
    }
    relative(numerical_tolerance(0.0, 2).unwrap(), 0.0, 0.0, "tolerance");
}
