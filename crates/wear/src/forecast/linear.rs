//! Symmetric positive definite systems by Cholesky's factor.

/// Lower triangular factor of a symmetric positive definite matrix, by rows.
#[derive(Clone, Debug)]
pub(super) struct Cholesky {
    n: usize,
    lower: Vec<f64>,
}

impl Cholesky {
    pub(super) fn identity(n: usize) -> Self {
        let mut lower = vec![0.0; n * n];
        for i in 0..n {
            lower[i * n + i] = 1.0;
        }
        Self { n, lower }
    }

    /// None where the matrix is not positive definite.
    pub(super) fn of(mut a: Vec<f64>, n: usize) -> Option<Self> {
        for i in 0..n {
            for j in 0..=i {
                let (head, tail) = a.split_at(i * n);
                let row_i = tail.get(..j)?;
                let mut rest = *tail.get(j)?;
                let row_j = if i == j {
                    row_i
                } else {
                    head.get(j * n..j * n + j)?
                };
                for (x, y) in row_i.iter().zip(row_j) {
                    rest -= x * y;
                }
                let value = if i == j {
                    if !(rest > 0.0 && rest.is_finite()) {
                        return None;
                    }
                    rest.sqrt()
                } else {
                    rest / *head.get(j * n + j)?
                };
                *a.get_mut(i * n + j)? = value;
            }
        }
        Some(Self { n, lower: a })
    }

    /// ln of A's determinant.
    pub(super) fn ln_determinant(&self) -> f64 {
        (0..self.n).map(|i| 2.0 * self.lower[i * self.n + i].ln()).sum()
    }

    /// The solution of A x = b.
    pub(super) fn solve(&self, b: &[f64]) -> Vec<f64> {
        let n = self.n;
        let mut x = b.to_vec();
        for i in 0..n {
            for k in 0..i {
                x[i] -= self.lower[i * n + k] * x[k];
            }
            x[i] /= self.lower[i * n + i];
        }
        self.back(&mut x);
        x
    }

    /// Solves L' x = y in place: with y of independent standard normals, x has covariance A^-1.
    pub(super) fn back(&self, x: &mut [f64]) {
        let n = self.n;
        for i in (0..n).rev() {
            x[i] /= self.lower[i * n + i];
            let value = x[i];
            for k in 0..i {
                x[k] -= self.lower[i * n + k] * value;
            }
        }
    }
}
