//! Normal distributions of what is not known, and what a reading says about them.
//!
//! With x ~ N(m, P) and y = h + J (x - x0) + noise of covariance R, the residual r = y - h - J (m - x0) is normal with
//! covariance S = J P J' + R; its density is the evidence, and m + P J' S^-1 r the state afterwards (linear Bayesian
//! estimation; any textbook of Kalman filtering).

use std::rc::Rc;

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// A normal distribution.
#[derive(Clone, Debug)]
pub(crate) struct Gaussian {
    pub(crate) mean: DVector<f64>,
    /// Shared: most severities of most faults move the mean alone.
    covariance: Rc<DMatrix<f64>>,
}

impl Gaussian {
    pub(crate) fn new(mean: DVector<f64>, covariance: DMatrix<f64>) -> Self {
        Self {
            mean,
            covariance: Rc::new(covariance),
        }
    }

    pub(crate) fn covariance(&self) -> &DMatrix<f64> {
        &self.covariance
    }

    /// The covariance to be changed; a shared one is copied first.
    pub(crate) fn covariance_mut(&mut self) -> &mut DMatrix<f64> {
        Rc::make_mut(&mut self.covariance)
    }
}

/// Observables as a straight function of the state about a point.
#[derive(Clone, Debug)]
pub(crate) struct Linear {
    /// The state about which it holds.
    pub(crate) at: DVector<f64>,
    /// The observables there.
    pub(crate) value: DVector<f64>,
    /// Their derivatives: observables by state.
    pub(crate) slope: DMatrix<f64>,
}

impl Linear {
    /// The residual of what was read against a state's mean.
    pub(crate) fn residual(&self, read: &DVector<f64>, mean: &DVector<f64>) -> DVector<f64> {
        read - &self.value - &self.slope * (mean - &self.at)
    }

    /// The same for some of the observables only.
    pub(crate) fn rows(&self, rows: &[usize]) -> Self {
        Self {
            at: self.at.clone(),
            value: self.value.select_rows(rows),
            slope: self.slope.select_rows(rows),
        }
    }
}

/// The innovation's covariance, factored.
#[derive(Clone)]
pub(crate) struct Innovation {
    factor: Cholesky<f64, Dyn>,
    /// P J'.
    gain: Rc<DMatrix<f64>>,
}

impl Innovation {
    /// None where the covariance is not positive.
    pub(crate) fn new(linear: &Linear, prior: &Gaussian, noise: &DVector<f64>) -> Option<Self> {
        let gain = prior.covariance() * linear.slope.transpose();
        let mut covariance = &linear.slope * &gain;
        for (i, variance) in noise.iter().enumerate() {
            *covariance.get_mut((i, i))? += variance;
        }
        Some(Self {
            factor: Cholesky::new(covariance)?,
            gain: Rc::new(gain),
        })
    }

    /// The same with one more direction in which the observables may move: S + d d'.
    pub(crate) fn widened(mut self, direction: &DVector<f64>) -> Self {
        self.factor.rank_one_update(direction, 1.0);
        self
    }

    /// ln of the density of this residual.
    pub(crate) fn ln_density(&self, residual: &DVector<f64>) -> f64 {
        contaminated(residual.len(), self.ln_determinant(), self.square(residual))
    }

    /// Mahalanobis distance squared.
    pub(crate) fn square(&self, residual: &DVector<f64>) -> f64 {
        residual.dot(&self.factor.solve(residual))
    }

    pub(crate) fn ln_determinant(&self) -> f64 {
        2.0 * self
            .factor
            .l_dirty()
            .diagonal()
            .iter()
            .map(|x| x.ln())
            .sum::<f64>()
    }

    /// Each value against what all the others make of it: how far off it is, and the variance of that.
    ///
    /// With P = S^-1 the value's own deviation from its expectation given the others is `(P r)_i/P_ii`, with variance `1/P_ii`
    /// (conditional normal distribution; any textbook of multivariate statistics).
    pub(crate) fn each_from_the_others(&self, residual: &DVector<f64>) -> Vec<(f64, f64)> {
        let precision = self.factor.inverse();
        let weighed = &precision * residual;
        (0..residual.len())
            .map(|i| {
                let own = precision[(i, i)];
                (weighed[i] / own, 1.0 / own)
            })
            .collect()
    }

    /// The variance of each value before any is read.
    pub(crate) fn variances(&self) -> Vec<f64> {
        let lower = self.factor.l_dirty();
        // S_ii is the square of row i of its lower factor.
        (0..lower.nrows())
            .map(|i| (0..=i).map(|j| lower[(i, j)] * lower[(i, j)]).sum())
            .collect()
    }

    /// The state's mean after this residual.
    pub(crate) fn mean(&self, prior: &Gaussian, residual: &DVector<f64>) -> DVector<f64> {
        &prior.mean + &*self.gain * self.factor.solve(residual)
    }

    /// Of the covariance `J_2 P` of other observables with the state, the part that this reading explains: `J_2 P J' S^-1 J P`.
    pub(crate) fn explained(&self, other: &DMatrix<f64>) -> DMatrix<f64> {
        let cross = other * &*self.gain;
        // S^-1 first on the side that has fewer columns: a handful of observables against dozens of unknowns.
        self.factor
            .solve(&cross.transpose())
            .tr_mul(&self.gain.transpose())
    }

    /// The state after this residual.
    pub(crate) fn update(&self, prior: &Gaussian, residual: &DVector<f64>) -> Gaussian {
        let reduction = &*self.gain * self.factor.solve(&self.gain.transpose());
        Gaussian::new(self.mean(prior, residual), prior.covariance() - reduction)
    }
}

/// Share of readings whose errors are wider than stated, and by which factor (common practice, no source).
const WIDE_SHARE: f64 = 0.05;
const WIDE_FACTOR: f64 = 3.0;

/// ln of a normal density with a share of a wider one, so that one odd value cannot decide alone; integrates to one.
pub(crate) fn contaminated(count: usize, ln_determinant: f64, square: f64) -> f64 {
    let n = count as f64;
    let narrow = -0.5 * (n * std::f64::consts::TAU.ln() + ln_determinant + square);
    let wide = narrow + 0.5 * square * (1.0 - 1.0 / (WIDE_FACTOR * WIDE_FACTOR)) - n * WIDE_FACTOR.ln();
    ln_sum([(1.0 - WIDE_SHARE).ln() + narrow, WIDE_SHARE.ln() + wide])
}

/// ln(sum(exp(x))); minus infinity of nothing.
pub(crate) fn ln_sum(terms: impl IntoIterator<Item = f64> + Clone) -> f64 {
    let most = terms.clone().into_iter().fold(f64::NEG_INFINITY, f64::max);
    if most == f64::NEG_INFINITY {
        return most;
    }
    most + terms.into_iter().map(|x| (x - most).exp()).sum::<f64>().ln()
}

/// ln of the standard normal density at `z`, per unit of `sd`.
pub(crate) fn ln_normal(difference: f64, sd: f64) -> f64 {
    let z = difference / sd;
    -0.5 * (z * z + std::f64::consts::TAU.ln()) - sd.ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_likelihood_integrates_to_one() {
        // By the definition of a density; midpoints in 1 and 2 dimensions. 1e-6: the tails beyond 40 are below 1e-30, and
        // midpoints of a smooth density converge faster than any power.
        let step = 0.02;
        let one: f64 = (-2000..2000)
            .map(|i| {
                let x = step * (f64::from(i) + 0.5);
                // Variance 2: ln det = ln 2, square = x^2/2.
                step * contaminated(1, 2.0_f64.ln(), x * x / 2.0).exp()
            })
            .sum();
        assert!((one - 1.0).abs() < 1e-6, "{one}");
        let step = 0.2;
        let mut two = 0.0;
        for i in -200..200 {
            for j in -200..200 {
                let (x, y) = (step * (f64::from(i) + 0.5), step * (f64::from(j) + 0.5));
                // Covariance [[2, 1], [1, 2]]: determinant 3, inverse [[2, -1], [-1, 2]]/3.
                let square = (2.0 * x * x - 2.0 * x * y + 2.0 * y * y) / 3.0;
                two += step * step * contaminated(2, 3.0_f64.ln(), square).exp();
            }
        }
        assert!((two - 1.0).abs() < 1e-6, "{two}");
    }

    #[test]
    fn val_update_of_one_value_by_one_reading() {
        // Prior N(1, 4), reading 3 with variance 1: mean 1 + 4/5 (3 - 1) = 2.6, variance 4/5 (any textbook).
        let prior = Gaussian::new(DVector::from_vec(vec![1.0]), DMatrix::from_vec(1, 1, vec![4.0]));
        let linear = Linear {
            at: DVector::from_vec(vec![0.0]),
            value: DVector::from_vec(vec![0.0]),
            slope: DMatrix::from_vec(1, 1, vec![1.0]),
        };
        let read = DVector::from_vec(vec![3.0]);
        let residual = linear.residual(&read, &prior.mean);
        let innovation = Innovation::new(&linear, &prior, &DVector::from_vec(vec![1.0])).expect("positive");
        let after = innovation.update(&prior, &residual);
        // 1e-12: rounding.
        assert!((after.mean[0] - 2.6).abs() < 1e-12);
        assert!((after.covariance()[(0, 0)] - 0.8).abs() < 1e-12);
        assert!((innovation.square(&residual) - 4.0 / 5.0).abs() < 1e-12);
    }
}
