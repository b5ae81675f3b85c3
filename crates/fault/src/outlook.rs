//! What each severity that still counts would have the next reading show.

use nalgebra::{Cholesky, DMatrix, DVector};
use unit::Unit;

use crate::candidate::Candidate;
use crate::cause::Cause;
use crate::gaussian::{Linear, contaminated, ln_sum};
use crate::hypothesis::Node;
use crate::observable::{Observable, Readings};
use crate::predict::{Fixed, Predictor};
use crate::state::Unknown;
use crate::weigh::Weighed;

/// What can be read at a unit, and after it what was read already and can be read again with an instrument of its own.
pub(crate) struct Rows {
    all: Vec<Observable>,
    again: Vec<Observable>,
}

impl Rows {
    /// `further` are those that were read again already, whether or not they had been read before.
    pub(crate) fn new(unit: &Unit, read: &Readings, further: &[Observable]) -> Self {
        let all = Observable::all(unit);
        let again = all
            .iter()
            .copied()
            .filter(|one| read.index(*one).is_some() || further.contains(one))
            .collect();
        Self { all, again }
    }

    /// Only these, read again; and the permeate flow where it counts with its line off.
    pub(crate) fn some(again: impl Iterator<Item = Observable>, permeate: bool) -> Self {
        let again: Vec<Observable> = again.collect();
        let mut all = again.clone();
        if permeate && !all.contains(&Observable::PermeateFlow) {
            all.push(Observable::PermeateFlow);
        }
        Self { all, again }
    }

    /// Where something stands that is read with the usual instrument.
    pub(crate) fn of(&self, observable: Observable) -> Option<usize> {
        self.all.iter().position(|one| *one == observable)
    }

    /// Where something stands that is read again with another instrument.
    pub(crate) fn again(&self, observable: Observable) -> Option<usize> {
        let at = self.again.iter().position(|one| *one == observable)?;
        Some(self.all.len() + at)
    }

    /// All rows about a state. Another instrument has none of the first one's own offset.
    pub(crate) fn linear(
        &self,
        predictor: &mut Predictor<'_>,
        state: &DVector<f64>,
        fixed: &[Fixed],
    ) -> Option<Linear> {
        let first = predictor.linear(state, fixed, &self.all)?;
        Some(self.and_again(predictor, &first))
    }

    /// All rows about a severity's most likely state, by the straight line that it was weighed with; none where something was
    /// not read then.
    fn along(&self, predictor: &Predictor<'_>, weighed: &Weighed, read: &Readings) -> Option<Linear> {
        let chosen: Option<Vec<usize>> = self.all.iter().map(|one| read.index(*one)).collect();
        let mut linear = weighed.linear.rows(&chosen?);
        linear.value += &linear.slope * (&weighed.state - &linear.at);
        linear.at.clone_from(&weighed.state);
        Some(self.and_again(predictor, &linear))
    }

    /// What is read with the usual instruments, and after it what is read again with others.
    fn and_again(&self, predictor: &Predictor<'_>, first: &Linear) -> Linear {
        let chosen: Vec<usize> = (0..self.all.len())
            .chain(self.again.iter().filter_map(|one| self.of(*one)))
            .collect();
        let mut linear = first.rows(&chosen);
        for (i, observable) in self.again.iter().enumerate() {
            let row = self.all.len() + i;
            let column = own_offset(*observable).and_then(|unknown| predictor.layout.index(unknown));
            if let Some(column) = column {
                linear.value[row] -= linear.slope[(row, column)] * first.at[column];
                linear.slope[(row, column)] = 0.0;
            }
        }
        linear
    }
}

/// What an observable's instrument shows too much in every reading.
fn own_offset(observable: Observable) -> Option<Unknown> {
    match observable {
        Observable::Pressure(place) => Some(Unknown::Gauge(place)),
        Observable::FeedConductivity => Some(Unknown::FeedMeter),
        Observable::PermeateConductivity | Observable::ElementPermeate(_) => Some(Unknown::PermeateMeter),
        Observable::PermeateFlow | Observable::ConcentrateFlow => Some(Unknown::Bucket),
        Observable::Temperature => None,
    }
}

/// What a severity would show of everything that can be read.
#[derive(Clone)]
pub(crate) struct Outlook {
    pub(crate) cause: usize,
    pub(crate) weight: f64,
    /// All rows about the most likely state.
    pub(crate) linear: Linear,
    /// Spread of each after this reading, without the next reading's own error.
    gain: DMatrix<f64>,
    reduction: DMatrix<f64>,
    /// ln of permeate flow with the line taken off, over that before.
    pub(crate) freed: f64,
}

/// Severities less probable than this say nothing about the next test.
const FAINT: f64 = 1e-3;

/// What one severity would show, after what was read.
pub(crate) fn outlook(
    predictor: &mut Predictor<'_>,
    node: &Node,
    weighed: &Weighed,
    rows: &Rows,
) -> Option<Outlook> {
    let linear = rows.linear(predictor, &weighed.state, &node.fixed)?;
    Some(about(predictor, linear, weighed, rows))
}

/// The same by the straight line that the severity was weighed with, without an operating point more: good enough to tell
/// which severities deserve one. None where a row was not read then.
pub(crate) fn first_look(
    predictor: &Predictor<'_>,
    weighed: &Weighed,
    read: &Readings,
    rows: &Rows,
) -> Option<Outlook> {
    let linear = rows.along(predictor, weighed, read)?;
    Some(about(predictor, linear, weighed, rows))
}

fn about(predictor: &Predictor<'_>, linear: Linear, weighed: &Weighed, rows: &Rows) -> Outlook {
    let innovation = weighed.innovation();
    let gain = &linear.slope * weighed.prior.covariance();
    let reduction = innovation.explained(&linear.slope);
    let freed = freed(predictor, &linear, rows);
    Outlook {
        cause: 0,
        weight: 0.0,
        linear,
        gain,
        reduction,
        freed,
    }
}

/// The outlooks of all severities that still count.
pub(crate) fn outlooks(predictor: &mut Predictor<'_>, candidates: &[Candidate], rows: &Rows) -> Vec<Outlook> {
    let whole = ln_sum(candidates.iter().map(|one| one.ln_weight));
    let mut found: Vec<(usize, Outlook)> = Vec::new();
    for (number, candidate) in candidates.iter().enumerate() {
        let cause = candidate.hypothesis.cause;
        let Some(index) = Cause::ALL.iter().position(|one| *one == cause) else {
            continue;
        };
        let weight = (candidate.ln_weight - whole).exp();
        // A copy needs its original, however faint that is.
        let copied = copied(candidates, whole, number);
        if !loud(weight) && !copied {
            continue;
        }
        // What moves the flows alike is looked at once.
        if let Some(other) = candidate.like {
            let of_other: f64 = found
                .iter()
                .filter(|(of, _)| *of == other)
                .map(|(_, outlook): &(usize, Outlook)| outlook.weight)
                .sum();
            let copies: Vec<(usize, Outlook)> = found
                .iter()
                .filter(|(of, _)| *of == other && of_other > 0.0)
                .map(|(_, outlook)| {
                    let weight = outlook.weight / of_other * weight;
                    (number, outlook.with(index, weight))
                })
                .collect();
            found.extend(copies);
            continue;
        }
        let source = candidate;
        let terms: Vec<f64> = source
            .nodes
            .iter()
            .map(|node| node.as_ref().map_or(f64::NEG_INFINITY, |w| w.ln_evidence))
            .collect();
        let sum = ln_sum(terms);
        for (node, weighed) in source.hypothesis.nodes.iter().zip(&source.nodes) {
            let Some(weighed) = weighed else { continue };
            let share = (weighed.ln_evidence - sum).exp();
            let weight = weight * share;
            let needed = loud(weight) || (copied && share > 0.02);
            if !needed {
                continue;
            }
            let known = weighed.outlook.clone();
            let Some(mut outlook) = known.or_else(|| outlook(predictor, node, weighed, rows)) else {
                continue;
            };
            outlook.cause = index;
            outlook.weight = weight;
            found.push((number, outlook));
        }
    }
    found.into_iter().map(|(_, outlook)| outlook).collect()
}

/// ln of the permeate flow without the pressure at the tank, over that with it, on the straight line.
fn freed(predictor: &Predictor<'_>, linear: &Linear, rows: &Rows) -> f64 {
    let row = rows.of(Observable::PermeateFlow);
    let column = predictor.layout.index(Unknown::PermeatePressure);
    match (row, column) {
        (Some(row), Some(column)) => {
            (-linear.slope[(row, column)] * linear.at[column].max(0.0)).clamp(-0.1, 2.0)
        }
        _ => 0.0,
    }
}

/// Whether a weight counts; one that is no number does not.
fn loud(weight: f64) -> bool {
    weight > FAINT
}

/// Whether another candidate that counts has the same flows as this one.
fn copied(candidates: &[Candidate], whole: f64, number: usize) -> bool {
    candidates
        .iter()
        .any(|one| one.like == Some(number) && loud((one.ln_weight - whole).exp()))
}

impl Outlook {
    /// The same under another cause.
    fn with(&self, cause: usize, weight: f64) -> Self {
        Self {
            cause,
            weight,
            linear: self.linear.clone(),
            gain: self.gain.clone(),
            reduction: self.reduction.clone(),
            freed: self.freed,
        }
    }

    /// The state's part of the covariance of two straight combinations of rows.
    fn covariance(&self, a: &[(usize, f64)], b: &[(usize, f64)]) -> f64 {
        // J P' J' = J P J' - the part that the reading has explained; rows of `gain` are J P.
        let mut sum = 0.0;
        for (row, weight) in a {
            for (other, factor) in b {
                let slope = self.linear.slope.row(*other);
                let left = self.gain.row(*row).dot(&slope) - self.reduction.row(*row).dot(&slope);
                sum += weight * factor * left;
            }
        }
        sum
    }

    /// Mean and standard deviation of a straight combination of rows, with this noise.
    pub(crate) fn value(&self, rows: &[(usize, f64)], noise: f64) -> (f64, f64) {
        let mean = rows
            .iter()
            .map(|(row, weight)| weight * self.linear.value[*row])
            .sum();
        (mean, (self.covariance(rows, rows).max(0.0) + noise).sqrt())
    }

    /// ln of the density of further readings, each a row with its value and the variance of its own error.
    pub(crate) fn ln_density(&self, further: &[(usize, f64, f64)]) -> f64 {
        let n = further.len();
        if n == 0 {
            return 0.0;
        }
        let mut covariance = DMatrix::zeros(n, n);
        let mut residual = DVector::zeros(n);
        for (i, (row, value, noise)) in further.iter().enumerate() {
            residual[i] = value - self.linear.value[*row];
            for (j, (other, _, _)) in further.iter().enumerate() {
                covariance[(i, j)] = self.covariance(&[(*row, 1.0)], &[(*other, 1.0)]);
            }
            covariance[(i, i)] = covariance[(i, i)].max(0.0) + noise;
        }
        // Symmetric to the last digit, which sums in two orders are not.
        let covariance = (&covariance + covariance.transpose()) * 0.5;
        let Some(factor) = Cholesky::new(covariance) else {
            return f64::NEG_INFINITY;
        };
        let square = residual.dot(&factor.solve(&residual));
        let ln_determinant = 2.0 * factor.l_dirty().diagonal().iter().map(|x| x.ln()).sum::<f64>();
        contaminated(n, ln_determinant, square)
    }
}
