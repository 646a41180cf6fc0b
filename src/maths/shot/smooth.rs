//! Mass in the cup and flow into it, from readings that lag behind.
//!
//! A fixed-interval smoother in the form of Bryson and Frazier on the state mass, flow, reading:
//! the flow wanders, the mass is its integral, the reading follows the mass with the scale's
//! lag. Exact for uneven intervals; linear in the number of readings; no matrix is inverted, so
//! nothing can fail. `[bierman1977]`

use super::stream::Stream;

/// How much the flow wanders, (g/s) per root of a second. A choice of ours: it passes the slow
/// change of a running shot and holds back the steps of a scale of 0.1 g.
const WANDER: f64 = 0.15;

/// Smallest standard deviation of a reading, g: steps of 0.1 g and as much noise.
const SMALLEST_NOISE_G: f64 = 0.05;

/// Lag below which a scale counts as having none, s.
const NO_LAG_S: f64 = 1e-3;

/// Variances at the first reading: mass, flow, reading; g and g/s, squared.
const AT_FIRST: [f64; 3] = [1.0, 4.0, 1.0];

/// Nodes and weights of the Gauss rule of three points on 0 to 1: 1/2 and 1/2 ± sqrt(3/5)/2.
const NODES: [(f64, f64); 3] = [
    (0.112_701_665_379_258_3, 5.0 / 18.0),
    (0.5, 8.0 / 18.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

type Vector = [f64; 3];
type Matrix = [[f64; 3]; 3];

/// A stretch in which the flow may change faster, as when it begins and when the pump stops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Where it begins and ends on the clock of the readings, s.
    pub span_s: (f64, f64),
    /// How much the flow wanders there, (g/s) per root of a second.
    pub wander: f64,
}

/// How the scale follows the cup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lag {
    /// Time constant of the scale, s.
    pub scale_s: f64,
    /// Time until a reading arrives, s.
    pub transport_s: f64,
}

/// The cup at the instant of a reading, less the transport delay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CupState {
    /// When, on the clock of the readings, s.
    pub time_s: f64,
    /// Mass in the cup and what stood on the scale before, g.
    pub mass_g: f64,
    /// Flow into the cup, g/s.
    pub flow_g_per_s: f64,
}

/// The cup over time, one state for each reading.
#[must_use]
pub(super) fn cup(stream: &Stream, lag: Lag, changes: &[Change]) -> Vec<CupState> {
    let steps = forward(stream, lag.scale_s, changes);
    let mut states = Vec::with_capacity(steps.len());
    let mut adjoint: Vector = [0.0; 3];
    for (step, reading) in steps.iter().zip(&stream.readings).rev() {
        if let Some((innovation, variance)) = step.innovation {
            // the transpose of 1 - K H, then the pull of this reading
            let along: f64 = dot(&step.gain, &adjoint);
            adjoint[2] -= along;
            adjoint[2] -= innovation / variance;
        }
        let [mass, flow, _] = product(&step.covariance, &adjoint);
        states.push(CupState {
            time_s: reading.time_s - lag.transport_s,
            mass_g: step.state[0] - mass,
            flow_g_per_s: step.state[1] - flow,
        });
        adjoint = transposed_product(&step.transition, &adjoint);
    }
    states.reverse();
    states
}

/// What the filter knows just before a reading.
struct Step {
    transition: Matrix,
    state: Vector,
    covariance: Matrix,
    gain: Vector,
    /// The surprise of the reading and its variance; none where the reading is of no use.
    innovation: Option<(f64, f64)>,
}

fn forward(stream: &Stream, lag_s: f64, changes: &[Change]) -> Vec<Step> {
    let noise_g2 = noise_variance_g2(stream);
    let first = stream.of_use().next().copied().unwrap_or_default();
    let mut state = [first.mass_g, 0.0, first.mass_g];
    let mut covariance = diagonal(AT_FIRST);
    let mut last_s = stream.span_s().0;
    let mut steps = Vec::with_capacity(stream.readings.len());
    for (reading, is_usable) in stream.readings.iter().zip(&stream.usable) {
        let span_s = (last_s, reading.time_s);
        let transition = transition(span_s.1 - span_s.0, lag_s);
        state = product(&transition, &state);
        covariance = carried(&transition, &covariance);
        add(&mut covariance, &wandered(span_s, lag_s, changes));
        last_s = reading.time_s;
        let mut step = Step {
            transition,
            state,
            covariance,
            gain: [0.0; 3],
            innovation: None,
        };
        if *is_usable {
            let variance = covariance[2][2] + noise_g2;
            let surprise = reading.mass_g - state[2];
            step.innovation = Some((surprise, variance));
            step.gain = covariance[2].map(|c| c / variance);
            for (part, gain) in state.iter_mut().zip(step.gain) {
                *part += gain * surprise;
            }
            reduce(&mut covariance, variance);
        }
        steps.push(step);
    }
    steps
}

/// Variance of a reading.
fn noise_variance_g2(stream: &Stream) -> f64 {
    let masses: Vec<_> = stream.of_use().map(|r| r.mass_g).collect();
    let noise_g = libm::fmax(super::bumps::noise_g(&masses), SMALLEST_NOISE_G);
    noise_g * noise_g
}

/// What remains of an earlier reading, and the reading of a unit of flow, after a time.
fn response(time_s: f64, lag_s: f64) -> (f64, f64) {
    if lag_s < NO_LAG_S {
        return (0.0, time_s);
    }
    let left = libm::exp(-time_s / lag_s);
    (left, time_s - lag_s * (1.0 - left))
}

fn transition(time_s: f64, lag_s: f64) -> Matrix {
    let (left, of_flow) = response(time_s, lag_s);
    [
        [1.0, time_s, 0.0],
        [0.0, 1.0, 0.0],
        [1.0 - left, of_flow, left],
    ]
}

/// Covariance from the wandering of the flow between two instants.
fn wandered((from_s, to_s): (f64, f64), lag_s: f64, changes: &[Change]) -> Matrix {
    let time_s = to_s - from_s;
    let mut intensity = WANDER * WANDER;
    for change in changes {
        let (begin_s, end_s) = change.span_s;
        let shared_s = libm::fmin(end_s, to_s) - libm::fmax(begin_s, from_s);
        if shared_s > 0.0 {
            intensity += change.wander * change.wander * shared_s / time_s;
        }
    }
    let mut covariance = [[0.0; 3]; 3];
    for (node, weight) in NODES {
        let age_s = node * time_s;
        let reaction = [age_s, 1.0, response(age_s, lag_s).1];
        let scale = intensity * weight * time_s;
        for (row, left) in covariance.iter_mut().zip(reaction) {
            for (cell, right) in row.iter_mut().zip(reaction) {
                *cell += scale * left * right;
            }
        }
    }
    covariance
}

fn diagonal(of: Vector) -> Matrix {
    let [a, b, c] = of;
    [[a, 0.0, 0.0], [0.0, b, 0.0], [0.0, 0.0, c]]
}

fn dot(a: &Vector, b: &Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn product(matrix: &Matrix, vector: &Vector) -> Vector {
    matrix.map(|row| dot(&row, vector))
}

fn transposed_product(matrix: &Matrix, vector: &Vector) -> Vector {
    [0, 1, 2].map(|column| {
        matrix[0][column] * vector[0]
            + matrix[1][column] * vector[1]
            + matrix[2][column] * vector[2]
    })
}

/// `F P F'`.
fn carried(transition: &Matrix, covariance: &Matrix) -> Matrix {
    // the covariance is symmetric, so its rows are its columns
    let half = covariance.map(|row| product(transition, &row));
    [0, 1, 2].map(|row| {
        let column = [half[0][row], half[1][row], half[2][row]];
        product(transition, &column)
    })
}

fn add(covariance: &mut Matrix, more: &Matrix) {
    for (row, more) in covariance.iter_mut().zip(more) {
        for (cell, more) in row.iter_mut().zip(more) {
            *cell += more;
        }
    }
}

/// Takes a reading of the third part into account.
fn reduce(covariance: &mut Matrix, variance: f64) {
    let last = covariance[2];
    for (row, left) in covariance.iter_mut().zip(last) {
        for (cell, right) in row.iter_mut().zip(last) {
            *cell -= left * right / variance;
        }
    }
}
