//! Everything that was read, fused: the most probable unknowns and how well they are known.
//!
//! Each reading's true values must satisfy the laws of [`Plant`]; its instruments show them with errors. Linearised
//! at the present guess, a reading says `G_x dx = -r` with covariance `S = G_z R G_z' + Q`: its instruments' errors
//! R, carried through the laws, and what the laws leave out, Q. A few rounds of Gauss and Newton find the most
//! probable unknowns; the last normal matrix is the inverse of their covariance (Laplace). An instrument whose
//! reading is far off gets a larger error in the next round, as Student's distribution with four degrees of
//! freedom asks for, so that a wild value does not move the rest.

use super::course::{Courses, Slopes};
use super::evidence::Evidence;
use super::linear::Cholesky;
use super::plant::{
    BY_CHANNEL, BY_RESTRICTOR, BY_SALT, BY_STAGES, BY_WATER, CARBON_DIOXIDE, CHANNEL, DIRECTIONS, EXPONENT,
    FILM, INLET, LAWS, PUMP, Plant, READ, RESTRICTOR, ROWS, Rated, SALT, STAGE, STAGES, WARMTH, WATER,
};
use super::unknowns::GAUGES;

/// Rounds of Gauss and Newton, from the prior and from a fit near by.
const ROUNDS: usize = 10;
const ROUNDS_NEAR: usize = 7;
/// Degrees of freedom of Student's distribution.
const FREEDOM: f64 = 4.0;
/// Readings that an instrument's stated error counts for, against the scatter that it shows.
const STATED_COUNTS: f64 = 12.0;

/// The fitted unknowns.
pub(super) struct Fit {
    pub(super) x: Vec<f64>,
    /// Of the inverse covariance.
    pub(super) precision: Cholesky,
    /// Factors on the instruments' stated errors, by their scatter.
    pub(super) scale: [f64; READ],
    /// ln of the evidence for the hypothesis that it was fitted under, but for what all share.
    pub(super) ln_evidence: f64,
}

/// Relative standard deviation of the dirt that a filter has seen, against its usual share of the water.
const UNEVEN_SD: f64 = 0.07;
/// What the laws leave out: ln, kPa, kPa, ln, ln; and a gauge between stages, kPa.
const LAW_SD: [f64; LAWS] = [0.01, 0.7, 1.5, 0.012, 0.02];

/// How many of its standard deviations a value read may be off, and the range of the values, in the order of
/// what can be read.
const RANGE: [(f64, f64, f64); READ] = [
    (30.0, 10.0, 5e3),
    (30.0, 20.0, 1e4),
    (30.0, 10.0, 1e4),
    (40.0, -5.0, 15.0),
    (40.0, -5.0, 15.0),
    (10.0, -2.0, 60.0),
    (40.0, -2.0, 12.0),
    (40.0, -5.0, 12.0),
    (20.0, -50.0, 5e3),
];

/// Fits all unknowns to all readings.
///
/// With a fit near by, its instruments' errors and doubts stay as they are, so that hypotheses can be compared.
pub(super) fn fit(
    plant: &Plant,
    rated: &[Rated],
    courses: &Courses<'_>,
    evidence: &mut [Evidence],
    near: Option<&Fit>,
) -> Fit {
    let unknowns = courses.unknowns;
    let n = unknowns.mean.len();
    let mut found = Fit {
        x: near.map_or_else(|| unknowns.mean.clone(), |near| near.x.clone()),
        precision: Cholesky::identity(n),
        scale: near.map_or([1.0; READ], |near| near.scale),
        ln_evidence: 0.0,
    };
    let rounds = if near.is_some() { ROUNDS_NEAR } else { ROUNDS };
    let mut slopes: Slopes = Vec::with_capacity(64);
    for round in 0..=rounds {
        let mut matrix = vec![0.0; n * n];
        let mut right = vec![0.0; n];
        let mut cost = 0.0;
        for i in 0..n {
            let weight = 1.0 / (unknowns.sd[i] * unknowns.sd[i]);
            let off = unknowns.mean[i] - found.x[i];
            matrix[i * n + i] = weight;
            right[i] = weight * off;
            cost += weight * off * off - weight.ln();
        }
        let mut squares = [0.0; READ];
        let mut shares = [0.0; READ];
        for one in evidence.iter_mut() {
            let Some(row) = Row::of(plant, rated, courses, &found.x, one, &found.scale, &mut slopes) else {
                continue;
            };
            cost += row.add_to(&mut matrix, &mut right, n);
            let robust = near.is_none() && round >= 3;
            row.update(one, &found.scale, robust, &mut squares, &mut shares);
        }
        let Some(precision) = Cholesky::of(matrix, n) else {
            break;
        };
        found.ln_evidence = -0.5 * (cost + precision.ln_determinant());
        found.precision = precision;
        if round == rounds {
            break;
        }
        let step = found.precision.solve(&right);
        // The first rounds start far off: no unknown moves more than two of its prior's deviations at once.
        for i in 0..n {
            let most = 2.0 * unknowns.sd[i].max(0.5 * (unknowns.mean[i] - found.x[i]).abs());
            found.x[i] += step[i].clamp(-most, most);
        }
        if near.is_none() && round >= 4 {
            for f in 0..READ {
                let variance = (squares[f] + STATED_COUNTS) / (shares[f] + STATED_COUNTS);
                found.scale[f] = (found.scale[f] * variance.sqrt()).clamp(0.3, 2.0);
            }
        }
    }
    found
}

/// One reading's equations, linearised.
struct Row {
    count: usize,
    /// By what was read.
    by_read: [[f64; READ]; ROWS],
    /// Left over at the present guess.
    left: [f64; ROWS],
    /// Cholesky factor of S.
    factor: [[f64; ROWS]; ROWS],
    variance: [f64; READ],
    /// Unknowns that take part, and the derivatives by them.
    active: Vec<usize>,
    by_active: Vec<[f64; ROWS]>,
    offsets: [f64; GAUGES],
}

impl Row {
    fn of(
        plant: &Plant,
        rated: &[Rated],
        courses: &Courses<'_>,
        x: &[f64],
        one: &Evidence,
        scale: &[f64; READ],
        slopes: &mut Slopes,
    ) -> Option<Self> {
        let unknowns = courses.unknowns;
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let mut local = [0.0; DIRECTIONS];
        local[..READ].copy_from_slice(&one.guess);
        // Where each direction's derivatives go: (direction, from, to) in `slopes`.
        slopes.clear();
        let mut spans: Vec<(usize, usize, usize)> = Vec::with_capacity(16);
        let fixed = [
            (RESTRICTOR, unknowns.restrictor),
            (EXPONENT, unknowns.exponent),
            (WARMTH, unknowns.warmth),
            (FILM, unknowns.film),
            (PUMP, unknowns.pump),
            (CARBON_DIOXIDE, unknowns.carbon_dioxide),
        ];
        for (direction, index) in fixed {
            local[direction] = at(index);
            spans.push((direction, slopes.len(), slopes.len() + 1));
            slopes.push((index, 1.0));
        }
        let mut uneven = [0.0; STAGES];
        let life = courses.membrane_life(one.day);
        for (which, direction) in [WATER, SALT, CHANNEL].into_iter().enumerate() {
            let from = slopes.len();
            local[direction] = courses.membrane(x, life, one.day, which, slopes);
            spans.push((direction, from, slopes.len()));
        }
        for (slot, clean) in unknowns.clean.iter().enumerate() {
            let from = slopes.len();
            let filter = courses
                .timeline
                .filters
                .iter()
                .position(|filter| filter.slot == slot);
            local[STAGE + slot] = match filter {
                Some(index) => courses.filter(x, index, one.day, slopes),
                None => {
                    slopes.push((*clean, 1.0));
                    at(*clean)
                }
            };
            // The dirt of a feed comes unevenly, and the nearer a law comes to its end, the more that shows.
            let by_rate = filter
                .and_then(|index| unknowns.filters.get(index))
                .and_then(|own| {
                    slopes[from..]
                        .iter()
                        .find(|(index, _)| *index == own.rate)
                        .map(|(_, slope)| *slope)
                });
            uneven[slot] = UNEVEN_SD * by_rate.unwrap_or(0.0);
            spans.push((STAGE + slot, from, slopes.len()));
        }
        let rated = rated.get(life).copied().unwrap_or_default();
        let (rows, count) = plant.laws(&local, rated, &one.between);
        let mut by_read = [[0.0; READ]; ROWS];
        let mut left = [0.0; ROWS];
        let offsets: [f64; GAUGES] = std::array::from_fn(|g| at(unknowns.offsets + g));
        let mut variance = [0.0; READ];
        for f in 0..READ {
            let sd = if one.was_read[f] {
                one.sd[f] * scale[f]
            } else {
                one.sd[f]
            };
            variance[f] = sd * sd * one.doubt[f];
        }
        for r in 0..count {
            by_read[r].copy_from_slice(&rows[r].slope[..READ]);
            left[r] = rows[r].value;
            for f in 0..READ {
                let offset = if f < GAUGES && one.was_read[f] {
                    offsets[f - INLET]
                } else {
                    0.0
                };
                left[r] += by_read[r][f] * (one.read[f] - offset - one.guess[f]);
            }
        }
        let mut s = [[0.0; ROWS]; ROWS];
        for i in 0..count {
            for j in 0..=i {
                s[i][j] = (0..READ)
                    .map(|f| by_read[i][f] * variance[f] * by_read[j][f])
                    .sum();
            }
            let extra = match i {
                BY_RESTRICTOR | BY_CHANNEL => LAW_SD[i].powi(2),
                BY_STAGES => {
                    let uneven = uneven
                        .iter()
                        .enumerate()
                        .map(|(slot, sd)| (rows[i].slope[STAGE + slot] * sd).powi(2));
                    LAW_SD[i].powi(2) + one.stages_sd_kpa.powi(2) + uneven.sum::<f64>()
                }
                BY_WATER => LAW_SD[i].powi(2) + one.unsettled[0].powi(2),
                BY_SALT => LAW_SD[i].powi(2) + one.unsettled[1].powi(2),
                _ => one.between_sd_kpa.powi(2),
            };
            s[i][i] += extra;
        }
        let factor = small_cholesky(&s, count)?;
        let mut active: Vec<usize> = Vec::with_capacity(48);
        let mut by_active: Vec<[f64; ROWS]> = Vec::with_capacity(48);
        let mut add = |index: usize, column: &dyn Fn(usize) -> f64| {
            let place = match active.iter().position(|i| *i == index) {
                Some(place) => place,
                None => {
                    active.push(index);
                    by_active.push([0.0; ROWS]);
                    active.len() - 1
                }
            };
            for (r, sum) in by_active[place].iter_mut().enumerate().take(count) {
                *sum += column(r);
            }
        };
        for (direction, from, to) in spans {
            for (index, slope) in &slopes[from..to] {
                add(*index, &|r| rows[r].slope[direction] * slope);
            }
        }
        for g in 0..GAUGES {
            if one.was_read[INLET + g] {
                add(unknowns.offsets + g, &|r| -by_read[r][INLET + g]);
            }
        }
        Some(Self {
            count,
            by_read,
            left,
            factor,
            variance,
            active,
            by_active,
            offsets,
        })
    }

    /// Solves L y = v.
    fn whiten(&self, v: &[f64; ROWS]) -> [f64; ROWS] {
        let mut y = *v;
        for i in 0..self.count {
            for k in 0..i {
                y[i] -= self.factor[i][k] * y[k];
            }
            y[i] /= self.factor[i][i];
        }
        y
    }

    /// Adds the reading's equations to the normal ones; gives its squared deviation and ln determinant.
    fn add_to(&self, matrix: &mut [f64], right: &mut [f64], n: usize) -> f64 {
        let left = self.whiten(&self.left);
        let columns: Vec<[f64; ROWS]> = self.by_active.iter().map(|column| self.whiten(column)).collect();
        for (a, (i, ci)) in self.active.iter().zip(&columns).enumerate() {
            right[*i] -= (0..self.count).map(|r| ci[r] * left[r]).sum::<f64>();
            for (j, cj) in self.active.iter().zip(&columns).take(a + 1) {
                let dot: f64 = (0..self.count).map(|r| ci[r] * cj[r]).sum();
                matrix[i * n + j] += dot;
                if i != j {
                    matrix[j * n + i] += dot;
                }
            }
        }
        (0..self.count)
            .map(|r| left[r] * left[r] + 2.0 * self.factor[r][r].ln())
            .sum()
    }

    /// Moves the reading's true values to the most probable ones, and its instruments' errors with them.
    fn update(
        &self,
        one: &mut Evidence,
        scale: &[f64; READ],
        robust: bool,
        squares: &mut [f64; READ],
        shares: &mut [f64; READ],
    ) {
        let white = self.whiten(&self.left);
        for f in 0..READ {
            let column: [f64; ROWS] = std::array::from_fn(|r| self.by_read[r][f]);
            let white_column = self.whiten(&column);
            let pull: f64 = (0..self.count).map(|r| white_column[r] * white[r]).sum();
            let error = self.variance[f] * pull;
            let offset = if f < GAUGES && one.was_read[f] {
                self.offsets[f]
            } else {
                0.0
            };
            // What the laws make of a hopeless reading must not leave the range in which they hold.
            let (far, low, high) = RANGE[f];
            let error = error.clamp(-far * one.sd[f], far * one.sd[f]);
            one.guess[f] = (one.read[f] - offset - error).clamp(low, high);
            if one.was_read[f] {
                let seen: f64 = (0..self.count).map(|r| white_column[r] * white_column[r]).sum();
                // The share of the instrument's variance that the laws can see.
                let share = (self.variance[f] * seen).clamp(1e-6, 1.0);
                let sd = one.sd[f] * scale[f];
                let z2 = error * error / (sd * sd * share).max(1e-12);
                // Before the unknowns have come near, every reading would look wild.
                if robust {
                    one.doubt[f] = ((FREEDOM + z2) / (FREEDOM + 1.0)).clamp(1.0, 1e3) * share + (1.0 - share);
                }
                if share > 0.05 {
                    squares[f] += share * (z2 / one.doubt[f]).min(4.0);
                    shares[f] += share;
                }
            }
        }
    }
}

fn small_cholesky(s: &[[f64; ROWS]; ROWS], count: usize) -> Option<[[f64; ROWS]; ROWS]> {
    let mut l = [[0.0; ROWS]; ROWS];
    for i in 0..count {
        for j in 0..=i {
            let rest: f64 = s[i][j] - (0..j).map(|k| l[i][k] * l[j][k]).sum::<f64>();
            if i == j {
                if !(rest > 0.0 && rest.is_finite()) {
                    return None;
                }
                l[i][i] = rest.sqrt();
            } else {
                l[i][j] = rest / l[j][j];
            }
        }
    }
    Some(l)
}
