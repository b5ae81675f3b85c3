//! The interview against the simulated faults of `reference/practice`, whose truth is known.
#![allow(clippy::unwrap_used, reason = "a test stops at the first fault")]

mod common;

use common::{Practice, practice};
use fault::Cause;
use fault::interview::{Answer, BEYOND_DOUBT, End, Given, Standing, Step, parse_answer, questions};
use reading::{Field, Reading};

fn probability(standing: &Standing, cause: Cause) -> f64 {
    let causes = &standing.diagnosis.causes;
    causes
        .iter()
        .find(|one| one.cause == cause)
        .map_or(f64::NAN, |one| one.probability)
}

/// Puts questions until the end, answered by `reply`; the answers, and where it ended.
fn through(case: &Practice, reading: &Reading, reply: impl Fn(&str) -> Given) -> (Vec<Answer>, Standing) {
    let mut answers: Vec<Answer> = Vec::new();
    let most = questions(&case.unit).len();
    loop {
        let standing = case.interview_from(reading, &answers);
        let Step::Ask(question) = &standing.step else {
            return (answers, standing);
        };
        assert!(
            answers.iter().all(|one| one.key != question.key),
            "{} was asked before",
            question.key
        );
        assert!(!question.test.text().is_empty() && !question.test.how().is_empty());
        assert!(question.expected_information_bits > 0.0 && question.test.minutes() > 0.0);
        answers.push(Answer {
            key: question.key.clone(),
            given: reply(&question.key),
        });
        assert!(answers.len() <= most, "it does not end");
    }
}

#[test]
fn val_suggested_tests_need_fewer_than_a_fixed_order() {
    // Against the walk round the unit, on every third case with all instruments; the bench prints both numbers of all.
    let cases = practice();
    let (mut suggested, mut fixed) = (0, 0);
    for case in cases.iter().filter(|case| case.full).step_by(3) {
        suggested += case.effort(true).tests;
        fixed += case.effort(false).tests;
    }
    assert!(suggested < fixed, "{suggested} {fixed}");
}

#[test]
fn val_an_answer_counts_as_the_reading_it_is() {
    // By Bayes' theorem the order in which evidence comes in does not matter, nor the form in which it does.
    let cases = practice();
    for case in cases.iter().filter(|case| case.full).step_by(20) {
        let whole = case.diagnose().unwrap();
        let mut empty = Reading::new(case.reading.at);
        empty.set(Field::RunningFor, case.reading.get(Field::RunningFor));
        let answers: Vec<Answer> = case
            .values()
            .into_iter()
            .map(|(key, value)| Answer {
                key,
                given: Given::Value(value),
            })
            .collect();
        let forward = case.interview_from(&empty, &answers);
        let backward: Vec<Answer> = answers.into_iter().rev().collect();
        assert_eq!(forward, case.interview_from(&empty, &backward), "{}", case.id);
        for one in &whole.causes {
            // 1e-9: the same computation on the same reading.
            assert!(
                (probability(&forward, one.cause) - one.probability).abs() < 1e-9,
                "{}",
                case.id
            );
        }
    }
}

#[test]
fn val_the_telephone_finds_what_only_it_can_find() {
    // The causes that show only so, with what the contract says that they do (section 6).
    let cases = practice();
    let case = cases
        .iter()
        .find(|case| case.unit.stages.iter().any(|one| one.id == "booster"))
        .unwrap();
    let empty = Reading::new(case.reading.at);
    for (yes, no, cause) in [
        ("observed.runs_to_drain_when_full", "", Cause::ShutoffLeaking),
        ("observed.uses_more", "", Cause::DemandUp),
        ("", "observed.no_water", Cause::NoFeed),
    ] {
        let before = case.interview_from(&empty, &[]);
        let ask = |key: &str, given| Answer {
            key: key.to_owned(),
            given,
        };
        let said = if no.is_empty() {
            ask(yes, Given::Yes)
        } else {
            ask(no, Given::No)
        };
        let contrary = if no.is_empty() {
            ask(yes, Given::No)
        } else {
            ask(no, Given::Yes)
        };
        let after = case.interview_from(&empty, std::slice::from_ref(&said));
        assert!(
            probability(&after, cause) > 5.0 * probability(&before, cause),
            "{cause:?}"
        );
        // What speaks for it speaks against it when it is denied: by the total probability.
        let denied = case.interview_from(&empty, &[contrary]);
        assert!(
            probability(&denied, cause) < probability(&before, cause),
            "{cause:?}"
        );
    }
    // With nothing read, questions come first: they cost a word.
    let Step::Ask(first) = case.interview_from(&empty, &[]).step else {
        panic!("nothing is certain yet");
    };
    assert_eq!(first.test.action(), "ask");
}

#[test]
fn val_another_instrument_finds_the_one_that_reads_wrong() {
    // The case's own truth says which instrument is wrong and by how much; another one of its kind shows what is true.
    let cases = practice();
    let (mut rose, mut fell, mut n) = (0, 0, 0);
    for case in cases
        .iter()
        .filter(|case| case.full && case.cause == "meter_fault")
    {
        let first = case.diagnose().unwrap();
        let before = first
            .causes
            .iter()
            .find(|one| one.cause == Cause::MeterFault)
            .unwrap();
        let field = before.part.clone().unwrap();
        let key = format!("again.{field}");
        let Some(read) = Field::from_name(&field).and_then(|field| case.reading.get(field)) else {
            continue;
        };
        n += 1;
        let again = |value| {
            let answer = Answer {
                key: key.clone(),
                given: Given::Value(value),
            };
            probability(&case.interview_from(&case.reading, &[answer]), Cause::MeterFault)
        };
        // The same value once more: it was not the instrument.
        fell += usize::from(again(read) < before.probability);
        // One that differs by a third, up or down as the truth may be: it was.
        rose += usize::from(again(read * 1.4).max(again(read / 1.4)) > before.probability);
    }
    assert!(n >= 3, "{n}");
    assert_eq!((fell, rose), (n, n));
}

#[test]
fn val_taking_the_line_off_tells_back_pressure() {
    // ASTM D4516 (`model.md` 4): what is taken off the permeate's pressure is added to the net driving pressure, so that the
    // flow comes back where the line was held up, and only there.
    let cases = practice();
    let case = cases
        .iter()
        .find(|case| case.cause == "permeate_back_pressure" && !case.full)
        .unwrap();
    let before = case.interview_from(&case.reading, &[]);
    let flow = case.reading.get(Field::PermeateFlow).unwrap();
    let freed = |factor: f64| {
        let answer = Answer {
            key: "permeate_flow_free".to_owned(),
            given: Given::Value(flow * factor),
        };
        let standing = case.interview_from(&case.reading, &[answer]);
        probability(&standing, Cause::PermeateBackPressure)
    };
    let prior = probability(&before, Cause::PermeateBackPressure);
    assert!(
        freed(1.3) > prior && freed(1.0) < prior,
        "{} {prior} {}",
        freed(1.3),
        freed(1.0)
    );
}

#[test]
fn prop_every_question_can_be_skipped() {
    let cases = practice();
    for case in cases.iter().step_by(37) {
        let empty = Reading::new(case.reading.at);
        let (answers, standing) = through(case, &empty, |_| Given::Skipped);
        assert_eq!(standing.step, Step::End(End::NothingMoreHelps));
        assert!(answers.len() > 5, "{}", answers.len());
        // Nothing was learnt: as before the first question.
        let first = case.interview_from(&empty, &[]);
        assert_eq!(standing.diagnosis.causes, first.diagnosis.causes);
        assert_eq!(standing.reading, empty);
    }
}

#[test]
fn prop_it_stops_when_one_cause_is_beyond_doubt() {
    let cases = practice();
    let mut ended = 0;
    for case in cases.iter().filter(|case| case.full).step_by(16) {
        let values = case.values();
        let empty = Reading::new(case.reading.at);
        let (answers, standing) = through(case, &empty, |key| {
            values
                .get(key)
                .map_or(Given::Skipped, |value| Given::Value(*value))
        });
        let most = standing.diagnosis.causes[0].probability;
        match standing.step {
            Step::End(End::BeyondDoubt) => {
                assert!(most >= BEYOND_DOUBT);
                ended += 1;
                // Not before: without the last answer it was not.
                let before = case.interview_from(&empty, &answers[..answers.len() - 1]);
                assert!(matches!(before.step, Step::Ask(_)));
            }
            // A pair may leave it open although one is far ahead of the other single causes.
            Step::End(End::NothingMoreHelps) => {
                assert!(most < BEYOND_DOUBT || !standing.diagnosis.pairs.is_empty());
            }
            Step::Ask(_) => unreachable!("it has ended"),
        }
    }
    assert!(ended > 0, "none was ever certain");
}

#[test]
fn regress_answers_in_any_unit_and_bad_ones_named() {
    let cases = practice();
    let unit = &cases[0].unit;
    let value = |key: &str, text: &str| match parse_answer(unit, key, text) {
        Ok(Answer {
            given: Given::Value(value),
            ..
        }) => value,
        other => panic!("{key} {text}: {other:?}"),
    };
    // By definition of the units (NIST SP 811, appendix B.8); 1e-9: rounding of a few products.
    for (key, text, expected) in [
        ("permeate_flow", "500 mL in 60 s", 30.0),
        ("inlet_pressure", "4.0 bar", 400.0),
        ("feed_temperature", "50 F", 10.0),
        ("permeate_conductivity", "0.042 mS/cm", 42.0),
        ("permeate_conductivity", "21 ppm @0.5", 42.0),
        ("again.permeate_conductivity", "42", 42.0),
        ("permeate_flow_free", "0.5 L/min", 30.0),
        ("free_chlorine_out", "0.1 mg/L", 0.1),
    ] {
        assert!(
            (value(key, text) - expected).abs() < 1e-9 * expected,
            "{key} {text}"
        );
    }
    for text in ["", "  ", "skip"] {
        assert_eq!(
            parse_answer(unit, "permeate_flow", text).unwrap().given,
            Given::Skipped
        );
    }
    assert_eq!(
        parse_answer(unit, "observed.leak", "Y").unwrap().given,
        Given::Yes
    );
    assert_eq!(
        parse_answer(unit, "observed.leak", "no").unwrap().given,
        Given::No
    );
    for (key, text, named) in [
        ("observed.leak", "perhaps", "yes, no"),
        ("permeate_flow", "a lot", "permeate_flow"),
        ("permeate_flow", "12 psi", "flow"),
        ("permeate_flow", "-3", "0 to 1000000 L/h"),
        ("feed_temperature", "400", "-10 to 120 C"),
        ("permeate_conductivity", "21 ppm", "0.7"),
        ("sediment_colour", "brown", "permeate_flow"),
    ] {
        let said = parse_answer(unit, key, text).unwrap_err().to_string();
        assert!(said.contains(named) && said.contains(key), "{said}");
    }
}

#[test]
fn regress_keys_are_one_for_each_question() {
    for case in practice().iter().step_by(10) {
        let mut keys: Vec<String> = questions(&case.unit).into_iter().map(|one| one.0).collect();
        let n = keys.len();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), n);
    }
}
