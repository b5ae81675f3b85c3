//! What must hold of every diagnosis, whatever was read.
#![allow(clippy::unwrap_used, reason = "a test stops at the first fault")]

mod common;

use common::practice;
use fault::{Cause, Diagnosis};
use proptest::prelude::*;
use reading::{Field, Observed, Reading};

fn probability(diagnosis: &Diagnosis, cause: Cause) -> f64 {
    diagnosis
        .causes
        .iter()
        .find(|one| one.cause == cause)
        .map_or(f64::NAN, |one| one.probability)
}

fn check(diagnosis: &Diagnosis) {
    assert_eq!(diagnosis.causes.len(), Cause::COUNT);
    let sum: f64 = diagnosis.causes.iter().map(|one| one.probability).sum();
    // 1e-9: two dozen additions.
    assert!((sum - 1.0).abs() < 1e-9, "{sum}");
    assert!(
        diagnosis
            .causes
            .windows(2)
            .all(|two| two[0].probability >= two[1].probability)
    );
    assert!(diagnosis.causes.iter().all(|one| one.probability >= 0.0));
    if let Some(test) = &diagnosis.next_test {
        // More than the causes' entropy can't be learnt.
        let entropy: f64 = diagnosis
            .causes
            .iter()
            .filter(|one| one.probability > 0.0)
            .map(|one| -one.probability * one.probability.log2())
            .sum();
        assert!(test.expected_information_bits >= 0.0);
        // 0.05: faint severities are left out of the test's outlook.
        assert!(test.expected_information_bits <= entropy + 0.05);
        assert!(!test.sentence.is_empty());
    }
    for pair in &diagnosis.pairs {
        assert!(pair.probability > 0.0 && pair.probability <= 1.0);
    }
}

#[test]
fn prop_a_cause_that_moves_nothing_read_keeps_its_odds_against_a_sound_unit() {
    // A leaking shut-off and a grown demand change no flow and no pressure: whatever was measured, their odds against a sound
    // unit stay those of the frequencies, which one empty reading shows.
    let cases = practice();
    for case in cases.iter().step_by(15) {
        let empty = Reading::new(case.reading.at).with(Field::RunningFor, 30.0);
        let before = case.diagnose_this(&empty).unwrap();
        let after = case.diagnose().unwrap();
        for cause in [Cause::ShutoffLeaking, Cause::DemandUp] {
            let odds = |d: &Diagnosis| probability(d, cause) / probability(d, Cause::Sound);
            // Relative 1e-6: rounding of logarithms.
            assert!(
                (odds(&after) / odds(&before) - 1.0).abs() < 1e-6,
                "{}: {cause:?} {} {}",
                case.id,
                odds(&before),
                odds(&after)
            );
        }
    }
}

#[test]
fn prop_complaints_raise_their_own_cause() {
    let cases = practice();
    let case = cases.iter().find(|case| case.cause == "sound").unwrap();
    for (observed, cause) in [
        (Observed::RunsToDrainWhenFull, Cause::ShutoffLeaking),
        (Observed::NoWater, Cause::NoFeed),
        (Observed::UsesMore, Cause::DemandUp),
        (Observed::AfterWork, Cause::SealAfterWork),
        (Observed::TasteOrSmell, Cause::CarbonSpent),
    ] {
        let mut reading = Reading::new(case.reading.at);
        let before = case.diagnose_this(&reading).unwrap();
        reading.observed.push(observed);
        let after = case.diagnose_this(&reading).unwrap();
        assert!(
            probability(&after, cause) > probability(&before, cause),
            "{cause:?}"
        );
        check(&after);
    }
}

proptest! {
    // Sixty-four wild readings: each costs some dozens of milliseconds.
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn prop_wild_readings_never_panic(
        which in 0_usize..150,
        values in proptest::collection::vec((0_usize..Field::COUNT, prop_oneof![
            Just(0.0), Just(f64::NAN), Just(f64::INFINITY), Just(-1e9), Just(1e9), -200.0_f64..2000.0, 1e-6_f64..1.0
        ]), 0..8),
        seen in proptest::collection::vec(0_usize..12, 0..4),
    ) {
        let cases = practice();
        let case = &cases[which % cases.len()];
        let mut reading = case.reading.clone();
        for (field, value) in values {
            reading.set(Field::ALL[field], Some(value));
        }
        reading.observed = seen.into_iter().map(|i| Observed::ALL[i]).collect();
        let diagnosis = case.diagnose_this(&reading).unwrap();
        check(&diagnosis);
    }
}
