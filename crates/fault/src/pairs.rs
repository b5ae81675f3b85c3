//! Two causes at once, where no single one explains what was read.

mod account;

use crate::Case;
use crate::candidate::{Candidate, candidates_of};
use crate::cause::Cause;
use crate::circumstances::feed_chlorine;
use crate::diagnose::Pair;
use crate::evidence::{Finding, ln_found};
use crate::gaussian::ln_sum;
use crate::hypothesis::Node;
use crate::observable::Readings;
use crate::predict::Predictor;
use crate::signs::{ln_chemistry, ln_observed};
use crate::state::Unknown;
use crate::weigh::{Scales, shifted, weigh_plain, with_conditions};

pub(crate) use account::{EQUATIONS, of_pair};

/// How much likelier than by chance two faults are to be there at once; under 1, since somebody looks after the unit
/// (common practice, no source).
const TOGETHER: f64 = 0.3;
/// Spent carbon is what lets chlorine at the membranes.
const SPENT_AND_OXIDISED: f64 = 5.0;
/// Chi-square per value read above which no single cause explains it.
const UNEXPLAINED: f64 = 2.2;
/// Causes that are paired, and severities of each.
const CAUSES: usize = 5;
const SEVERITIES: usize = 3;
/// A pair less probable than this is not worth a line.
const WORTH: f64 = 0.05;

/// The best single explanation's chi-square per value read.
fn unexplained(candidates: &[Candidate], read: &Readings) -> f64 {
    let count = read.observables.len().max(1) as f64;
    candidates
        .iter()
        .flat_map(|one| one.nodes.iter().flatten())
        .map(|weighed| weighed.innovation().square(&weighed.residual) / count)
        .fold(f64::INFINITY, f64::min)
}

/// Fouling and scale are one deposit on one membrane, in any proportion: together they fit more, and tell no more.
fn one_deposit(a: Cause, b: Cause) -> bool {
    let deposit = |cause| matches!(cause, Cause::MembraneFouled | Cause::MembraneScaled);
    deposit(a) && deposit(b)
}

/// Both at once.
fn both(a: &Node, b: &Node) -> Node {
    let mut node = a.clone();
    node.shifts.extend(&b.shifts);
    node.spreads.extend(&b.spreads);
    node.fixed.extend(&b.fixed);
    node
}

/// Every so manieth severity, with half a step more spread on each side.
fn few(nodes: &[Node]) -> Vec<Node> {
    // Of two faults at once neither is taken to be of the rare severities.
    let usual: Vec<&Node> = nodes.iter().filter(|node| node.ln_often >= 0.0).collect();
    let step = usual.len().div_ceil(SEVERITIES).max(1);
    let chosen: Vec<&Node> = usual.into_iter().skip(step / 2).step_by(step).collect();
    chosen
        .iter()
        .enumerate()
        .map(|(i, node)| {
            let other = if i == 0 { chosen.get(1) } else { chosen.get(i - 1) };
            let mut node = (*node).clone();
            node.ln_often = 0.0;
            if let Some(other) = other {
                let gap = |unknown: Unknown, by: f64| {
                    other
                        .shifts
                        .iter()
                        .find(|one| one.0 == unknown)
                        .map_or(0.0, |one| (one.1 - by).abs())
                };
                let wide: Vec<(Unknown, f64)> = node
                    .shifts
                    .iter()
                    .map(|(unknown, by)| (*unknown, 0.4 * gap(*unknown, *by)))
                    .collect();
                node.spreads.extend(wide);
            }
            node
        })
        .collect()
}

/// Pairs that explain it better than either of the two alone.
pub(crate) fn pairs(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &[Candidate],
    scales: &Scales<'_>,
    findings: &[Finding],
) -> Vec<Pair> {
    let weighed = weighed(case, predictor, candidates, scales, findings);
    let all = candidates.iter().map(|one| one.ln_weight);
    let whole = ln_sum([ln_sum(all), ln_sum(weighed.iter().map(|one| one.ln_weight))]);
    let alone = |cause: Cause| ln_sum(candidates_of(candidates, cause).map(|one| one.ln_weight));
    let mut found: Vec<Pair> = weighed
        .into_iter()
        .filter(|one| {
            let [a, b] = one.causes;
            one.ln_weight > alone(a) && one.ln_weight > alone(b)
        })
        .map(|one| Pair {
            causes: one.causes,
            probability: (one.ln_weight - whole).exp(),
        })
        .filter(|pair| pair.probability >= WORTH)
        .collect();
    found.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    found
}

/// Two causes at once, weighed as a single one is.
struct Both {
    causes: [Cause; 2],
    /// How much likelier than by chance they are together.
    together: f64,
    /// Share of each, of all causes, before anything is read.
    chances: [f64; 2],
    /// ln of frequency times likelihood.
    ln_weight: f64,
}

/// Every pair that is looked at.
fn weighed(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &[Candidate],
    scales: &Scales<'_>,
    findings: &[Finding],
) -> Vec<Both> {
    let mut weighed: Vec<Both> = Vec::new();
    let mut singles: Vec<&Candidate> = Vec::new();
    // The likeliest part of each cause stands for it.
    for one in candidates {
        if !one.chance.is_finite() || one.hypothesis.instrument.is_some() || one.nodes.is_empty() {
            continue;
        }
        match singles
            .iter_mut()
            .find(|other| other.hypothesis.cause == one.hypothesis.cause)
        {
            Some(other) if other.ln_weight < one.ln_weight => *other = one,
            Some(_) => {}
            None => singles.push(one),
        }
    }
    singles.retain(|one| one.hypothesis.cause != Cause::Sound && one.hypothesis.cause != Cause::JustStarted);
    singles.sort_by(|a, b| b.ln_weight.total_cmp(&a.ln_weight));
    let signs = |a: Cause, b: Cause| {
        // Either of the two may have made each sign.
        let chlorine = feed_chlorine(case);
        let chemistry = ln_chemistry(a, case.reading, case.unit, chlorine).max(ln_chemistry(
            b,
            case.reading,
            case.unit,
            chlorine,
        ));
        let observed: f64 = case
            .reading
            .observed
            .iter()
            .map(|one| ln_observed(a, &[*one]).max(ln_observed(b, &[*one])))
            .sum();
        let found: f64 = findings
            .iter()
            .map(|one| ln_found(&[*one], case, a).max(ln_found(&[*one], case, b)))
            .sum();
        chemistry + observed + found
    };
    if let Some(spent) = candidates
        .iter()
        .find(|one| one.hypothesis.cause == Cause::CarbonSpent)
    {
        for one in &singles {
            let cause = one.hypothesis.cause;
            let linked = if cause == Cause::MembraneOxidised {
                SPENT_AND_OXIDISED
            } else {
                1.0
            };
            let together = TOGETHER * linked;
            let ln = (together * spent.chance * one.chance).ln()
                + one.ln_hydraulic
                + signs(Cause::CarbonSpent, cause);
            weighed.push(Both {
                causes: [Cause::CarbonSpent, cause],
                together,
                chances: [spent.chance, one.chance],
                ln_weight: ln,
            });
        }
    }
    if unexplained(candidates, scales.read) > UNEXPLAINED {
        singles.truncate(CAUSES);
        for (i, a) in singles.iter().enumerate() {
            for b in singles.iter().skip(i + 1) {
                if one_deposit(a.hypothesis.cause, b.hypothesis.cause) {
                    continue;
                }
                let (first, second) = (few(&a.hypothesis.nodes), few(&b.hypothesis.nodes));
                let mut terms = Vec::new();
                for x in &first {
                    for y in &second {
                        let node = both(x, y);
                        let prior = shifted(predictor, scales.prior, &node);
                        let about = with_conditions(predictor, &prior, scales.read, None);
                        terms.push(
                            weigh_plain(predictor, &node, prior, &about, scales.read)
                                .map_or(f64::NEG_INFINITY, |found| found.ln_evidence),
                        );
                    }
                }
                let count = terms.len().max(1) as f64;
                let ln = (TOGETHER * a.chance * b.chance).ln() + ln_sum(terms) - count.ln()
                    // As well as the better of the two: what is read again is weighed for single causes only.
                    + a.ln_further.max(b.ln_further)
                    + signs(a.hypothesis.cause, b.hypothesis.cause);
                weighed.push(Both {
                    causes: [a.hypothesis.cause, b.hypothesis.cause],
                    together: TOGETHER,
                    chances: [a.chance, b.chance],
                    ln_weight: ln,
                });
            }
        }
    }
    weighed
}
