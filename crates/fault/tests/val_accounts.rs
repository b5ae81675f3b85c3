//! Every figure of a diagnosis follows from the equation and the numbers that its account shows.
//!
//! The check is outside of the code that computes: the formula is read as text and worked out with the numbers that are shown
//! beside it. The readings are simulated (`reference/practice`).
#![allow(clippy::unwrap_used, reason = "a test stops at the first fault")]

mod common;

use std::collections::BTreeMap;

use account::Account;
use common::{Practice, practice};
use fault::interview::{Answer, Given, Standing, Step};
use fault::{Case, Condition, Fact, Figure, Known, accounts};
use reading::{Field, Reading};

/// What was said before anything is read, and what is measured once more after it.
fn interviews(case: &Practice) -> Vec<(Reading, Vec<Answer>)> {
    let mut tested = Vec::new();
    // Whatever is asked next after the whole reading: a look finds something, an instrument shows a little less.
    while tested.len() < 4 {
        let standing = case.interview_from(&case.reading, &tested);
        let Step::Ask(question) = standing.step else { break };
        let again = question.key.strip_prefix("again.").and_then(Field::from_name);
        let given = match again.and_then(|field| case.reading.get(field)) {
            Some(value) => Given::Value(0.97 * value),
            None if question.test.measures().is_none() => Given::Yes,
            None => Given::Skipped,
        };
        tested.push(Answer {
            key: question.key,
            given,
        });
    }
    // Chlorine behind the carbon, whatever else is wrong: two causes at once.
    let mut chlorine = case.reading.clone();
    chlorine.set(Field::FreeChlorineOut, Some(0.8));
    vec![
        (Reading::new(case.reading.at), Vec::new()),
        (chlorine, Vec::new()),
        (case.reading.clone(), Vec::new()),
        (case.reading.clone(), tested),
    ]
}

/// Every figure that a page may show of it, and its value.
fn figures<'a>(standing: &'a Standing, key: &'a str) -> Vec<(Figure<'a>, f64)> {
    let diagnosis = &standing.diagnosis;
    let mut all = Vec::new();
    let counted = diagnosis.causes.iter().filter(|one| one.probability > 1e-12);
    for ranked in counted {
        all.push((Figure::Chance(ranked.cause), ranked.probability));
        for (i, reason) in ranked.reasons.iter().enumerate() {
            all.push((Figure::Weight(ranked.cause, i), reason.bits.exp2()));
            if let Fact::Read {
                expected: Some(expected),
                ..
            } = &reason.fact
            {
                all.push((Figure::Expected(ranked.cause, i), *expected));
            }
        }
    }
    let rest = diagnosis.causes.iter().skip(3).map(|one| one.probability).sum();
    all.push((Figure::Rest(3), rest));
    all.extend(
        diagnosis
            .pairs
            .iter()
            .map(|pair| (Figure::Pair(pair.causes), pair.probability)),
    );
    all.extend(diagnosis.flow_ratio.map(|ratio| (Figure::Made, ratio)));
    all.extend(
        diagnosis
            .explained_by_conditions
            .map(|ratio| (Figure::Conditions, ratio)),
    );
    all.extend(
        diagnosis
            .changes
            .iter()
            .map(|change| (Figure::Condition(change.condition), change.ratio)),
    );
    if let Step::Ask(question) = &standing.step {
        all.push((Figure::Information(key), question.expected_information_bits));
        for (cause, value) in &question.test.expected {
            all.push((Figure::Shown(key, *cause), *value));
        }
    }
    all
}

#[test]
fn val_the_numbers_of_every_account_satisfy_its_equation() {
    let cases = practice();
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for case in cases.iter().step_by(29) {
        for (reading, answers) in interviews(case) {
            let standing = case.interview_from(&reading, &answers);
            let of = Case {
                unit: &case.unit,
                water: case.water.as_ref(),
                reading: &reading,
                baseline: case.baseline.as_ref(),
                readings: &[],
                events: &case.events,
            };
            let key = match &standing.step {
                Step::Ask(question) => question.key.as_str(),
                Step::End(_) => "",
            };
            for (figure, value) in figures(&standing, key) {
                let told = accounts(&of, &Known::default(), &answers, figure).unwrap();
                let told: Vec<Account> = told.unwrap_or_else(|| panic!("{} {figure:?}", case.id));
                // The figure told is the one that was shown, but for rounding.
                let first = told.first().unwrap();
                assert!(
                    (first.value - value).abs() <= 1e-9 + 1e-6 * value.abs(),
                    "{} {figure:?}: {} {value}",
                    case.id,
                    first.value
                );
                for account in &told {
                    assert_eq!(
                        account.holds(),
                        Ok(true),
                        "{} {figure:?} {} {:?}",
                        case.id,
                        account.equation.formula,
                        (
                            account.value,
                            account
                                .inputs
                                .iter()
                                .map(|one| (one.sign, one.value))
                                .collect::<Vec<_>>()
                        )
                    );
                    *seen.entry(account.equation.name).or_insert(0) += 1;
                }
            }
        }
    }
    let never: Vec<&str> = fault::equations()
        .iter()
        .map(|one| one.name)
        .filter(|name| !seen.contains_key(name))
        .collect();
    assert!(never.is_empty(), "never shown: {never:?}");
}

#[test]
fn regress_what_a_diagnosis_does_not_have_has_no_account() {
    let cases = practice();
    let case = cases.first().unwrap();
    let of = Case {
        unit: &case.unit,
        water: None,
        reading: &case.reading,
        baseline: None,
        readings: &[],
        events: &[],
    };
    for figure in [
        Figure::Made,
        Figure::Conditions,
        Figure::Condition(Condition::Feed),
        Figure::Rest(1000),
        Figure::Weight(fault::Cause::Sound, 1000),
        Figure::Expected(fault::Cause::NoFeed, 1000),
        Figure::Information("no-such-question"),
        Figure::Shown("no-such-question", fault::Cause::Sound),
    ] {
        let told = accounts(&of, &Known::default(), &[], figure).unwrap();
        assert_eq!(told, None, "{figure:?}");
    }
}
