//! Eigenvalues of a small symmetric matrix, and a vector seen from its eigenvectors.

use crate::maths::error::MathsError;

/// Largest matrix.
pub(super) const MOST: usize = 12;
/// A square matrix in the upper left corner.
pub(super) type Matrix = [[f64; MOST]; MOST];

/// Diagonalises the first `n` rows and columns of `matrix` in place by cyclic Jacobi
/// rotations, turning `vector` along: afterwards the diagonal holds the eigenvalues and the
/// vector its components along the eigenvectors, in the same order.
///
/// Converges quadratically; stops when every off-diagonal entry is below rounding of the
/// diagonal, within ten sweeps of `n (n - 1)/2` rotations for `n` up to 12.
///
/// # Errors
/// [`MathsError::NotConverged`] when that takes more than 30 sweeps, as with a NaN.
pub(super) fn diagonalise(
    matrix: &mut Matrix,
    vector: &mut [f64; MOST],
    n: usize,
) -> Result<(), MathsError> {
    const SWEEPS: u32 = 30;
    let mut residual = f64::NAN;
    for _ in 0..SWEEPS {
        residual = 0.0;
        for p in 0..n {
            for q in p + 1..n {
                residual += rotate(matrix, vector, (p, q), n);
            }
        }
        if residual == 0.0 {
            return Ok(());
        }
    }
    Err(MathsError::NotConverged {
        method: "Jacobi rotations",
        iterations: SWEEPS,
        residual,
    })
}

/// One rotation that makes entry `(p, q)` vanish; returns its size before, zero if negligible.
fn rotate(matrix: &mut Matrix, vector: &mut [f64; MOST], (p, q): (usize, usize), n: usize) -> f64 {
    let off = matrix[p][q];
    // The quotient of entries spans many decades here, so the test is relative to both.
    let negligible = f64::EPSILON * (matrix[p][p].abs() * matrix[q][q].abs()).sqrt();
    if off.abs() <= 0.01 * negligible {
        return 0.0;
    }
    let half = 0.5 * (matrix[q][q] - matrix[p][p]) / off;
    let tangent = half.signum() / (half.abs() + (half * half + 1.0).sqrt());
    let cosine = 1.0 / (tangent * tangent + 1.0).sqrt();
    let sine = tangent * cosine;
    matrix[p][p] -= tangent * off;
    matrix[q][q] += tangent * off;
    matrix[p][q] = 0.0;
    matrix[q][p] = 0.0;
    for k in (0..n).filter(|k| *k != p && *k != q) {
        let (a, b) = (matrix[k][p], matrix[k][q]);
        matrix[k][p] = cosine * a - sine * b;
        matrix[p][k] = matrix[k][p];
        matrix[k][q] = sine * a + cosine * b;
        matrix[q][k] = matrix[k][q];
    }
    let (a, b) = (vector[p], vector[q]);
    vector[p] = cosine * a - sine * b;
    vector[q] = sine * a + cosine * b;
    off.abs()
}
