//! The methods that the fit rests on, and the regression, by hand arithmetic.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::dial_in::{PulledShot, Regression};
use extraction_maths::maths::numeric::cholesky::Cholesky;
use extraction_maths::maths::numeric::gauss_newton::{Linearised, Readings, posterior_mode};

use super::worlds::recipe;

#[test]
fn a_triangle_solves_what_it_was_made_of() {
    let matrix = [[4.0, 2.0, 0.4], [2.0, 5.0, 1.0], [0.4, 1.0, 3.0]];
    let triangle = Cholesky::of(&matrix).expect("positive definite");
    let inverse = triangle.inverse();
    for (i, row) in matrix.iter().enumerate() {
        // the inverse is symmetric, so that its rows are its columns
        for (j, column) in inverse.iter().enumerate() {
            let product: f64 = row.iter().zip(column).map(|(a, b)| a * b).sum();
            let unit = if i == j { 1.0 } else { 0.0 };
            assert!((product - unit).abs() < 1e-14);
        }
    }
    assert_eq!(Cholesky::of(&[[1.0, 2.0], [2.0, 1.0]]), None);
    assert_eq!(Cholesky::of(&[[f64::NAN]]), None);
}

/// A reading of `exp(x)` within 0.1.
struct Exponential(f64);

impl Readings<1> for Exponential {
    fn linearised(&mut self, at: &[f64; 1]) -> Result<Option<Linearised<1>>, MathsError> {
        let (model, weight) = (at[0].exp(), 100.0);
        let residual = self.0 - model;
        Ok(Some(Linearised {
            misfit: weight * residual * residual,
            pull: [weight * model * residual],
            curvature: [[weight * model * model]],
        }))
    }

    fn misfit(&self, at: &[f64; 1]) -> Result<Option<f64>, MathsError> {
        Ok(Some(100.0 * (self.0 - at[0].exp()).powi(2)))
    }
}

/// At the mode the pull of the reading and that of the prior are equal: 100 e^x (y − e^x) = x.
#[test]
fn a_curved_model_is_followed_to_where_reading_and_prior_balance() {
    for reading in [0.05, 0.5, 1.0, 3.0, 8.0] {
        let posterior = posterior_mode(&mut Exponential(reading))
            .expect("a mode")
            .expect("not given up");
        let x = posterior.mode[0];
        let balance = 100.0 * x.exp() * (reading - x.exp()) - x;
        // in posterior standard deviations
        let off = balance * posterior.covariance[0][0].sqrt();
        assert!(off.abs() < 0.05, "{reading}: {x} is off by {off}");
    }
}

/// ln t = 3, 3.1, 3.4 at 1, 2, 3: slope 0.2, mean 3.1667, residuals 0.0333, −0.0667, 0.0333,
/// variance 0.006667 on one degree of freedom; at 2 the spread is sqrt(0.006667 × 4/3) = 0.09428,
/// and Student's t for 90 % is 6.3138 (`[jcgm2008]` table G.2: 6.31).
#[test]
fn three_shots_on_a_line_have_the_interval_of_one_degree_of_freedom() {
    let shots: Vec<_> = [(1.0, 3.0_f64), (2.0, 3.1), (3.0, 3.4)]
        .map(|(setting, ln_time)| PulledShot {
            recipe: recipe(setting),
            shot_time_s: ln_time.exp(),
            dissolved_fraction: None,
            first_drop_s: None,
        })
        .to_vec();
    let lines = Regression::of(&shots, &recipe(2.0)).expect("a line");
    assert!((lines.ln_time.slope - 0.2).abs() < 1e-12);
    let interval = lines.ln_time.interval(2.0, 0.9).expect("an interval");
    assert!((interval.value - 3.166_667).abs() < 1e-6);
    assert!((interval.high - interval.value - 6.3138 * 0.094_281).abs() < 1e-4);
    assert_eq!(Regression::of(&shots[..2], &recipe(2.0)), None);
    let level = vec![shots[0].clone(); 3];
    assert_eq!(Regression::of(&level, &recipe(2.0)), None);
}
