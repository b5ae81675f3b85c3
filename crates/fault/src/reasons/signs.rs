//! What weighs by the cause alone: chemistry, complaints, looks, what is known of the unit; and what was read again.

use quantity::Kind;
use reading::{Field, Reading};

use super::{Fact, Weights, index};
use crate::Case;
use crate::candidate::Candidate;
use crate::catalogue::Test;
use crate::cause::Cause;
use crate::circumstances::{Circumstances, feed_chlorine};
use crate::evidence::{Finding, Shown};
use crate::frequency::frequency;
use crate::next_test::chance_found;
use crate::observable::gives_nothing;
use crate::signs::{chance_observed, ln_chemistry, ln_nothing};
use crate::test_to_make::TestToMake;

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
pub(super) fn of_signs(case: &Case<'_>, findings: &[Finding], chance: &[f64]) -> Vec<Weights> {
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
pub(super) fn of_circumstances(of: &Circumstances<'_>, chance: &[f64]) -> Option<Weights> {
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
pub(super) fn of_further(
    candidates: &[Candidate],
    chance: &[f64],
    whole: f64,
    findings: &[Finding],
) -> Option<Weights> {
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
