//! Sums of terms `n x^i y^j` and their derivatives, by multiplication alone, so that the bits
//! are the same everywhere.

/// A term `n x^i y^j` as `(i, j, n)`.
pub(super) type Term = (i32, i32, f64);

/// First derivatives of a sum of terms, and the second one in y.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Derivatives {
    /// Derivative in x.
    pub(super) x: f64,
    /// Derivative in y.
    pub(super) y: f64,
    /// Second derivative in y.
    pub(super) yy: f64,
}

/// The derivatives of `sum(n x^i y^j)`.
pub(super) fn derivatives(terms: &[Term], x: f64, y: f64) -> Derivatives {
    let mut sum = Derivatives::default();
    for &(i, j, n) in terms {
        let (power, order) = (f64::from(i), f64::from(j));
        let lower_x = integer_power(x, i - 1);
        let lower_y = integer_power(y, j - 2);
        sum.x += n * power * lower_x * lower_y * y * y;
        sum.y += n * lower_x * x * order * lower_y * y;
        sum.yy += n * lower_x * x * order * (order - 1.0) * lower_y;
    }
    sum
}

/// A number raised to a whole power by repeated squaring.
pub(super) fn integer_power(base: f64, exponent: i32) -> f64 {
    let mut result = 1.0;
    let mut square = base;
    let mut left = exponent.unsigned_abs();
    while left > 0 {
        if left & 1 == 1 {
            result *= square;
        }
        square *= square;
        left >>= 1;
    }
    if exponent < 0 { 1.0 / result } else { result }
}
