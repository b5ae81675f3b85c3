//! What speaks for a cause and what against it, one thing that is known at a time.
//!
//! The weight of evidence of one thing (I. J. Good, "Weight of evidence", 1985): how much likelier it is under this cause than
//! under all the others together. What was measured at one unit hangs together, and two values that say the same would each
//! weigh nothing once the other is given; so a value's weight is the mean of what it weighs alone and what it weighs after all
//! the others (two of the orders over which a Shapley value is the mean).

mod account;
mod signs;
mod values;

use quantity::Kind;
use reading::Observed;

use crate::Case;
use crate::candidate::Candidate;
use crate::cause::Cause;
use crate::circumstances::Circumstances;
use crate::diagnose::Ranked;
use crate::evidence::Finding;
use crate::gaussian::ln_sum;
use crate::observable::Readings;
use crate::test_to_make::TestToMake;

use signs::{of_circumstances, of_further, of_signs};
use values::of_values;

pub(crate) use account::{EQUATIONS, of_expected, of_weight};

/// Something that is known.
#[derive(Clone, Debug, PartialEq)]
pub enum Fact {
    /// A value that was read.
    Read {
        /// The field that it stands in.
        field: &'static str,
        /// The part of it, where the field has several.
        part: Option<String>,
        /// What it measures.
        kind: Kind,
        /// What was read, in the base unit.
        read: f64,
        /// What this cause would have it read, by everything else that was read; none where nothing computes it.
        expected: Option<f64>,
    },
    /// What was seen or complained of.
    Observed(Observed),
    /// What was asked for and is not so.
    Denied(Observed),
    /// What a look has found, or not.
    Looked {
        /// The look.
        test: TestToMake,
        /// Whether what it looks for was there.
        found: bool,
    },
    /// What was read again with other instruments, or with the permeate line off.
    ReadAgain,
    /// That it gives no water.
    NoWater,
    /// What is known of the unit beside this reading: ages, forecast, feed, how long it has been running.
    Circumstances,
}

/// How something that is known speaks for a cause, or against it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// What is known.
    pub fact: Fact,
    /// How much likelier it is under this cause than under all others together, as a binary logarithm: positive speaks for
    /// the cause, negative against it.
    pub bits: f64,
}

/// Causes less probable than this are given no reasons.
const COUNTS: f64 = 0.003;
/// Less than this tells nothing either way.
const TELLS_BITS: f64 = 0.15;
/// More than this is beyond any doubt, and as far as a likelihood is to be believed.
const MOST_BITS: f64 = 12.0;

/// What something that is known weighs under each cause.
struct Weights {
    fact: Fact,
    /// By cause: probability before it and likelihood of it; each pair of columns is one order in which it may be learnt.
    orders: Vec<(Vec<f64>, Vec<f64>)>,
    /// By cause: what this cause would have the value be.
    expected: Vec<Option<f64>>,
}

impl Weights {
    /// How much likelier it is under this cause than under all others together, bits.
    fn bits(&self, cause: usize) -> Option<f64> {
        let each = self.each(cause)?;
        let sum: f64 = each.iter().map(|(here, others)| (here / others).log2()).sum();
        (!each.is_empty()).then(|| sum / each.len() as f64)
    }

    /// By order: how likely it is under this cause, and under all others together.
    fn each(&self, cause: usize) -> Option<Vec<(f64, f64)>> {
        let mut found = Vec::with_capacity(self.orders.len());
        for (before, likelihood) in &self.orders {
            let others = || {
                before
                    .iter()
                    .zip(likelihood)
                    .enumerate()
                    .filter(|(i, (before, _))| *i != cause && **before > 0.0)
                    .map(|(_, pair)| pair)
            };
            let chance: f64 = others().map(|(before, _)| before).sum();
            let joint: f64 = others().map(|(before, likelihood)| before * likelihood).sum();
            // Where one cause has left all others behind there is nothing to hold it against any more.
            let (here, others) = (*likelihood.get(cause)?, joint / chance);
            if (here / others).log2().is_finite() {
                found.push((here, others));
            }
        }
        Some(found)
    }
}

/// Everything that is known, with what it weighs; nothing where no cause has a probability.
fn known(
    case: &Case<'_>,
    of: &Circumstances<'_>,
    candidates: &[Candidate],
    (read, no_feed): (&Readings, &[f64]),
    findings: &[Finding],
) -> Vec<Weights> {
    let whole = ln_sum(candidates.iter().map(|one| one.ln_weight));
    let mut chance = vec![0.0; Cause::COUNT];
    for candidate in candidates {
        if let Some(sum) = chance.get_mut(index(candidate.hypothesis.cause)) {
            *sum += (candidate.ln_weight - whole).exp();
        }
    }
    if chance.iter().any(|chance| !chance.is_finite()) {
        return Vec::new();
    }
    let mut known = of_values(case, candidates, (read, no_feed), whole);
    known.extend(of_signs(case, findings, &chance));
    known.extend(of_circumstances(of, &chance));
    known.extend(of_further(candidates, &chance, whole, findings));
    known
}

/// Puts its reasons to each cause that still counts; `no_feed` is ln of the likelihood of each value where no feed comes.
pub(crate) fn reasons(
    case: &Case<'_>,
    of: &Circumstances<'_>,
    candidates: &[Candidate],
    (read, no_feed): (&Readings, &[f64]),
    findings: &[Finding],
    causes: &mut [Ranked],
) {
    let known = known(case, of, candidates, (read, no_feed), findings);
    for ranked in causes.iter_mut().filter(|one| one.probability >= COUNTS) {
        let cause = index(ranked.cause);
        ranked.reasons = known
            .iter()
            .filter_map(|weights| {
                let bits = weights.bits(cause)?;
                if !bits.is_finite() || bits.abs() < TELLS_BITS {
                    return None;
                }
                let mut fact = weights.fact.clone();
                if let Fact::Read { expected, .. } = &mut fact {
                    *expected = weights.expected.get(cause).copied().flatten();
                }
                Some(Reason {
                    fact,
                    bits: bits.clamp(-MOST_BITS, MOST_BITS),
                })
            })
            .collect();
        ranked
            .reasons
            .sort_by(|a, b| b.bits.abs().total_cmp(&a.bits.abs()));
    }
}

fn index(cause: Cause) -> usize {
    Cause::ALL.iter().position(|one| *one == cause).unwrap_or(0)
}
