//! One reading's laws, linearised, as what they say of the unit: information on each direction of the laws.
//!
//! With left-over `r` and covariance `S` a reading says `|L^-1 (r + K d)|^2`, where `S = L L'` and `K` are the
//! derivatives by what the unit is (the plant's unknowns, the states of membranes and stages, the gauges' offsets).
//! That is a quadratic in a few directions; how a direction comes about from the unknowns is [`Courses`]' matter.
#![expect(
    clippy::inline_always,
    reason = "all of the loop has to be compiled for the vectors that were found"
)]

use super::course::{Courses, Slopes};
use super::evidence::Evidence;
use super::laws::Laws;
use super::linear::Cholesky;
use super::plant::{
    BY_CHANNEL, BY_RESTRICTOR, BY_SALT, BY_STAGES, BY_WATER, CHANNEL, DIRECTIONS, INLET, LAWS, Plant, READ,
    ROWS, Rated, SALT, STAGE, STAGES, WATER,
};
use super::unknowns::GAUGES;

/// What a reading speaks of: the laws' directions that are not read, then the gauges' offsets.
pub(super) const LOCAL: usize = DIRECTIONS - READ + GAUGES;
/// The first of the offsets.
const OFFSET: usize = DIRECTIONS - READ;
/// Columns of the whitened laws: by what is read, by [`LOCAL`], and what is left over.
const COLUMNS: usize = LEFT + 1;
const LEFT: usize = READ + LOCAL;

/// What the laws leave out: ln, kPa, kPa, ln, ln; and a gauge between stages, kPa.
const LAW_SD: [f64; LAWS] = [0.01, 0.7, 1.5, 0.012, 0.02];
/// Relative standard deviation of the dirt that a filter has seen, against its usual share of the water.
pub(super) const UNEVEN_SD: f64 = 0.07;

/// How one direction hangs on one unknown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    pub(super) unknown: usize,
    pub(super) local: usize,
    pub(super) slope: f64,
}

/// The directions' values at the unknowns `x`, and how they hang on them.
#[derive(Clone, Debug)]
pub(super) struct Directions {
    pub(super) value: [f64; LOCAL],
    pub(super) entries: Vec<Entry>,
    /// Derivative of each stage by its filter's ln rate, times [`UNEVEN_SD`].
    pub(super) uneven: [f64; STAGES],
    /// Entries from here on belong to stages that load up.
    pub(super) loading: usize,
    life: usize,
    slopes: Slopes,
}

impl Default for Directions {
    fn default() -> Self {
        Self {
            value: [0.0; LOCAL],
            entries: Vec::with_capacity(96),
            uneven: [0.0; STAGES],
            loading: 0,
            life: 0,
            slopes: Vec::with_capacity(64),
        }
    }
}

impl Directions {
    /// At one day.
    pub(super) fn set(&mut self, courses: &Courses<'_>, x: &[f64], one: &Evidence) {
        let unknowns = courses.unknowns;
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        self.entries.clear();
        let plain = |unknown: usize, local: usize| Entry {
            unknown,
            local,
            slope: 1.0,
        };
        for (direction, index) in unknowns.of_plant() {
            let local = direction - READ;
            self.value[local] = at(index);
            self.entries.push(plain(index, local));
            let steps = unknowns.drift_of(direction);
            for (unknown, slope) in steps.zip(courses.timeline.drift.done(one.day)) {
                self.value[local] += slope * at(unknown);
                self.entries.push(Entry {
                    unknown,
                    local,
                    slope,
                });
            }
        }
        for g in 0..GAUGES {
            let index = unknowns.offsets + g;
            self.value[OFFSET + g] = at(index);
            // Of a gauge that was not read nothing is told either way; so all readings of a stretch of time stay alike.
            self.entries.push(plain(index, OFFSET + g));
        }
        self.life = courses.membrane_life(one.day);
        let moment = courses.moment(self.life, one.day);
        for (which, direction) in [WATER, SALT, CHANNEL].into_iter().enumerate() {
            self.slopes.clear();
            let value = courses.membrane_at(x, self.life, &moment, which, &mut self.slopes);
            self.value[direction - READ] = value;
            self.take(direction - READ);
        }
        for (slot, clean) in unknowns.clean.iter().enumerate() {
            if courses.filter_of(slot).is_none() {
                self.value[STAGE - READ + slot] = at(*clean);
                self.entries.push(plain(*clean, STAGE - READ + slot));
            }
        }
        self.loading = self.entries.len();
        self.set_loading(courses, x, one);
    }

    /// Only the stages that load up, anew.
    pub(super) fn set_loading(&mut self, courses: &Courses<'_>, x: &[f64], one: &Evidence) {
        let unknowns = courses.unknowns;
        self.entries.truncate(self.loading);
        for slot in 0..unknowns.clean.len() {
            let Some(index) = courses.filter_of(slot) else {
                continue;
            };
            self.slopes.clear();
            let local = STAGE - READ + slot;
            self.value[local] = courses.filter(x, index, one.day, &mut self.slopes);
            let from = self.entries.len();
            self.take(local);
            // The dirt of a feed comes unevenly, and the nearer a law comes to its end, the more that shows.
            let rate = unknowns.filters.get(index).map(|own| own.rate);
            let of_rate = self.entries[from..]
                .iter()
                .find(|entry| Some(entry.unknown) == rate);
            self.uneven[slot] = of_rate.map_or(0.0, |entry| UNEVEN_SD * entry.slope);
        }
    }

    /// Offset of a gauge that was read.
    pub(super) fn offset(&self, f: usize, one: &Evidence) -> f64 {
        if f < GAUGES && one.was_read[f] {
            self.value[OFFSET + f]
        } else {
            0.0
        }
    }

    /// Takes the derivatives of one direction over, one entry for each unknown.
    fn take(&mut self, local: usize) {
        let from = self.entries.len();
        for (unknown, slope) in &self.slopes {
            let known = self.entries[from..]
                .iter_mut()
                .find(|entry| entry.unknown == *unknown);
            match known {
                Some(entry) => entry.slope += slope,
                None => self.entries.push(Entry {
                    unknown: *unknown,
                    local,
                    slope: *slope,
                }),
            }
        }
    }
}

/// The laws of one reading, whitened; at first of none.
#[derive(Clone, Default)]
pub(super) struct White {
    count: usize,
    rows: [[f64; COLUMNS]; ROWS],
    variance: [f64; READ],
    /// The directions' values where it was linearised.
    value: [f64; LOCAL],
    ln_determinant: f64,
}

impl White {
    /// Linearises one. False where the covariance is none, which no finite reading makes. Without `uneven`, the dirt counts as
    /// even.
    #[inline(always)]
    pub(super) fn set(
        &mut self,
        plant: &Plant,
        rated: &[Rated],
        directions: &Directions,
        one: &Evidence,
        scale: &[f64; READ],
        uneven: bool,
        laws: &mut Laws,
    ) -> bool {
        self.count = 0;
        let mut at = [0.0; DIRECTIONS];
        at[..READ].copy_from_slice(&one.guess);
        at[READ..].copy_from_slice(&directions.value[..OFFSET]);
        let rated = rated.get(directions.life).copied().unwrap_or_default();
        plant.laws(&at, rated, &one.between, laws);
        let count = laws.count;
        let variance = &mut self.variance;
        // How far the value read is off the present guess of the true one.
        let mut off = [0.0; READ];
        for f in 0..READ {
            let sd = if one.was_read[f] {
                one.sd[f] * scale[f]
            } else {
                one.sd[f]
            };
            variance[f] = sd * sd * one.doubt[f];
            off[f] = one.read[f] - one.guess[f];
            if f < GAUGES && one.was_read[f] {
                off[f] -= directions.value[OFFSET + f];
            }
        }
        let rows = &mut self.rows;
        for (row, (slope, value)) in rows.iter_mut().zip(laws.slope.iter().zip(laws.value)).take(count) {
            *row = [0.0; COLUMNS];
            row[..DIRECTIONS].copy_from_slice(slope);
            for g in 0..GAUGES {
                if one.was_read[INLET + g] {
                    row[READ + OFFSET + g] = -slope[INLET + g];
                }
            }
            let moved: f64 = slope.iter().zip(off).map(|(by, off)| by * off).sum();
            row[LEFT] = value + moved;
        }
        let mut factor = [[0.0; ROWS]; ROWS];
        for i in 0..count {
            let mut weighted = [0.0; READ];
            for f in 0..READ {
                weighted[f] = rows[i][f] * variance[f];
            }
            for j in 0..=i {
                factor[i][j] = weighted.iter().zip(&rows[j]).map(|(a, b)| a * b).sum();
            }
            factor[i][i] += match i {
                BY_RESTRICTOR | BY_CHANNEL => LAW_SD[i].powi(2),
                BY_STAGES => {
                    let spread = directions.uneven.iter().enumerate();
                    let uneven_kpa2: f64 = spread
                        .map(|(slot, sd)| (rows[i][STAGE + slot] * sd).powi(2))
                        .sum();
                    LAW_SD[i].powi(2) + one.stages_sd_kpa.powi(2) + if uneven { uneven_kpa2 } else { 0.0 }
                }
                BY_WATER => LAW_SD[i].powi(2) + one.unsettled[0].powi(2),
                BY_SALT => LAW_SD[i].powi(2) + one.unsettled[1].powi(2),
                _ => one.between_sd_kpa.powi(2),
            };
        }
        // Cholesky's factor of S, and L^-1 on all columns as it goes.
        let mut determinant = 1.0;
        for i in 0..count {
            let (done, rest) = rows.split_at_mut(i);
            let row = &mut rest[0];
            for k in 0..i {
                let known: f64 = (0..k).map(|l| factor[i][l] * factor[k][l]).sum();
                let entry = (factor[i][k] - known) / factor[k][k];
                factor[i][k] = entry;
                for (a, b) in row.iter_mut().zip(&done[k]) {
                    *a -= entry * b;
                }
            }
            let known: f64 = factor[i][..i].iter().map(|l| l * l).sum();
            let pivot = factor[i][i] - known;
            if !(pivot > 0.0 && pivot.is_finite()) {
                return false;
            }
            factor[i][i] = pivot.sqrt();
            determinant *= pivot;
            let inverse = 1.0 / factor[i][i];
            for a in row.iter_mut() {
                *a *= inverse;
            }
        }
        self.count = count;
        self.value = directions.value;
        self.ln_determinant = determinant.ln();
        true
    }

    /// Whether it holds any law.
    pub(super) fn is_set(&self) -> bool {
        self.count > 0
    }

    /// The reading's information on its directions.
    #[inline(always)]
    pub(super) fn local(&self, all: &mut Local) {
        let rows = &self.rows[..self.count];
        all.cost = self.ln_determinant;
        all.right = [0.0; LOCAL];
        for row in rows {
            for (right, by) in all.right.iter_mut().zip(&row[READ..LEFT]) {
                *right -= by * row[LEFT];
            }
            all.cost += row[LEFT] * row[LEFT];
        }
        for (a, sums) in all.matrix.iter_mut().enumerate() {
            *sums = [0.0; LOCAL];
            for row in rows {
                let one = row[READ + a];
                for (sum, other) in sums.iter_mut().zip(&row[READ..LEFT]) {
                    *sum += one * other;
                }
            }
        }
    }

    /// What the reading's instruments must have been off where the directions are `now`, with the share of each one's
    /// variance that the laws see.
    #[inline(always)]
    pub(super) fn errors(&self, now: &[f64; LOCAL]) -> ([f64; READ], [f64; READ]) {
        let (mut errors, mut shares) = ([0.0; READ], [0.0; READ]);
        let mut moved = [0.0; LOCAL];
        for (moved, (now, then)) in moved.iter_mut().zip(now.iter().zip(&self.value)) {
            *moved = now - then;
        }
        for row in &self.rows[..self.count] {
            let further: f64 = row[READ..LEFT].iter().zip(&moved).map(|(by, d)| by * d).sum();
            let left = row[LEFT] + further;
            for f in 0..READ {
                errors[f] += row[f] * left;
                shares[f] += row[f] * row[f];
            }
        }
        for f in 0..READ {
            errors[f] *= self.variance[f];
            shares[f] = (shares[f] * self.variance[f]).clamp(1e-6, 1.0);
        }
        (errors, shares)
    }

    /// Adds the reading to a fit that already holds the others: the factor by one rank for each law, the unknowns by
    /// one step. Gives what it costs at its best, by how much ln of the determinant grew, and the step.
    pub(super) fn add_to(
        &self,
        directions: &Directions,
        x: &mut [f64],
        precision: &mut Cholesky,
    ) -> (f64, f64, Vec<f64>) {
        let before = precision.ln_determinant();
        let mut right = vec![0.0; x.len()];
        let mut cost = self.ln_determinant;
        let mut by = vec![0.0; x.len()];
        for row in &self.rows[..self.count] {
            by.fill(0.0);
            for entry in &directions.entries {
                by[entry.unknown] += entry.slope * row[READ + entry.local];
            }
            for (right, by) in right.iter_mut().zip(&by) {
                *right -= by * row[LEFT];
            }
            cost += row[LEFT] * row[LEFT];
            precision.add(&mut by);
        }
        let step = precision.solve(&right);
        for ((x, step), right) in x.iter_mut().zip(&step).zip(&right) {
            *x += step;
            cost -= step * right;
        }
        (cost, precision.ln_determinant() - before, step)
    }
}

/// A reading's information on its directions: `cost - 2 right d + d' matrix d` for a move d.
#[derive(Debug, Default)]
pub(super) struct Local {
    pub(super) matrix: [[f64; LOCAL]; LOCAL],
    pub(super) right: [f64; LOCAL],
    pub(super) cost: f64,
}

/// Sums readings' information on the unknowns. Readings of one stretch of time hang on the same unknowns: they are
/// summed in a small table, which then goes to where those stand in the normal equations.
#[derive(Debug, Default)]
pub(super) struct Summed {
    /// Which unknown and direction each row of the table stands for.
    keys: Vec<(usize, usize)>,
    table: Vec<f64>,
    right: Vec<f64>,
    slopes: Vec<f64>,
    /// Runs of entries with one direction: (direction, from, to).
    runs: Vec<(usize, usize, usize)>,
    by_direction: Vec<f64>,
}

impl Summed {
    /// Adds one reading; what was summed before goes to the normal equations where it hangs on other unknowns.
    #[inline(always)]
    pub(super) fn add(&mut self, local: &Local, entries: &[Entry], matrix: &mut [f64], right: &mut [f64]) {
        let m = entries.len();
        let alike = self.keys.len() == m
            && self
                .keys
                .iter()
                .zip(entries)
                .all(|(key, entry)| *key == (entry.unknown, entry.local));
        if !alike {
            self.flush(matrix, right);
            self.keys
                .extend(entries.iter().map(|entry| (entry.unknown, entry.local)));
            self.table.resize(m * m, 0.0);
            self.right.resize(m, 0.0);
            self.by_direction.resize(m, 0.0);
            for (e, entry) in entries.iter().enumerate() {
                match self.runs.last_mut() {
                    Some(run) if run.0 == entry.local => run.2 = e + 1,
                    _ => self.runs.push((entry.local, e, e + 1)),
                }
            }
        }
        self.slopes.clear();
        self.slopes.extend(entries.iter().map(|entry| entry.slope));
        for &(direction, from, to) in &self.runs {
            let row = &local.matrix[direction];
            // What each entry from here on shares with this direction.
            for &(other, other_from, other_to) in &self.runs {
                if other_to > from {
                    let shared = row[other];
                    let into = &mut self.by_direction[other_from..other_to];
                    for (by, slope) in into.iter_mut().zip(&self.slopes[other_from..other_to]) {
                        *by = shared * slope;
                    }
                }
            }
            let pull = local.right[direction];
            for e in from..to {
                let slope = self.slopes[e];
                self.right[e] += slope * pull;
                let sums = &mut self.table[e * m + e..(e + 1) * m];
                for (sum, by) in sums.iter_mut().zip(&self.by_direction[e..m]) {
                    *sum += slope * by;
                }
            }
        }
    }

    /// Takes what was summed to the normal equations, of whose matrix only the upper triangle is kept.
    pub(super) fn flush(&mut self, matrix: &mut [f64], right: &mut [f64]) {
        let (m, n) = (self.keys.len(), right.len());
        for (a, (unknown, _)) in self.keys.iter().enumerate() {
            right[*unknown] += self.right[a];
            matrix[unknown * n + unknown] += self.table[a * m + a];
            for b in a + 1..m {
                let (other, each) = (self.keys[b].0, self.table[a * m + b]);
                let twice = if *unknown == other { 2.0 * each } else { each };
                matrix[unknown.min(&other) * n + unknown.max(&other)] += twice;
            }
        }
        self.keys.clear();
        self.table.clear();
        self.right.clear();
        self.runs.clear();
    }
}
