//! Symmetric positive definite systems of a few unknowns.

/// A lower triangle `L` with `L Lᵀ = A`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cholesky<const N: usize> {
    lower: [[f64; N]; N],
}

impl<const N: usize> Cholesky<N> {
    /// The triangle of a symmetric matrix; none when it is not positive definite. Only the lower
    /// half is read. A third of the cube of the unknowns in work.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::numeric::cholesky::Cholesky;
    /// let triangle = Cholesky::of(&[[4.0, 2.0], [2.0, 2.0]]).ok_or("not positive")?;
    /// assert_eq!(triangle.solved(&[8.0, 6.0]), [1.0, 2.0]);
    /// # Ok::<(), &str>(())
    /// ```
    #[must_use]
    pub fn of(matrix: &[[f64; N]; N]) -> Option<Self> {
        let mut lower = [[0.0; N]; N];
        for i in 0..N {
            for j in 0..=i {
                let known = (0..j).fold(0.0, |sum, k| sum + lower[i][k] * lower[j][k]);
                let left = matrix[i][j] - known;
                if i == j {
                    // a NaN is not positive either
                    if !(0.0 < left && left.is_finite()) {
                        return None;
                    }
                    lower[i][i] = libm::sqrt(left);
                } else {
                    lower[i][j] = left / lower[j][j];
                }
            }
        }
        Some(Self { lower })
    }

    /// The `x` with `A x = b`.
    #[must_use]
    pub fn solved(&self, b: &[f64; N]) -> [f64; N] {
        let mut x = *b;
        for i in 0..N {
            let known = (0..i).fold(0.0, |sum, k| sum + self.lower[i][k] * x[k]);
            x[i] = (x[i] - known) / self.lower[i][i];
        }
        for i in (0..N).rev() {
            let known = (i + 1..N).fold(0.0, |sum, k| sum + self.lower[k][i] * x[k]);
            x[i] = (x[i] - known) / self.lower[i][i];
        }
        x
    }

    /// The inverse of `A`.
    #[must_use]
    pub fn inverse(&self) -> [[f64; N]; N] {
        let mut inverse = [[0.0; N]; N];
        for (i, row) in inverse.iter_mut().enumerate() {
            let mut unit = [0.0; N];
            unit[i] = 1.0;
            // symmetric, so that a column is a row
            *row = self.solved(&unit);
        }
        inverse
    }
}
