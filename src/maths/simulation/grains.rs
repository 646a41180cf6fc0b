//! Diffusion out of the grains as a handful of modes, each advanced exactly.
//!
//! The concentration in a sphere is a polynomial in the squared radius through collocation
//! nodes. Its operator is symmetric under the weights of the nodes, so it falls apart into
//! modes that each relax towards equilibrium with the liquid at a rate of their own. The fines
//! are one more such mode.

use super::bed::Bed;
use super::eigen::{MOST, Matrix, diagonalise};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// How a sphere approaches equilibrium: its mean is `1 - sum w exp(-r t)` of the way there.
#[derive(Debug, Clone, PartialEq)]
pub struct Relaxation {
    /// Share of each mode in the mean; they add up to one.
    pub weights: Vec<f64>,
    /// Rate of each mode, in units of diffusivity over radius squared.
    pub rates: Vec<f64>,
}

/// Modes of diffusion in a sphere behind a film.
///
/// # Equation
/// `dc/dt = (1/r^2) d/dr(r^2 dc/dr)`, `-dc/dr = Bi (c - c_eq)` at `r = 1`, by collocation at
/// the positive zeros of the Legendre polynomial `P_(2N+1)` and at the surface; the surface
/// value is eliminated, the rest made symmetric and diagonalised.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | r, t | radius, time over `a^2/D` | 1 |
/// | Bi | `biot`, film against diffusion in the grain | 1 |
/// | N | `modes` | 1 |
///
/// # Source
/// Orthogonal collocation of Villadsen and Stewart (from memory); diffusion in a sphere
/// `[crank1975]`.
///
/// # Valid for
/// 2 to 12 modes. The released share is within 5e-4 of the series of `[crank1975]` from 5 modes
/// on and times of 0.01 `a^2/D` on; the mean is exact at the start and at the end. Cost grows
/// with the cube of the number of modes.
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a number of modes outside 2 to 12
/// or a Biot number that is not positive and finite; [`MathsError::NotConverged`] should an
/// iteration fail.
///
/// # Example
/// ```
/// # use extraction_maths::maths::simulation::grains::relaxation;
/// let sphere = relaxation(5, 1e12)?;
/// let slowest = sphere.rates.iter().fold(f64::INFINITY, |a, b| a.min(*b));
/// assert!((slowest - std::f64::consts::PI.powi(2)).abs() < 1e-6);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn relaxation(modes: u32, biot: f64) -> Result<Relaxation, MathsError> {
    super::accuracy::Resolution::MODES.check(f64::from(modes))?;
    Range::new("Biot number", f64::MIN_POSITIVE, f64::MAX, "1").check(biot)?;
    let n = modes as usize;
    let nodes = Nodes::new(n)?;
    let mut operator = nodes.operator(biot);
    let mut ones = [0.0; MOST];
    for (one, weight) in ones.iter_mut().zip(&nodes.weights) {
        *one = weight.sqrt();
    }
    diagonalise(&mut operator, &mut ones, n)?;
    Ok(Relaxation {
        weights: ones[..n].iter().map(|b| 3.0 * b * b).collect(),
        rates: (0..n).map(|k| -operator[k][k]).collect(),
    })
}

/// Collocation nodes inside the sphere, the surface, and their quadrature weights.
struct Nodes {
    n: usize,
    /// Squared radii, the surface last.
    squares: [f64; MOST + 1],
    /// Weights of the integral of `f(r) r^2` from 0 to 1.
    weights: [f64; MOST],
}

impl Nodes {
    /// Zeros of the Legendre polynomial, from the usual cosines.
    fn new(n: usize) -> Result<Self, MathsError> {
        let degree = 2 * n + 1;
        let (mut squares, mut weights) = ([0.0; MOST + 1], [0.0; MOST]);
        #[expect(clippy::cast_precision_loss, reason = "at most 25")]
        let size = degree as f64;
        for k in 0..n {
            #[expect(clippy::cast_precision_loss, reason = "at most 12")]
            let angle = std::f64::consts::PI * (k as f64 + 0.75) / (size + 0.5);
            let x = zero_of_legendre(degree, libm::cos(angle))?;
            let (_, slope) = legendre(degree, x);
            squares[k] = x * x;
            weights[k] = 2.0 * x * x / ((1.0 - x * x) * slope * slope);
        }
        squares[n] = 1.0;
        Ok(Self {
            n,
            squares,
            weights,
        })
    }

    /// The diffusion operator between the inner nodes, made symmetric by the weights.
    fn operator(&self, biot: f64) -> Matrix {
        let (n, first) = (self.n, self.derivative());
        let second = |i: usize, j: usize| {
            2.0 * first[i][j] * (first[i][i] - 1.0 / (self.squares[i] - self.squares[j]))
        };
        // In u = r^2 the Laplacian is 4 u d2/du2 + 6 d/du, and d/dr at the surface 2 d/du.
        let laplacian =
            |i: usize, j: usize| 4.0 * self.squares[i] * second(i, j) + 6.0 * first[i][j];
        let surface = 1.0 / (2.0 * first[n][n] + biot);
        let mut operator = [[0.0; MOST]; MOST];
        for i in 0..n {
            let to_surface = laplacian(i, n);
            // Rows of second derivatives add up to zero; so the diagonal loses no digits.
            let diagonal: f64 = (0..=n).filter(|j| *j != i).map(|j| second(i, j)).sum();
            for j in 0..n {
                let inner = if i == j {
                    6.0 * first[i][i] - 4.0 * self.squares[i] * diagonal
                } else {
                    laplacian(i, j)
                };
                let value = inner - to_surface * 2.0 * first[n][j] * surface;
                operator[i][j] = value * (self.weights[i] / self.weights[j]).sqrt();
            }
        }
        symmetric(&mut operator, n);
        operator
    }

    /// Matrix of first derivatives with respect to the squared radius.
    fn derivative(&self) -> [[f64; MOST + 1]; MOST + 1] {
        let (n, u) = (self.n, &self.squares);
        let mut scale = [1.0; MOST + 1];
        for j in 0..=n {
            for k in (0..=n).filter(|k| *k != j) {
                scale[j] *= u[j] - u[k];
            }
        }
        let mut first = [[0.0; MOST + 1]; MOST + 1];
        for i in 0..=n {
            for j in (0..=n).filter(|j| *j != i) {
                first[i][j] = scale[i] / scale[j] / (u[i] - u[j]);
                first[i][i] -= first[i][j];
            }
        }
        first
    }
}

/// Takes away the asymmetry that rounding leaves.
#[expect(clippy::needless_range_loop, reason = "two entries of the same matrix")]
fn symmetric(matrix: &mut Matrix, n: usize) {
    for i in 0..n {
        for j in 0..i {
            let mean = 0.5 * (matrix[i][j] + matrix[j][i]);
            matrix[i][j] = mean;
            matrix[j][i] = mean;
        }
    }
}

/// The zero next to a guess by Newton's method: a few iterations to the last bit or two.
fn zero_of_legendre(degree: usize, guess: f64) -> Result<f64, MathsError> {
    const ITERATIONS: u32 = 50;
    let (mut x, mut step) = (guess, f64::NAN);
    for _ in 0..ITERATIONS {
        let (value, slope) = legendre(degree, x);
        step = value / slope;
        x -= step;
        if step.abs() <= 1e-15 {
            return Ok(x);
        }
    }
    Err(MathsError::NotConverged {
        method: "zeros of a Legendre polynomial",
        iterations: ITERATIONS,
        residual: step,
    })
}

/// Legendre polynomial and its slope, by the three-term recurrence.
fn legendre(degree: usize, x: f64) -> (f64, f64) {
    let (mut before, mut value) = (1.0, x);
    for k in 2..=degree {
        #[expect(clippy::cast_precision_loss, reason = "at most 25")]
        let k = k as f64;
        (before, value) = (
            value,
            ((2.0 * k - 1.0) * x * value - (k - 1.0) * before) / k,
        );
    }
    #[expect(clippy::cast_precision_loss, reason = "at most 25")]
    let n = degree as f64;
    (value, n * (x * value - before) / (x * x - 1.0))
}

/// All modes of the grains of a bed, fines first; unused places have no weight.
#[derive(Debug, Clone, Copy)]
pub(super) struct Exchange<const M: usize> {
    /// Share of the grains' volume; they add up to one.
    pub(super) weights: [f64; M],
    /// Rate of approach to equilibrium, 1/s.
    pub(super) rates: [f64; M],
}

impl<const M: usize> Exchange<M> {
    pub(super) fn new(bed: &Bed, modes: u32) -> Result<Self, MathsError> {
        let coarse = relaxation(modes, bed.coarse_biot)?;
        let (mut weights, mut rates) = ([0.0; M], [0.0; M]);
        weights[0] = bed.fines_share;
        rates[0] = bed.fines_rate_per_s;
        let places = weights.iter_mut().zip(rates.iter_mut()).skip(1);
        for ((weight, rate), (w, r)) in places.zip(coarse.weights.iter().zip(&coarse.rates)) {
            *weight = (1.0 - bed.fines_share) * w;
            *rate = bed.coarse_rate_per_s * r;
        }
        Ok(Self { weights, rates })
    }

    /// Mean of something over the modes.
    pub(super) fn mean(&self, values: &[f64; M]) -> f64 {
        self.weights.iter().zip(values).map(|(w, v)| w * v).sum()
    }
}

/// What a mode keeps of itself over a step and takes from a liquid that changes linearly:
/// `y' = keep y + start c + end c'`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Factors<const M: usize> {
    pub(super) keep: [f64; M],
    pub(super) start: [f64; M],
    pub(super) end: [f64; M],
}

impl<const M: usize> Factors<M> {
    pub(super) fn new(exchange: &Exchange<M>, step_s: f64) -> Self {
        let mut factors = Self {
            keep: [1.0; M],
            start: [0.0; M],
            end: [0.0; M],
        };
        for m in 0..M {
            let x = exchange.rates[m] * step_s;
            let gone = -libm::expm1(-x);
            // The mean of what is kept, (1 - exp(-x))/x; for small x the difference from one
            // would cancel, so its series is used.
            let end = if x < 0.02 {
                x * (0.5 - x * (1.0 / 6.0 - x * (1.0 / 24.0 - x * (1.0 / 120.0 - x / 720.0))))
            } else {
                1.0 - gone / x
            };
            factors.keep[m] = 1.0 - gone;
            factors.end[m] = end;
            factors.start[m] = gone - end;
        }
        factors
    }

    /// The same for a liquid that has its new concentration all along.
    pub(super) fn implicit(&self) -> Self {
        let mut factors = *self;
        for m in 0..M {
            factors.end[m] += factors.start[m];
            factors.start[m] = 0.0;
        }
        factors
    }
}
