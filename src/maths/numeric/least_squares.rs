//! Linear least squares in which no unknown may be below zero.

use crate::maths::error::MathsError;

/// Most unknowns: the normal equations of a few columns are well within doubles.
pub const MOST_UNKNOWNS: usize = 16;

/// Steps after which rounding must have gone wrong: several times what the sets need.
const STEPS: u32 = 1_000;

/// Columns whose gradient is below this share of the right side's size gain nothing.
const TOLERANCE: f64 = 1e-11;

/// The `x >= 0` that brings `A x` nearest to `b`, by Lawson and Hanson's active set.
///
/// `columns` are the columns of `A`, each as long as `b`. Where several are equally near, one with
/// few unknowns above zero is found. Finite: every step brings the sum nearer or bars a column, so
/// no set of free columns comes twice; a step costs the square of the unknowns times the rows.
///
/// # Source
/// `[lawson1974]`, chapter 23, algorithm NNLS, from memory.
///
/// # Errors
/// [`MathsError::WorkLimit`] for more than [`MOST_UNKNOWNS`] columns,
/// [`MathsError::NotConverged`] when the sets run out, which rounding alone can cause.
///
/// # Example
/// ```
/// # use extraction_maths::maths::numeric::least_squares::non_negative;
/// let x = non_negative(&[vec![1.0, 0.0], vec![0.0, 1.0]], &[3.0, -1.0])?;
/// assert_eq!(x, [3.0, 0.0]);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn non_negative(columns: &[Vec<f64>], b: &[f64]) -> Result<Vec<f64>, MathsError> {
    let n = columns.len();
    if n > MOST_UNKNOWNS {
        return Err(MathsError::WorkLimit {
            asked: u64::try_from(n).unwrap_or(u64::MAX),
            allowed: 16,
        });
    }
    let size = |column: &[f64]| libm::sqrt(dot(column, column));
    let floor = TOLERANCE * size(b);
    let mut x = vec![0.0; n];
    let mut free: Vec<usize> = Vec::new();
    let mut barred: Vec<usize> = Vec::new();
    let mut residual = b.to_vec();
    for _ in 0..STEPS {
        let gain = |j: &usize| dot(&columns[*j], &residual) / size(&columns[*j]);
        let candidates = (0..n).filter(|j| !free.contains(j) && !barred.contains(j));
        let best = candidates
            .filter(|j| gain(j) > floor)
            .max_by(|a, b| gain(a).total_cmp(&gain(b)));
        let Some(best) = best else {
            return Ok(x);
        };
        let before = (free.clone(), x.clone());
        free.push(best);
        let is_settled = settle(columns, b, &mut free, &mut x);
        let nearer = less(columns, &x, b);
        // a column that depends on the free ones, or gains by rounding alone, is no gain
        if is_settled && dot(&nearer, &nearer) < dot(&residual, &residual) {
            residual = nearer;
            barred.clear();
        } else {
            (free, x) = before;
            barred.push(best);
        }
    }
    Err(MathsError::NotConverged {
        method: "non-negative least squares",
        iterations: STEPS,
        residual: size(&residual),
    })
}

/// Moves `x` to the least squares of the free columns, dropping those that would fall below
/// zero on the way; false when the columns depend on one another.
fn settle(columns: &[Vec<f64>], b: &[f64], free: &mut Vec<usize>, x: &mut [f64]) -> bool {
    while !free.is_empty() {
        let Some(goal) = normal(columns, b, free) else {
            return false;
        };
        let falling = free.iter().zip(&goal).filter(|(_, goal)| **goal <= 0.0);
        let steps = falling.map(|(j, goal)| x[*j] / (x[*j] - goal));
        let step = steps.fold(1.0, f64::min);
        let is_there = goal.iter().all(|goal| *goal > 0.0);
        for (j, goal) in free.iter().zip(&goal) {
            x[*j] = if is_there {
                *goal
            } else {
                x[*j] + step * (goal - x[*j])
            };
        }
        if is_there {
            return true;
        }
        let spent: Vec<usize> = free
            .iter()
            .zip(&goal)
            .filter(|(j, goal)| **goal <= 0.0 && x[**j] <= TOLERANCE)
            .map(|(j, _)| *j)
            .collect();
        for j in &spent {
            x[*j] = 0.0;
        }
        if spent.is_empty() {
            return false;
        }
        free.retain(|j| !spent.contains(j));
    }
    true
}

/// Unbounded least squares of some columns by the normal equations and elimination.
fn normal(columns: &[Vec<f64>], b: &[f64], free: &[usize]) -> Option<Vec<f64>> {
    let mut rows: Vec<Vec<f64>> = free
        .iter()
        .map(|i| {
            let products = free.iter().map(|j| dot(&columns[*i], &columns[*j]));
            products
                .chain(std::iter::once(dot(&columns[*i], b)))
                .collect()
        })
        .collect();
    let n = free.len();
    for k in 0..n {
        let pivot = (k..n).max_by(|a, b| rows[*a][k].abs().total_cmp(&rows[*b][k].abs()))?;
        let own = dot(&columns[free[k]], &columns[free[k]]);
        rows.swap(k, pivot);
        if rows[k][k].abs() <= 1e-10 * own {
            return None;
        }
        let (above, below) = rows.split_at_mut(k + 1);
        let pivot_row = &above[k];
        for row in below {
            let factor = row[k] / pivot_row[k];
            for (entry, of_pivot) in row.iter_mut().zip(pivot_row).skip(k) {
                *entry -= factor * of_pivot;
            }
        }
    }
    let mut solution = vec![0.0; n];
    for k in (0..n).rev() {
        let known = (k + 1..n).fold(0.0, |sum, j| sum + rows[k][j] * solution[j]);
        solution[k] = (rows[k][n] - known) / rows[k][k];
    }
    Some(solution)
}

fn less(columns: &[Vec<f64>], x: &[f64], b: &[f64]) -> Vec<f64> {
    let at = |row: usize| {
        columns
            .iter()
            .zip(x)
            .fold(0.0, |sum, (c, x)| sum + c[row] * x)
    };
    b.iter().enumerate().map(|(row, b)| b - at(row)).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).fold(0.0, |sum, (a, b)| sum + a * b)
}
