//! What speaks for a cause and what against it, one thing that is known at a time.
//!
//! The weight of evidence of one thing (I. J. Good, "Weight of evidence", 1985): how much likelier it is under this cause than
//! under all the others together. What was measured at one unit hangs together, and two values that say the same would each
//! weigh nothing once the other is given; so a value's weight is the mean of what it weighs alone and what it weighs after all
//! the others (two of the orders over which a Shapley value is the mean).

use quantity::Kind;
use reading::{Field, Observed, Reading};

use crate::Case;
use crate::candidate::Candidate;
use crate::catalogue::{Test, id};
use crate::cause::Cause;
use crate::circumstances::{Circumstances, feed_chlorine};
use crate::diagnose::Ranked;
use crate::evidence::{Finding, Shown};
use crate::frequency::frequency;
use crate::gaussian::{contaminated, ln_sum};
use crate::next_test::chance_found;
use crate::observable::{Observable, Readings, gives_nothing};
use crate::signs::{chance_observed, ln_chemistry, ln_nothing};
use crate::state::Place;
use crate::test_to_make::{TestToMake, kind};
use crate::weigh::Weighed;

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
/// Severities less probable than this change no weight of evidence that is shown.
const FAINT: f64 = 1e-4;
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
        let (mut sum, mut orders) = (0.0, 0_u8);
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
            let bits = (likelihood.get(cause)? * chance / joint).log2();
            if bits.is_finite() {
                sum += bits;
                orders += 1;
            }
        }
        (orders > 0).then(|| sum / f64::from(orders))
    }
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
    let whole = ln_sum(candidates.iter().map(|one| one.ln_weight));
    let mut chance = vec![0.0; Cause::COUNT];
    for candidate in candidates {
        if let Some(sum) = chance.get_mut(index(candidate.hypothesis.cause)) {
            *sum += (candidate.ln_weight - whole).exp();
        }
    }
    if chance.iter().any(|chance| !chance.is_finite()) {
        return;
    }
    let mut known = of_values(case, candidates, (read, no_feed), whole);
    known.extend(of_signs(case, findings, &chance));
    known.extend(of_circumstances(of, &chance));
    known.extend(of_further(candidates, &chance, whole, findings));
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
fn of_values(
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

/// What depends on the cause alone: its likelihood under each.
fn by_cause(fact: Fact, chance: &[f64], ln: impl Fn(Cause) -> f64) -> Weights {
    let likelihood: Vec<f64> = Cause::ALL.iter().map(|cause| ln(*cause).exp()).collect();
    let before = chance.iter().zip(&likelihood).map(|(after, by)| after / by);
    Weights {
        fact,
        orders: vec![(before.collect(), likelihood)],
        expected: Vec::new(),
    }
}

/// Chlorine, hardness, what comes after a resin, complaints, looks, and that no water comes.
fn of_signs(case: &Case<'_>, findings: &[Finding], chance: &[f64]) -> Vec<Weights> {
    let mut found = Vec::new();
    let reading = case.reading;
    let feed = feed_chlorine(case);
    let mut chemistry =
        |field: &'static str, part: Option<String>, kind: Kind, value: Option<f64>, without: Reading| {
            let Some(value) = value else { return };
            let fact = Fact::Read {
                field,
                part,
                kind,
                read: value,
                expected: None,
            };
            found.push(by_cause(fact, chance, |cause| {
                ln_chemistry(cause, reading, case.unit, feed) - ln_chemistry(cause, &without, case.unit, feed)
            }));
        };
    let chlorine = crate::signs::chlorine_out(reading, case.unit);
    let mut without = reading.clone();
    without.set(Field::FreeChlorineOut, None);
    without.set(Field::TotalChlorineOut, None);
    without.chlorine_after_mg_l.clear();
    chemistry(
        Field::FreeChlorineOut.name(),
        None,
        Kind::Concentration,
        chlorine,
        without,
    );
    let mut without = reading.clone();
    without.set(Field::HardnessOut, None);
    let hardness = reading.get(Field::HardnessOut);
    chemistry(Field::HardnessOut.name(), None, Kind::AsCaco3, hardness, without);
    if let Some((id, value)) = reading.conductivity_after_us_cm.iter().next() {
        let mut without = reading.clone();
        without.conductivity_after_us_cm.clear();
        let part = Some(id.clone());
        chemistry(
            "conductivity_after",
            part,
            Kind::Conductivity,
            Some(*value),
            without,
        );
    }
    let mut seen = reading.observed.clone();
    seen.sort_unstable();
    seen.dedup();
    found.extend(seen.into_iter().map(|one| {
        by_cause(Fact::Observed(one), chance, |cause| {
            chance_observed(one, cause).ln()
        })
    }));
    for finding in findings {
        let Shown::Found(there) = finding.shown else {
            continue;
        };
        let fact = match finding.test {
            Test::Ask(observed) => Fact::Denied(observed),
            test => Fact::Looked {
                test: TestToMake::new(test, case.unit, &[]),
                found: there,
            },
        };
        found.push(by_cause(fact, chance, |cause| {
            let chance = chance_found(finding.test, case.unit, cause).unwrap_or(0.5);
            if there { chance } else { 1.0 - chance }.ln()
        }));
    }
    if gives_nothing(reading) {
        found.push(by_cause(Fact::NoWater, chance, ln_nothing));
    }
    found
}

/// How much more often a cause is met in these circumstances than where nothing is known of the unit.
fn of_circumstances(of: &Circumstances<'_>, chance: &[f64]) -> Option<Weights> {
    let usual = Circumstances {
        water: None,
        feed_chlorine_mg_l: None,
        sediment_used: None,
        carbon_used: None,
        scaling: None,
        running_min: None,
        ..*of
    };
    let ln = |cause: Cause| {
        let (here, elsewhere) = (frequency(cause, of), frequency(cause, &usual));
        if here > 0.0 && elsewhere > 0.0 {
            (here / elsewhere).ln()
        } else {
            0.0
        }
    };
    Cause::ALL
        .iter()
        .any(|cause| ln(*cause).abs() > 1e-9)
        .then(|| by_cause(Fact::Circumstances, chance, ln))
}

/// What other instruments, or the permeate line taken off, have added.
fn of_further(candidates: &[Candidate], chance: &[f64], whole: f64, findings: &[Finding]) -> Option<Weights> {
    let any = findings.iter().any(|one| matches!(one.shown, Shown::Value(_)));
    let mut without = vec![0.0; chance.len()];
    for candidate in candidates {
        let weight = (candidate.ln_weight - whole - candidate.ln_further).exp();
        if let Some(sum) = without.get_mut(index(candidate.hypothesis.cause))
            && weight.is_finite()
        {
            *sum += weight;
        }
    }
    let likelihood = chance
        .iter()
        .zip(&without)
        .map(|(after, before)| if *before > 0.0 { after / before } else { 0.0 });
    any.then(|| Weights {
        fact: Fact::ReadAgain,
        orders: vec![(without.clone(), likelihood.collect())],
        expected: Vec::new(),
    })
}
