//! What tests have shown that stand in no field of a reading: a second instrument, the flow with the permeate line off, a
//! look, a no to a question.

use crate::Case;
use crate::candidate::{Candidate, ln_no_feed};
use crate::catalogue::Test;
use crate::cause::Cause;
use crate::gaussian::{Gaussian, ln_normal};
use crate::hypothesis::Scale;
use crate::next_test::{chance_found, freed_sd, fresh_noise};
use crate::observable::{Observable, Readings};
use crate::outlook::{Outlook, Rows, first_look, outlook};
use crate::predict::Predictor;
use crate::weigh::ln_evidence;

/// What a test showed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Shown {
    /// A value in the base unit of its field.
    Value(f64),
    /// What it looks for is there, or is not.
    Found(bool),
}

/// A test with what it showed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Finding {
    pub(crate) test: Test,
    pub(crate) shown: Shown,
}

/// ln of the likelihood of what looks and questions have shown, under a cause.
pub(crate) fn ln_found(findings: &[Finding], case: &Case<'_>, cause: Cause) -> f64 {
    findings
        .iter()
        .filter_map(|finding| {
            let Shown::Found(found) = finding.shown else {
                return None;
            };
            let chance = chance_found(finding.test, case.unit, cause)?;
            Some(if found { chance } else { 1.0 - chance }.ln())
        })
        .sum()
}

/// Values that were read besides the reading, as they are compared.
struct Further {
    /// Read again with another instrument.
    again: Vec<(Observable, f64)>,
    /// ln of the flow with the line off over that before.
    freed: Option<f64>,
}

impl Further {
    fn of(findings: &[Finding], read: &Readings) -> Self {
        let mut further = Self {
            again: Vec::new(),
            freed: None,
        };
        for finding in findings {
            let Shown::Value(value) = finding.shown else {
                continue;
            };
            match finding.test {
                Test::Again(observable) if !observable.logarithmic() => {
                    further.again.push((observable, value));
                }
                Test::Again(observable) if value > 0.0 => further.again.push((observable, value.ln())),
                Test::FreePermeate if value > 0.0 => {
                    let before = read
                        .index(Observable::PermeateFlow)
                        .and_then(|row| read.values.get(row));
                    further.freed = before.map(|before| value.ln() - before);
                }
                _ => {}
            }
        }
        further.again.retain(|(_, value)| value.is_finite());
        further
    }

    /// The rows that they need, and no more.
    fn rows(&self) -> Rows {
        Rows::some(self.again.iter().map(|one| one.0), self.freed.is_some())
    }

    /// ln of their density where a severity holds.
    fn ln_density(&self, case: &Case<'_>, outlook: &Outlook, rows: &Rows) -> f64 {
        let again: Vec<(usize, f64, f64)> = self
            .again
            .iter()
            .filter_map(|(observable, value)| {
                let row = rows.again(*observable)?;
                Some((row, *value, fresh_noise(case, *observable, *value)))
            })
            .collect();
        let freed = self
            .freed
            .map_or(0.0, |freed| ln_normal(freed - outlook.freed, freed_sd(case.unit)));
        outlook.ln_density(&again) + freed
    }
}

/// Lets what tests have shown count in every candidate's weight.
///
/// Each severity predicts the further values from the state that the reading left it with, so that what the reading has
/// taught already is not counted twice.
pub(crate) fn count(
    findings: &[Finding],
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &mut [Candidate],
    rows: &Rows,
    (now, read, scale): (&Gaussian, &Readings, &Scale),
) {
    if findings.is_empty() {
        return;
    }
    let further = Further::of(findings, read);
    if !further.again.is_empty() || further.freed.is_some() {
        let by = added(&further, case, predictor, candidates, rows, (now, read, scale));
        for (candidate, by) in candidates.iter_mut().zip(by) {
            candidate.ln_hydraulic += by;
            candidate.ln_further = by;
            candidate.ln_weight += by;
        }
    }
    for candidate in candidates.iter_mut() {
        candidate.ln_weight += ln_found(findings, case, candidate.hypothesis.cause);
        if candidate.ln_weight.is_nan() {
            candidate.ln_weight = f64::NEG_INFINITY;
        }
    }
}

/// Severities so far behind the best (in ln) are not computed: no second reading brings them back.
const FAR_BEHIND: f64 = 25.0;
/// Those this far behind after a first look have no operating point of their own computed: all of them together, some
/// hundreds, are less than a thousandth of what is known, and the first look is off by a small part of that.
const NEAR: f64 = 13.0;

/// What further values add to ln of each candidate's evidence; the severities' own evidence is brought up to date.
fn added(
    further: &Further,
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &mut [Candidate],
    rows: &Rows,
    (now, read, scale): (&Gaussian, &Readings, &Scale),
) -> Vec<f64> {
    let by_severity = by_severity(further, case, predictor, candidates, (rows, read));
    let mut added: Vec<f64> = Vec::with_capacity(candidates.len());
    for (candidate, by) in candidates.iter_mut().zip(by_severity) {
        if let Some(original) = candidate.like {
            added.push(added.get(original).copied().unwrap_or(0.0));
            continue;
        }
        if candidate.hypothesis.cause == Cause::NoFeed {
            added.push(ln_no_feed(predictor, now, &as_reading(case, further), scale));
            continue;
        }
        let before = ln_evidence(&candidate.nodes);
        for (weighed, by) in candidate.nodes.iter_mut().flatten().zip(by) {
            weighed.ln_evidence += by;
        }
        let after = ln_evidence(&candidate.nodes);
        added.push(if before == f64::NEG_INFINITY {
            0.0
        } else {
            after - before
        });
    }
    added
}

/// ln of the density of further values under each severity of each candidate that has its own.
///
/// Every severity is looked at along the straight line that it was weighed with; those that still count after that are
/// computed again about their own most likely state, and keep their outlook.
fn by_severity(
    further: &Further,
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &mut [Candidate],
    (rows, read): (&Rows, &Readings),
) -> Vec<Vec<f64>> {
    let weights: Vec<(Option<usize>, f64)> = candidates.iter().map(|one| (one.like, one.ln_weight)).collect();
    let best = weights.iter().map(|one| one.1).fold(f64::NEG_INFINITY, f64::max);
    // The heaviest of those that have a candidate's flows, without its severities' own evidence.
    let bases: Vec<f64> = candidates
        .iter()
        .enumerate()
        .map(|(number, candidate)| {
            weights
                .iter()
                .enumerate()
                .filter(|(i, one)| *i == number || one.0 == Some(number))
                .map(|(_, one)| one.1)
                .fold(f64::NEG_INFINITY, f64::max)
                - candidate.ln_hydraulic
        })
        .collect();
    let few = further.rows();
    let first: Vec<Vec<f64>> = candidates
        .iter()
        .zip(&bases)
        .map(|(candidate, base)| {
            let nodes = candidate.nodes.iter().flatten();
            nodes
                .map(|weighed| {
                    // A weight that is no number is not near either.
                    let near = base + weighed.ln_evidence > best - FAR_BEHIND;
                    if !near {
                        return f64::NEG_INFINITY;
                    }
                    // What was not read before has no straight line: it is computed.
                    first_look(predictor, weighed, read, &few)
                        .map_or(f64::INFINITY, |outlook| further.ln_density(case, &outlook, &few))
                })
                .collect()
        })
        .collect();
    look_again(further, case, predictor, candidates, (rows, best, &bases), first)
}

/// Computes those that still count about their own most likely state, and those that count once these are known.
fn look_again(
    further: &Further,
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &mut [Candidate],
    (rows, before, bases): (&Rows, f64, &[f64]),
    mut found: Vec<Vec<f64>>,
) -> Vec<Vec<f64>> {
    loop {
        let best = candidates
            .iter()
            .zip(&found)
            .zip(bases)
            .flat_map(|((candidate, by), base)| {
                let nodes = candidate.nodes.iter().flatten().zip(by);
                nodes.map(move |(weighed, by)| base + weighed.ln_evidence + by)
            })
            .fold(f64::NEG_INFINITY, f64::max);
        // Where the values are at odds with everything, a straight line runs far from its operating point: nearly all are
        // computed then, as without a first look.
        let least = best - NEAR - 3.0 * (before - best).max(0.0);
        let mut changed = false;
        for ((candidate, by), base) in candidates.iter_mut().zip(&mut found).zip(bases) {
            let nodes = candidate.hypothesis.nodes.iter().zip(&mut candidate.nodes);
            let nodes = nodes.filter_map(|(node, weighed)| Some((node, weighed.as_mut()?)));
            for ((node, weighed), by) in nodes.zip(by) {
                let so_far = base + weighed.ln_evidence + *by;
                if weighed.outlook.is_some() || *by == f64::NEG_INFINITY || so_far < least {
                    continue;
                }
                weighed.outlook = outlook(predictor, node, weighed, rows);
                *by = weighed.outlook.as_ref().map_or(f64::NEG_INFINITY, |outlook| {
                    further.ln_density(case, outlook, rows)
                });
                changed = true;
            }
        }
        if !changed {
            return found;
        }
    }
}

/// What was read again with another instrument.
pub(crate) fn read_again(findings: &[Finding]) -> Vec<Observable> {
    let again = findings.iter().filter_map(|finding| match finding.test {
        Test::Again(observable) => Some(observable),
        _ => None,
    });
    again.collect()
}

/// The values of other instruments as a reading of their own.
fn as_reading(case: &Case<'_>, further: &Further) -> Readings {
    let noise = |(observable, value): &(Observable, f64)| fresh_noise(case, *observable, *value);
    Readings {
        observables: further.again.iter().map(|one| one.0).collect(),
        values: further.again.iter().map(|one| one.1).collect::<Vec<_>>().into(),
        noise: further.again.iter().map(noise).collect::<Vec<_>>().into(),
    }
}
