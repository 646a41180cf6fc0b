//! The filter against a series, quadrature, another form of the update and a textbook limit.

use extraction_maths::maths::stop::Estimate;
use extraction_maths::maths::stop::estimate::{FLOW_WANDER_G_PER_S15, READING_NOISE_G};

use crate::support::relative;

type Matrix = [[f64; 3]; 3];

const NOTHING: Matrix = [[0.0; 3]; 3];

fn product(a: &Matrix, b: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| (0..3).map(|k| a[i][k] * b[k][j]).sum()))
}

fn transposed(a: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| a[j][i]))
}

fn sum(a: &Matrix, b: &Matrix, share: f64) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| a[i][j] + share * b[i][j]))
}

/// The transition over a step, by the power series of the exponential of the matrix.
fn series(step_s: f64, lag_s: f64) -> Matrix {
    let rates = [
        [0.0, step_s, 0.0],
        [0.0, 0.0, 0.0],
        [step_s / lag_s, 0.0, -step_s / lag_s],
    ];
    let mut term = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    let mut total = term;
    for order in 1..60 {
        term = sum(&NOTHING, &product(&term, &rates), 1.0 / f64::from(order));
        total = sum(&total, &term, 1.0);
    }
    total
}

/// What a wandering flow adds over a step, by Simpson's rule on the series.
fn added(step_s: f64, lag_s: f64) -> Matrix {
    let pieces = 200;
    let width = step_s / f64::from(pieces);
    let mut total = NOTHING;
    for piece in 0..=pieces {
        let over = series(width * f64::from(piece), lag_s);
        let effect: [f64; 3] = std::array::from_fn(|i| over[i][1]);
        let outer = std::array::from_fn(|i| std::array::from_fn(|j| effect[i] * effect[j]));
        let weight = match piece {
            0 | 200 => 1.0,
            odd if odd % 2 == 1 => 4.0,
            _ => 2.0,
        };
        total = sum(&total, &outer, weight * width / 3.0);
    }
    sum(
        &NOTHING,
        &total,
        FLOW_WANDER_G_PER_S15 * FLOW_WANDER_G_PER_S15,
    )
}

const fn full([mm, mq, mr, qq, qr, rr]: [f64; 6]) -> Matrix {
    [[mm, mq, mr], [mq, qq, qr], [mr, qr, rr]]
}

const fn example() -> Estimate {
    Estimate {
        mean: [12.0, 1.7, 11.4],
        covariance: [0.04, 0.01, 0.03, 0.09, 0.005, 0.05],
    }
}

#[track_caller]
fn same(found: &Matrix, expected: &Matrix, what: &str) {
    for (found, expected) in found.iter().flatten().zip(expected.iter().flatten()) {
        assert!(
            (found - expected).abs() <= 1e-9 * (1.0 + expected.abs()),
            "{what}: {found} against {expected}"
        );
    }
}

#[test]
fn a_step_is_the_exponential_of_the_rates() {
    for (step_s, lag_s) in [
        (0.1, 0.4),
        (0.093, 0.31),
        (1.0, 0.4),
        (0.004, 0.4),
        (3.0, 0.5),
    ] {
        let over = series(step_s, lag_s);
        let before = example();
        let after = before.after(step_s, lag_s);
        for (row, found) in over.iter().zip(after.mean) {
            let expected: f64 = row.iter().zip(before.mean).map(|(a, b)| a * b).sum();
            relative(found, expected, 1e-10, "mean");
        }
        let moved = product(
            &product(&over, &full(before.covariance)),
            &transposed(&over),
        );
        let expected = sum(&moved, &added(step_s, lag_s), 1.0);
        same(&full(after.covariance), &expected, "covariance");
    }
}

#[test]
fn two_steps_are_one() {
    let whole = example().after(0.3, 0.4);
    let parts = example().after(0.1, 0.4).after(0.2, 0.4);
    same(
        &full(parts.covariance),
        &full(whole.covariance),
        "two steps",
    );
    for (part, whole) in parts.mean.iter().zip(whole.mean) {
        relative(*part, whole, 1e-12, "two steps");
    }
}

fn inverse(a: &Matrix) -> Matrix {
    let minor = |i: usize, j: usize| {
        let (r, s) = ((i + 1) % 3, (i + 2) % 3);
        let (c, d) = ((j + 1) % 3, (j + 2) % 3);
        a[r][c] * a[s][d] - a[r][d] * a[s][c]
    };
    let determinant: f64 = (0..3).map(|j| a[0][j] * minor(0, j)).sum();
    std::array::from_fn(|i| std::array::from_fn(|j| minor(j, i) / determinant))
}

/// The same in the form of information: the inverses of the covariances add up.
#[test]
fn a_reading_adds_its_information() {
    let before = example();
    let after = before.with_surprise(0.3);
    let mut information = inverse(&full(before.covariance));
    let of_reading = 1.0 / (READING_NOISE_G * READING_NOISE_G);
    information[2][2] += of_reading;
    let covariance = inverse(&information);
    same(&full(after.covariance), &covariance, "covariance");
    for (place, (found, was)) in after.mean.iter().zip(before.mean).enumerate() {
        // the surprise, weighed by what the reading knows
        let expected = was + covariance[place][2] * of_reading * 0.3;
        relative(*found, expected, 1e-10, "mean");
    }
}

/// Textbook limit, from memory: for a double integrator read continuously (no lag), the steady
/// gains of the filter of Kalman and Bucy are `sqrt(2) w` and `w^2` with
/// `w^2 = wander / noise`, noise being that of the readings times the root of their spacing.
#[test]
fn quick_readings_without_lag_have_the_gains_of_the_continuous_filter() {
    let step_s: f64 = 0.001;
    let mut estimate = Estimate {
        mean: [0.0; 3],
        covariance: [1.0, 0.0, 0.0, 1.0, 0.0, 1.0],
    };
    let settled = (0..20_000).fold(estimate, |now, _| {
        now.after(step_s, 1e-5).with_surprise(0.0)
    });
    estimate = settled.after(step_s, 1e-5);
    let variance = estimate.covariance[5] + READING_NOISE_G * READING_NOISE_G;
    let gains = [estimate.covariance[2], estimate.covariance[4]].map(|c| c / variance / step_s);
    let square = FLOW_WANDER_G_PER_S15 / (READING_NOISE_G * step_s.sqrt());
    relative(gains[0], (2.0 * square).sqrt(), 0.01, "gain of the mass");
    relative(gains[1], square, 0.02, "gain of the flow");
}
