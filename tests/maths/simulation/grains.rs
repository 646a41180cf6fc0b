//! Modes of diffusion in a sphere.

use std::f64::consts::PI;

use extraction_maths::maths::MathsError;
use extraction_maths::maths::simulation::grains::relaxation;

use crate::support::relative;

/// A film so thin that the surface has the outer concentration.
const NO_FILM: f64 = 1e12;

/// Share released by a sphere whose surface is kept at zero, by the series of Crank, *The
/// Mathematics of Diffusion*, 2nd edition, chapter 6 (form from memory).
fn crank(fourier: f64) -> f64 {
    let terms = (1..=200).map(|n| {
        let n = f64::from(n);
        (-n * n * PI * PI * fourier).exp() / (n * n)
    });
    1.0 - 6.0 / (PI * PI) * terms.sum::<f64>()
}

fn released(modes: u32, biot: f64, fourier: f64) -> f64 {
    let sphere = relaxation(modes, biot).expect("modes");
    let left = sphere
        .weights
        .iter()
        .zip(&sphere.rates)
        .map(|(w, r)| w * (-r * fourier).exp());
    1.0 - left.sum::<f64>()
}

#[test]
fn a_sphere_in_clean_water_follows_the_series_of_crank() {
    for (modes, tolerance) in [(5, 5e-4), (6, 1e-4), (8, 1e-5), (12, 1e-6)] {
        for k in 1..=50 {
            let fourier = 0.01 * f64::from(k);
            let difference = released(modes, NO_FILM, fourier) - crank(fourier);
            assert!(
                difference.abs() <= tolerance,
                "{modes} modes at {fourier}: {difference}"
            );
        }
    }
}

/// First root of `x cot x = 1 - Bi`, Crank chapter 6 (form from memory): a film in front of
/// the sphere. Hand check for Bi = 1: cot x = 0, x = pi/2.
#[test]
fn the_slowest_mode_behind_a_film_is_the_root_of_its_equation() {
    for biot in [0.1, 1.0, 5.0, 50.0, 500.0] {
        let sphere = relaxation(8, biot).expect("modes");
        let root = sphere
            .rates
            .iter()
            .fold(f64::INFINITY, |a, b| a.min(*b))
            .sqrt();
        relative(root / root.tan() + biot, 1.0, 1e-6, "x cot x + Bi");
    }
    let sphere = relaxation(8, 1.0).expect("modes");
    let root = sphere
        .rates
        .iter()
        .fold(f64::INFINITY, |a, b| a.min(*b))
        .sqrt();
    relative(root, PI / 2.0, 1e-9, "first root");
}

/// Mean over time of what is left: `1/15 + 1/(3 Bi)`, from the steady profile of a sphere with
/// an even source, `c = (1 - r^2)/6 + 1/(3 Bi)`, whose mean is `1/6 - 1/10 + 1/(3 Bi)`.
#[test]
fn the_mean_time_of_release_is_that_of_an_even_source() {
    for modes in 2..=12 {
        for biot in [0.2, 3.0, 525.0] {
            let sphere = relaxation(modes, biot).expect("modes");
            let mean: f64 = sphere
                .weights
                .iter()
                .zip(&sphere.rates)
                .map(|(w, r)| w / r)
                .sum();
            relative(mean, 1.0 / 15.0 + 1.0 / (3.0 * biot), 1e-10, "mean time");
            relative(sphere.weights.iter().sum(), 1.0, 1e-13, "sum of weights");
            assert!(sphere.weights.iter().all(|w| *w >= 0.0));
            assert!(sphere.rates.iter().all(|r| *r > 0.0));
        }
    }
}

#[test]
fn modes_and_films_that_make_no_sense_are_refused() {
    for modes in [0, 1, 13] {
        assert!(matches!(
            relaxation(modes, 1.0),
            Err(MathsError::OutOfRange { .. })
        ));
    }
    for biot in [0.0, -1.0] {
        assert!(matches!(
            relaxation(5, biot),
            Err(MathsError::OutOfRange { .. })
        ));
    }
    for biot in [f64::NAN, f64::INFINITY] {
        assert!(matches!(
            relaxation(5, biot),
            Err(MathsError::NonFinite { .. })
        ));
    }
}
