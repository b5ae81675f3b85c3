//! Symmetric positive definite systems by Cholesky's factor.
//!
//! Of a matrix only the upper triangle is kept, by rows: then every inner loop runs along a row, which the processor
//! does several numbers at a time, and what is zero (the unknowns of past lives that never met) is skipped.
#![expect(
    clippy::inline_always,
    reason = "all of the loop has to be compiled for the vectors that were found"
)]

/// Upper triangular factor U of a symmetric positive definite matrix `U' U`, by rows.
#[derive(Clone, Debug)]
pub(super) struct Cholesky {
    n: usize,
    upper: Vec<f64>,
}

impl Cholesky {
    pub(super) fn identity(n: usize) -> Self {
        let mut upper = vec![0.0; n * n];
        for i in 0..n {
            upper[i * n + i] = 1.0;
        }
        Self { n, upper }
    }

    /// Factors the matrix whose upper triangle is given. None where it is not positive definite.
    pub(super) fn of(a: Vec<f64>, n: usize) -> Option<Self> {
        pulp::Arch::new().dispatch(Factor { a, n })
    }

    /// [`Self::of`], compiled for the widest vectors of the processor.
    #[inline(always)]
    fn widely(mut a: Vec<f64>, n: usize) -> Option<Self> {
        for k in 0..n {
            let (head, tail) = a.split_at_mut((k + 1) * n);
            let row = head.get_mut(k * n + k..)?;
            let pivot = *row.first()?;
            if !(pivot > 0.0 && pivot.is_finite()) {
                return None;
            }
            let root = pivot.sqrt();
            let inverse = 1.0 / root;
            for value in row.iter_mut() {
                *value *= inverse;
            }
            *row.first_mut()? = root;
            for (below, i) in tail.chunks_exact_mut(n).zip(k + 1..) {
                let factor = row[i - k];
                if factor != 0.0 {
                    for (value, other) in below[i..].iter_mut().zip(&row[i - k..]) {
                        *value -= factor * other;
                    }
                }
            }
        }
        Some(Self { n, upper: a })
    }

    /// The factor of `A + v v'`; v is used up (Gill, Golub, Murray & Saunders 1974, method C1; from memory).
    pub(super) fn add(&mut self, v: &mut [f64]) {
        let n = self.n;
        for k in 0..n {
            if v[k] == 0.0 {
                continue;
            }
            let row = &mut self.upper[k * n + k..(k + 1) * n];
            let root = row[0].hypot(v[k]);
            let (c, s) = (root / row[0], v[k] / row[0]);
            row[0] = root;
            let inverse = 1.0 / c;
            for (own, v) in row[1..].iter_mut().zip(&mut v[k + 1..]) {
                *own = (*own + s * *v) * inverse;
                *v = c * *v - s * *own;
            }
        }
    }

    /// ln of A's determinant.
    pub(super) fn ln_determinant(&self) -> f64 {
        (0..self.n).map(|i| 2.0 * self.upper[i * self.n + i].ln()).sum()
    }

    /// The part of row `i` right of the diagonal, and the diagonal.
    fn row(&self, i: usize) -> (f64, &[f64]) {
        let row = &self.upper[i * self.n + i..(i + 1) * self.n];
        (row[0], &row[1..])
    }

    /// The solution of A x = b.
    pub(super) fn solve(&self, b: &[f64]) -> Vec<f64> {
        let mut x = b.to_vec();
        for i in 0..self.n {
            let (diagonal, row) = self.row(i);
            let (head, tail) = x.split_at_mut(i + 1);
            let value = head[i] / diagonal;
            head[i] = value;
            if value != 0.0 {
                for (x, by) in tail.iter_mut().zip(row) {
                    *x -= by * value;
                }
            }
        }
        for i in (0..self.n).rev() {
            let (diagonal, row) = self.row(i);
            let known: f64 = row.iter().zip(&x[i + 1..]).map(|(by, x)| by * x).sum();
            x[i] = (x[i] - known) / diagonal;
        }
        x
    }

    /// Solves U x = y in place for the unknowns from `first` on, each a row of `lanes` values: with y of independent
    /// standard normals, x has covariance A^-1. What comes before `first` has no say in them.
    pub(super) fn back(&self, first: usize, x: &mut [f64], lanes: usize) {
        pulp::Arch::new().dispatch(Back {
            factor: self,
            first,
            x,
            lanes,
        });
    }

    #[inline(always)]
    fn back_widely(&self, first: usize, x: &mut [f64], lanes: usize) {
        for i in (first..self.n).rev() {
            let (diagonal, row) = self.row(i);
            let from = i - first;
            let (head, tail) = x.split_at_mut((from + 1) * lanes);
            let own = &mut head[from * lanes..];
            for (by, other) in row.iter().zip(tail.chunks_exact(lanes)) {
                if *by != 0.0 {
                    for (a, b) in own.iter_mut().zip(other) {
                        *a -= by * b;
                    }
                }
            }
            let inverse = 1.0 / diagonal;
            for a in own {
                *a *= inverse;
            }
        }
    }
}

/// What [`Cholesky::of`] is called with.
struct Factor {
    a: Vec<f64>,
    n: usize,
}

impl pulp::NullaryFnOnce for Factor {
    type Output = Option<Cholesky>;

    #[inline(always)]
    fn call(self) -> Option<Cholesky> {
        Cholesky::widely(self.a, self.n)
    }
}

/// What [`Cholesky::back`] is called with.
struct Back<'a> {
    factor: &'a Cholesky,
    first: usize,
    x: &'a mut [f64],
    lanes: usize,
}

impl pulp::NullaryFnOnce for Back<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        self.factor.back_widely(self.first, self.x, self.lanes);
    }
}
