//! How much a test tells of the cause before it is made: the mutual information of cause and outcome.
//!
//! I = sum over causes and outcomes of p(c) p(o|c) log2(p(o|c)/p(o)). Outcomes are cells, as a display has steps, so that the
//! sum is exact for them and never negative. Where the causes looked at do not sum to 1, the rest is taken to tell nothing:
//! I is that among those looked at, times their share, and never more than the entropy of all.

mod account;

use statrs::function::erf::erfc;

pub(crate) use account::{EQUATIONS, accounts};

/// One way in which a reading may turn out: a cause, and a normal value under it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Branch {
    /// Which cause, counted from 0.
    pub(crate) cause: usize,
    /// Its probability.
    pub(crate) weight: f64,
    /// Expected value.
    pub(crate) mean: f64,
    /// Standard deviation.
    pub(crate) sd: f64,
}

/// Outcomes by cause: `table[cause][outcome]` is p(o|c).
#[derive(Clone, Debug, Default)]
pub(crate) struct Outcomes {
    pub(crate) chance: Vec<f64>,
    pub(crate) table: Vec<Vec<f64>>,
}

/// Cells per standard deviation of the sharpest branch, and at most so many cells.
const PER_SD: f64 = 1.5;
const CELLS: usize = 96;
/// Branches less probable than this do not set the cells' width.
const FAINT: f64 = 1e-3;

impl Outcomes {
    /// Mutual information of cause and outcome, bits, times the share of the causes in `chance`. Never negative.
    pub(crate) fn bits(&self) -> f64 {
        let cells = self.table.iter().map(Vec::len).max().unwrap_or(0);
        let whole: f64 = self.chance.iter().sum();
        if whole <= 0.0 {
            return 0.0;
        }
        let mut total = 0.0;
        for cell in 0..cells {
            let at = |row: &Vec<f64>| row.get(cell).copied().unwrap_or(0.0);
            let any: f64 = self
                .chance
                .iter()
                .zip(&self.table)
                .map(|(chance, row)| chance / whole * at(row))
                .sum();
            for (chance, row) in self.chance.iter().zip(&self.table) {
                let p = at(row);
                if p > 0.0 && any > 0.0 {
                    total += chance * p * (p / any).log2();
                }
            }
        }
        // Rounding may leave a few units of the last digit.
        total.max(0.0)
    }

    /// The cells of a reading over all its branches.
    pub(crate) fn of_reading(branches: &[Branch], causes: usize) -> Self {
        let mut chance = vec![0.0; causes];
        let usable: Vec<Branch> = branches
            .iter()
            .copied()
            .filter(|b| b.weight > 0.0 && b.mean.is_finite() && b.sd.is_finite() && b.sd > 0.0)
            .collect();
        for branch in &usable {
            if let Some(sum) = chance.get_mut(branch.cause) {
                *sum += branch.weight;
            }
        }
        let loud = || usable.iter().filter(|b| b.weight > FAINT);
        let low = loud().map(|b| b.mean - 4.0 * b.sd).fold(f64::INFINITY, f64::min);
        let high = loud()
            .map(|b| b.mean + 4.0 * b.sd)
            .fold(f64::NEG_INFINITY, f64::max);
        let sharpest = loud().map(|b| b.sd).fold(f64::INFINITY, f64::min);
        if high <= low || (high - low).is_nan() {
            return Self::default();
        }
        let wanted = (high - low) / sharpest * PER_SD;
        let count = (8..CELLS).find(|n| *n as f64 >= wanted).unwrap_or(CELLS);
        let edge = |i: usize| low + (high - low) * i as f64 / count as f64;
        let mut table = vec![vec![0.0; count]; causes];
        for branch in &usable {
            let (Some(row), Some(sum)) = (table.get_mut(branch.cause), chance.get(branch.cause)) else {
                continue;
            };
            let share = branch.weight / sum;
            let mut below = 0.0;
            for (i, cell) in row.iter_mut().enumerate() {
                // The last cell is open, and so is the first.
                let z = (edge(i + 1) - branch.mean) / branch.sd;
                // Six standard deviations out all of it is to one side, to nine digits.
                let next = if i + 1 == count || z > 6.0 {
                    1.0
                } else if z < -6.0 {
                    0.0
                } else {
                    0.5 * erfc(-z / std::f64::consts::SQRT_2)
                };
                *cell += share * (next - below);
                below = next;
            }
        }
        Self { chance, table }
    }

    /// A question that is answered by yes or no.
    pub(crate) fn of_question(chance: Vec<f64>, yes: impl Fn(usize) -> f64) -> Self {
        let table = (0..chance.len())
            .map(|cause| {
                let p = yes(cause).clamp(0.0, 1.0);
                vec![p, 1.0 - p]
            })
            .collect();
        Self { chance, table }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn val_mutual_information_by_brute_force() {
        // Entropies counted out: H(C) + H(O) - H(C, O) over every pair (Shannon 1948; any textbook).
        let outcomes = Outcomes {
            chance: vec![0.5, 0.3, 0.2],
            table: vec![vec![0.7, 0.2, 0.1], vec![0.1, 0.8, 0.1], vec![0.25, 0.25, 0.5]],
        };
        let entropy = |p: &[f64]| -> f64 { p.iter().map(|x| -x * x.log2()).sum() };
        let mut joint = Vec::new();
        let mut outcome = vec![0.0; 3];
        for (chance, row) in outcomes.chance.iter().zip(&outcomes.table) {
            for (o, p) in row.iter().enumerate() {
                joint.push(chance * p);
                outcome[o] += chance * p;
            }
        }
        let brute = entropy(&outcomes.chance) + entropy(&outcome) - entropy(&joint);
        // 1e-12: rounding of some tens of additions.
        assert!((outcomes.bits() - brute).abs() < 1e-12, "{}", outcomes.bits());
    }

    #[test]
    fn val_two_normals_far_apart_tell_one_bit() {
        let branch = |cause, mean| Branch {
            cause,
            weight: 0.5,
            mean,
            sd: 1.0,
        };
        let far = Outcomes::of_reading(&[branch(0, 0.0), branch(1, 20.0)], 2).bits();
        // 20 standard deviations apart the cause is certain: one bit; 1e-9 for the tails.
        assert!((far - 1.0).abs() < 1e-9, "{far}");
        // Two standard deviations apart: 0.4859 bits by numerical integration on a grid of 200 001 points from -12 to 14
        // (SciPy-style trapezoid of the same definition). 0.015: cells lose a little.
        let near = Outcomes::of_reading(&[branch(0, 0.0), branch(1, 2.0)], 2).bits();
        let step = 26.0 / 200_000.0;
        let fine: f64 = (0..=200_000)
            .map(|i| {
                let y = -12.0 + step * f64::from(i);
                let p = |m: f64| (-0.5 * (y - m).powi(2)).exp() / std::f64::consts::TAU.sqrt();
                let any = 0.5 * (p(0.0) + p(2.0));
                let term = |q: f64| if q > 0.0 { 0.5 * q * (q / any).log2() } else { 0.0 };
                step * (term(p(0.0)) + term(p(2.0)))
            })
            .sum();
        assert!((near - fine).abs() < 0.015, "{near} {fine}");
        assert!(
            near <= fine + 1e-12,
            "cells can't tell more than the value itself"
        );
    }

    proptest! {
        #[test]
        fn prop_information_is_never_negative_nor_above_the_causes_entropy(
            raw in proptest::collection::vec((0_usize..4, 0.0_f64..1.0, -50.0_f64..50.0, 1e-3_f64..20.0), 1..20)
        ) {
            let branches: Vec<Branch> = raw
                .iter()
                .map(|(cause, weight, mean, sd)| Branch { cause: *cause, weight: *weight, mean: *mean, sd: *sd })
                .collect();
            let outcomes = Outcomes::of_reading(&branches, 4);
            let whole: f64 = outcomes.chance.iter().sum();
            let entropy: f64 = outcomes
                .chance
                .iter()
                .filter(|p| **p > 0.0)
                .map(|p| -p * (p / whole).log2())
                .sum();
            let bits = outcomes.bits();
            prop_assert!(bits >= 0.0);
            // 1e-9: rounding.
            prop_assert!(bits <= entropy + 1e-9);
        }
    }
}
