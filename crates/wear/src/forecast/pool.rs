//! What other lives of a kind of part say of one that is to come: pooled lifetimes with censoring.
//!
//! The logarithm of a life is normal about `mu - beta ln(severity)` with spread `sigma`. A life that ended at its
//! limit tells its length; one that was cut short, or is still going on, tells that it would have lasted longer; one
//! whose readings told its rate tells the length that this rate means, with its error:
//!
//! ```text
//! ended     ln phi(z) - ln sigma,    z = (ln t - mu + beta ln s)/sigma
//! censored  ln (1 - Phi(z))
//! fitted    as ended, with sigma^2 + sd^2 for sigma^2
//! ```
//!
//! `mu`, `beta` and `ln sigma` have normal priors. With no life at all they are the answer, so that it is as wide as
//! what is known of such parts anywhere; flat ones give the maximum likelihood of survival analysis.

use statrs::function::erf::erfc;
use unit::Unit;
use water::Analysis;

use super::prior::Prior;
use super::severity::{POWER_SD, Severity};

/// How a life ended, as far as is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ending {
    /// It reached its limit.
    AtLimit,
    /// It was changed before, or is still in service.
    Before,
    /// Its readings told its rate: the length is what that rate means, with this standard deviation of its logarithm.
    Fitted(f64),
}

/// One life of a part of the kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PastLife {
    /// How long it was: years of usual use (over 0), or anything else that all lives are told in.
    pub length: f64,
    /// How it ended.
    pub ending: Ending,
    /// What its feed does to such a part, over a typical one (over 0): of turbidity, silt or whatever wears it.
    pub severity: f64,
}

/// Means and standard deviations of what is to be found, before any life is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PoolPrior {
    /// `mu`: mean of ln length at a typical feed.
    pub mu: (f64, f64),
    /// `beta`: how much shorter lives are on a worse feed.
    pub beta: (f64, f64),
    /// ln of `sigma`.
    pub ln_sigma: (f64, f64),
}

/// A standard deviation so wide that it says nothing.
const FLAT: f64 = 1e6;

impl PoolPrior {
    /// No opinion but on what a feed's severity does, which is given: the plain maximum of the likelihood.
    pub fn flat(beta: (f64, f64)) -> Self {
        Self {
            mu: (0.0, FLAT),
            beta,
            ln_sigma: (0.0, FLAT),
        }
    }

    /// For parts whose life has this median and this spread of its logarithm, of which a part is from one cartridge
    /// and site to the next. A feed twice as bad halves the life, within a half of that power (common practice, no
    /// source).
    pub fn of(median: f64, sd: f64) -> Self {
        let own = 0.6 * sd;
        Self {
            mu: (median.ln(), (sd * sd - own * own).sqrt()),
            beta: (1.0, POWER_SD),
            ln_sigma: (own.ln(), 0.4),
        }
    }
}

/// The pooled lives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pooled {
    /// Mean of ln length at a severity of 1.
    pub mu: f64,
    /// Power of the severity.
    pub beta: f64,
    /// Spread of ln length between lives.
    pub sigma: f64,
    /// Covariance of `mu` and `beta`.
    pub covariance: [[f64; 2]; 2],
    /// ln of the likelihood of the lengths (not of their logarithms), without the priors'.
    pub ln_likelihood: f64,
}

impl Pooled {
    /// Mean and standard deviation of ln length of a life to come on a feed of this severity.
    pub fn to_come(&self, severity: f64) -> (f64, f64) {
        let s = ln_severity(severity);
        let [[a, b], [_, c]] = self.covariance;
        let variance = a - 2.0 * s * b + s * s * c + self.sigma * self.sigma;
        (self.mu - self.beta * s, variance.max(0.0).sqrt())
    }
}

fn ln_severity(severity: f64) -> f64 {
    severity.clamp(1e-3, 1e3).ln()
}

/// ln of the normal's upper tail, and minus its derivative.
fn tail(z: f64) -> (f64, f64) {
    const HALF_LN_TAU: f64 = 0.918_938_533_204_672_7;
    let density = -0.5 * z * z - HALF_LN_TAU;
    if z > 30.0 {
        // phi/z (1 - 1/z^2): relative error under 4e-6 of what is then the difference of two huge numbers.
        let ln = density - z.ln() + (-1.0 / (z * z)).ln_1p();
        return (ln, (density - ln).exp());
    }
    let ln = (0.5 * erfc(z * std::f64::consts::FRAC_1_SQRT_2)).ln();
    (ln, (density - ln).exp())
}

/// ln posterior at (mu, beta, ln sigma), its gradient, and the likelihood alone.
fn posterior(lives: &[PastLife], prior: &PoolPrior, at: [f64; 3]) -> (f64, [f64; 3], f64) {
    const HALF_LN_TAU: f64 = 0.918_938_533_204_672_7;
    let [mu, beta, ln_sigma] = at;
    let sigma = ln_sigma.exp();
    let (mut sum, mut gradient) = (0.0, [0.0; 3]);
    for life in lives {
        let (ln_t, s) = (life.length.ln(), ln_severity(life.severity));
        let off = ln_t - mu + beta * s;
        let by_mean = match life.ending {
            Ending::Before => {
                let z = off / sigma;
                let (ln, hazard) = tail(z);
                sum += ln;
                gradient[2] += hazard * z;
                hazard / sigma
            }
            Ending::AtLimit | Ending::Fitted(_) => {
                let sd = match life.ending {
                    Ending::Fitted(sd) if sd.is_finite() => sd,
                    _ => 0.0,
                };
                let variance = sigma * sigma + sd * sd;
                sum += -0.5 * off * off / variance - 0.5 * variance.ln() - HALF_LN_TAU - ln_t;
                gradient[2] += (off * off / variance - 1.0) * sigma * sigma / variance;
                off / variance
            }
        };
        gradient[0] += by_mean;
        gradient[1] -= by_mean * s;
    }
    let likelihood = sum;
    for (i, (mean, sd)) in [prior.mu, prior.beta, prior.ln_sigma].into_iter().enumerate() {
        let z = (at[i] - mean) / sd;
        sum -= 0.5 * z * z;
        gradient[i] -= z / sd;
    }
    (sum, gradient, likelihood)
}

/// Second derivatives of the ln posterior, by central differences of its exact gradient.
fn curvature(lives: &[PastLife], prior: &PoolPrior, at: [f64; 3]) -> [[f64; 3]; 3] {
    const STEP: f64 = 1e-5;
    let mut matrix = [[0.0; 3]; 3];
    for (i, row) in matrix.iter_mut().enumerate() {
        let moved = |by: f64| {
            let mut at = at;
            at[i] += by;
            posterior(lives, prior, at).1
        };
        let (high, low) = (moved(STEP), moved(-STEP));
        for (entry, (high, low)) in row.iter_mut().zip(high.into_iter().zip(low)) {
            *entry = (high - low) / (2.0 * STEP);
        }
    }
    matrix
}

/// Pools lives; those whose length or severity is no number over 0 are left out.
///
/// Newton's method on the ln posterior, damped where it is not curved downwards. None where it has no maximum: with a
/// flat prior and fewer than two lives that ended.
pub fn pool(lives: &[PastLife], prior: &PoolPrior) -> Option<Pooled> {
    let sound = |x: f64| x > 0.0 && x.is_finite();
    let lives: Vec<PastLife> = lives
        .iter()
        .copied()
        .filter(|life| sound(life.length) && sound(life.severity))
        .collect();
    // Start: the prior's means; with a flat one the lives' own mean and spread.
    let n = lives.len() as f64;
    let mean = lives.iter().map(|life| life.length.ln()).sum::<f64>() / n.max(1.0);
    let spread = lives
        .iter()
        .map(|life| (life.length.ln() - mean).powi(2))
        .sum::<f64>()
        / n.max(1.0);
    let mut at = [
        if prior.mu.1 < FLAT { prior.mu.0 } else { mean },
        prior.beta.0,
        if prior.ln_sigma.1 < FLAT {
            prior.ln_sigma.0
        } else {
            (0.5 * spread.max(1e-4).ln()).max(-3.0)
        },
    ];
    let mut damping = 1e-3;
    let (mut value, mut gradient, mut likelihood) = posterior(&lives, prior, at);
    for _ in 0..200 {
        let matrix = curvature(&lives, prior, at);
        let mut system = [[0.0; 4]; 3];
        for i in 0..3 {
            for j in 0..3 {
                system[i][j] = -matrix[i][j];
            }
            system[i][i] += damping * (1.0 + matrix[i][i].abs());
            system[i][3] = gradient[i];
        }
        let Some(step) = solve(system) else {
            damping *= 10.0;
            continue;
        };
        let next: [f64; 3] = std::array::from_fn(|i| at[i] + step[i].clamp(-2.0, 2.0));
        let (next_value, next_gradient, next_likelihood) = posterior(&lives, prior, next);
        if next_value >= value && next_value.is_finite() {
            let size = step.iter().fold(0.0, |most: f64, step| most.max(step.abs()));
            (at, value, gradient, likelihood) = (next, next_value, next_gradient, next_likelihood);
            damping = (damping * 0.1).max(1e-12);
            if size < 1e-9 {
                break;
            }
        } else if damping > 1e12 {
            break;
        } else {
            damping *= 10.0;
        }
    }
    let matrix = curvature(&lives, prior, at);
    let column = |k: usize| {
        let mut system = [[0.0; 4]; 3];
        for i in 0..3 {
            for j in 0..3 {
                system[i][j] = -matrix[i][j];
            }
            system[i][3] = if i == k { 1.0 } else { 0.0 };
        }
        solve(system)
    };
    let (of_mu, of_beta) = (column(0)?, column(1)?);
    let sound = of_mu[0] > 0.0 && of_mu[0] < FLAT && at[2] > -12.0 && value.is_finite();
    sound.then_some(Pooled {
        mu: at[0],
        beta: at[1],
        sigma: at[2].exp(),
        covariance: [[of_mu[0], of_mu[1]], [of_beta[0], of_beta[1]]],
        ln_likelihood: likelihood,
    })
}

/// Gauss's elimination with pivots; None where the matrix is singular.
fn solve(mut a: [[f64; 4]; 3]) -> Option<[f64; 3]> {
    for column in 0..3 {
        let pivot = (column..3).max_by(|i, j| a[*i][column].abs().total_cmp(&a[*j][column].abs()))?;
        if !(a[pivot][column].abs() > 1e-13) {
            return None;
        }
        a.swap(column, pivot);
        for row in column + 1..3 {
            let factor = a[row][column] / a[column][column];
            for k in column..4 {
                a[row][k] -= factor * a[column][k];
            }
        }
    }
    let mut x = [0.0; 3];
    for row in (0..3).rev() {
        let known: f64 = (row + 1..3).map(|k| a[row][k] * x[k]).sum();
        x[row] = (a[row][3] - known) / a[row][row];
    }
    Some(x)
}

/// The past lives of a kind of unit, by what wears: all lengths in years of usual use.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PastLives {
    /// Sediment filters, from clean to their limit.
    pub filters: Vec<PastLife>,
    /// Years in which a membrane would lose half its flow at its rate: one over the rate of
    /// [`Prior::membrane_rates`].
    pub water: Vec<PastLife>,
    /// Years in which salt passage would double, likewise.
    pub salt: Vec<PastLife>,
}

/// So many lives on the most alike feeds are pooled: more tell little, and take long.
const MOST: usize = 64;

impl PastLives {
    /// Adds what another unit tells.
    pub fn add(&mut self, other: &Self) {
        self.filters.extend_from_slice(&other.filters);
        self.water.extend_from_slice(&other.water);
        self.salt.extend_from_slice(&other.salt);
    }

    /// Whether nothing is told.
    pub fn is_empty(&self) -> bool {
        self.filters.is_empty() && self.water.is_empty() && self.salt.is_empty()
    }
}

/// Those on the feeds most like one of this severity.
fn alike(lives: &[PastLife], severity: f64) -> Vec<PastLife> {
    let mut all = lives.to_vec();
    if all.len() > MOST {
        let far = |life: &PastLife| (ln_severity(life.severity) - ln_severity(severity)).abs();
        all.sort_by(|a, b| {
            far(a)
                .total_cmp(&far(b))
                .then_with(|| a.length.total_cmp(&b.length))
        });
        all.truncate(MOST);
    }
    all
}

impl Prior {
    /// What is known of a unit on this feed before it is read, by what other units' parts did.
    pub fn of(unit: &Unit, feed: Option<&Analysis>, past: &PastLives) -> Self {
        Self::default().informed(past, Severity::of(unit, feed))
    }

    /// This prior, sharpened by what other units' parts did, for a unit on a feed of this severity. Where nothing is told
    /// and the feed is a typical one it stays as it is; a worse feed wears filters and fouls membranes faster, as far as
    /// other units say that it does, and scale adds to that where the tail's wall is supersaturated.
    #[must_use]
    pub fn informed(&self, past: &PastLives, severity: Severity) -> Self {
        let mut all = self.clone();
        let pooled = |lives: &[PastLife], median: f64, sd: f64, severity: f64| {
            let typical = lives.is_empty() && ln_severity(severity) == 0.0;
            let found = pool(&alike(lives, severity), &PoolPrior::of(median, sd)).filter(|_| !typical)?;
            let (mean, sd) = found.to_come(severity);
            Some((mean.exp(), sd))
        };
        let filters = pooled(
            &past.filters,
            self.filter_life_years,
            self.filter_rate_sd,
            severity.filters,
        );
        if let Some((years, sd)) = filters {
            (all.filter_life_years, all.filter_rate_sd) = (years, sd);
        }
        // What lets salt through is age and oxidant, not what the feed carries.
        let of_membranes = [(&past.water, severity.membranes), (&past.salt, 1.0)];
        for (rate, (lives, severity)) in all.membrane_rates.iter_mut().zip(of_membranes) {
            if let Some((years, sd)) = pooled(lives, 1.0 / rate.0, rate.1, severity) {
                *rate = (1.0 / years, sd);
            }
        }
        if severity.scaling > 0.0 {
            all.membrane_rates[0] = severity.with_scale(all.membrane_rates[0]);
        }
        all
    }
}
