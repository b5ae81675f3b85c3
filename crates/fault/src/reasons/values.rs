//! What each value that was read weighs, alone and against what all the others make of it.

use super::{Fact, Weights, index};
use crate::Case;
use crate::candidate::{Candidate, candidates_of};
use crate::catalogue::{Test, id};
use crate::cause::Cause;
use crate::gaussian::{contaminated, ln_sum};
use crate::observable::{Observable, Readings};
use crate::state::Place;
use crate::test_to_make::kind;
use crate::weigh::Weighed;

/// Severities less probable than this change no weight of evidence that is shown.
const FAINT: f64 = 1e-4;

/// Likelihoods of the values that were read, summed over candidates and their severities.
struct Sums {
    /// By cause: probability after everything, of what computes the values.
    after: Vec<f64>,
    /// By cause: probability before anything is read.
    before: Vec<f64>,
    /// By value and cause: `after` over the likelihood given the others; `before` times the likelihood alone; `after` times
    /// what is expected given the others.
    without: Vec<Vec<f64>>,
    alone: Vec<Vec<f64>>,
    expected: Vec<Vec<f64>>,
}

impl Sums {
    fn new(values: usize) -> Self {
        let table = || vec![vec![0.0; Cause::COUNT]; values];
        Self {
            after: vec![0.0; Cause::COUNT],
            before: vec![0.0; Cause::COUNT],
            without: table(),
            alone: table(),
            expected: table(),
        }
    }

    /// Adds a cause under which each value stands for itself.
    fn add_by_itself(&mut self, cause: usize, (after, before): (f64, f64), ln: &[f64]) {
        self.before[cause] += before;
        self.after[cause] += after;
        for (i, ln) in ln.iter().enumerate() {
            self.without[i][cause] += after / ln.exp();
            self.alone[i][cause] += before * ln.exp();
        }
    }

    /// Adds one severity: its probabilities after and before.
    fn add(
        &mut self,
        cause: usize,
        (after, before): (f64, f64),
        weighed: &Weighed,
        read: &Readings,
    ) -> Option<()> {
        let innovation = weighed.innovation();
        let density = |off: f64, variance: f64| contaminated(1, variance.ln(), off * off / variance).exp();
        let alone: Vec<f64> = innovation
            .variances()
            .iter()
            .zip(weighed.residual.iter())
            .map(|(variance, off)| density(*off, *variance))
            .collect();
        let counts = after.is_finite() && after >= FAINT;
        let each = if counts {
            innovation.each_from_the_others(&weighed.residual)
        } else {
            Vec::new()
        };
        let given: Vec<f64> = each
            .iter()
            .map(|(off, variance)| density(*off, *variance))
            .collect();
        if alone.iter().chain(&given).any(|density| density.is_nan()) || given.contains(&0.0) {
            return None;
        }
        self.before[cause] += before;
        for (sums, density) in self.alone.iter_mut().zip(&alone) {
            sums[cause] += before * density;
        }
        if counts {
            self.after[cause] += after;
            for (i, (density, (off, _))) in given.iter().zip(&each).enumerate() {
                self.without[i][cause] += after / density;
                self.expected[i][cause] += after * (read.values[i] - off);
            }
        }
        Some(())
    }
}

/// Each value that was read, alone and against what all others make of it.
///
/// The likelihood of a value given the others is, over severities weighed by everything, the harmonic mean of those under each
/// of them (Gelfand, Dey and Chang 1992: the conditional predictive ordinate).
pub(super) fn of_values(
    case: &Case<'_>,
    candidates: &[Candidate],
    (read, no_feed): (&Readings, &[f64]),
    whole: f64,
) -> Vec<Weights> {
    let mut sums = Sums::new(read.observables.len());
    for candidate in candidates {
        let cause = index(candidate.hypothesis.cause);
        let after = (candidate.ln_weight - whole).exp();
        if candidate.hypothesis.cause == Cause::NoFeed {
            sums.add_by_itself(cause, (after, candidate.chance), no_feed);
            continue;
        }
        let nodes = match candidate.like.and_then(|i| candidates.get(i)) {
            Some(original) => &original.nodes,
            None => &candidate.nodes,
        };
        let evidence: Vec<f64> = nodes.iter().flatten().map(|one| one.ln_evidence).collect();
        let sum = ln_sum(evidence);
        let before = candidate.chance / nodes.len().max(1) as f64;
        for weighed in nodes.iter().flatten() {
            let after = after * (weighed.ln_evidence - sum).exp();
            let before = before * weighed.ln_often.exp();
            // What has no density is left out of the sums.
            let _added = sums.add(cause, (after, before), weighed, read);
        }
    }
    let over = |sums: &[f64], by: &[f64]| -> Vec<f64> {
        let pairs = sums.iter().zip(by);
        pairs
            .map(|(sum, by)| if *by > 0.0 { sum / by } else { 0.0 })
            .collect()
    };
    read.observables
        .iter()
        .enumerate()
        .map(|(i, observable)| {
            let plain = |value: f64| {
                if observable.logarithmic() {
                    value.exp()
                } else {
                    value
                }
            };
            let expected = sums.expected[i]
                .iter()
                .zip(&sums.after)
                .zip(Cause::ALL)
                .map(|((sum, after), cause)| {
                    (*after > 0.0 && *cause != Cause::NoFeed).then(|| plain(sum / after))
                })
                .collect();
            let given = over(&sums.after, &sums.without[i]);
            let alone = over(&sums.alone[i], &sums.before);
            Weights {
                fact: Fact::Read {
                    field: observable.field(),
                    part: part(case, *observable),
                    kind: kind(*observable),
                    read: plain(read.values[i]),
                    expected: None,
                },
                orders: vec![(sums.without[i].clone(), given), (sums.before.clone(), alone)],
                expected,
            }
        })
        .collect()
}

fn part(case: &Case<'_>, observable: Observable) -> Option<String> {
    match observable {
        Observable::Pressure(Place::After(_)) | Observable::ElementPermeate(_) => {
            id(case.unit, Test::Read(observable)).map(str::to_owned)
        }
        _ => None,
    }
}

/// What each severity of a cause would have a value be by all that was read besides, with its probability; and what the value
/// is of.
pub(super) fn severities(
    case: &Case<'_>,
    candidates: &[Candidate],
    read: &Readings,
    whole: f64,
    cause: Cause,
    (field, of_part): (&str, Option<&str>),
) -> Option<(Observable, Vec<(f64, f64)>)> {
    let is = |one: &Observable| one.field() == field && part(case, *one).as_deref() == of_part;
    let row = read.observables.iter().position(is)?;
    let mut found = Vec::new();
    for candidate in candidates_of(candidates, cause) {
        let after = (candidate.ln_weight - whole).exp();
        let nodes = match candidate.like.and_then(|i| candidates.get(i)) {
            Some(original) => &original.nodes,
            None => &candidate.nodes,
        };
        let sum = ln_sum(
            nodes
                .iter()
                .flatten()
                .map(|one| one.ln_evidence)
                .collect::<Vec<_>>(),
        );
        for weighed in nodes.iter().flatten() {
            let after = after * (weighed.ln_evidence - sum).exp();
            if !(after.is_finite() && after >= FAINT) {
                continue;
            }
            let each = weighed.innovation().each_from_the_others(&weighed.residual);
            if let Some((off, _)) = each.get(row) {
                found.push((after, read.values[row] - off));
            }
        }
    }
    Some((*read.observables.get(row)?, found))
}
