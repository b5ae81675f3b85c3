//! The replay of real changes, on simulated units (`reference/practice/README.md`).

#[expect(
    dead_code,
    reason = "a replay asks at each change, not at a time of the case's"
)]
mod practice;

use practice::{CASES, Case};
use reading::Field;
use wear::History;
use wear::backtest::{Assumptions, Backtest, Others, backtest};
use wear::lives::days;

fn replayed(cases: &[Case]) -> Backtest {
    let histories: Vec<History<'_>> = cases.iter().map(Case::history).collect();
    backtest(&histories, Others::Told, &Assumptions::default())
}

#[test]
fn regress_changes_of_simulated_units() {
    let cases: Vec<Case> = CASES.lines().take(3).map(Case::of).collect();
    let found = replayed(&cases);
    assert!(found.changes.len() >= 3, "{}", found.changes.len());
    for change in &found.changes {
        assert!(change.age_d > 0.0 && change.due_age_d > 0.0, "{change:?}");
        // A part younger than the lead was not there to be forecast.
        for (lead, told) in [30.0, 90.0, 180.0].into_iter().zip(change.told) {
            assert_eq!(told.is_some(), lead < change.age_d, "{change:?}");
        }
    }
    let [month, _, _] = found.scores;
    assert_eq!(
        month.due + month.early,
        found
            .changes
            .iter()
            .filter(|change| change.told[0].is_some())
            .count()
    );
    assert!(found.as_made.money.is_finite() && found.as_made.money > 0.0);
    assert_eq!(found.as_made.changes, found.by_calendar.changes);
    assert_eq!(found.as_made.changes, found.by_forecast.changes);
    assert!(!found.sentence.is_empty());
}

#[test]
fn regress_only_what_was_known_counts() {
    let mut case = Case::of(CASES.lines().next().unwrap());
    // Its installation and first two changes are enough.
    case.events.truncate(5);
    let end = case.events.last().unwrap().at;
    case.readings.retain(|reading| reading.at <= end);
    let before = replayed(std::slice::from_ref(&case));
    let change = before
        .changes
        .iter()
        .find(|change| change.told[0].is_some())
        .expect("a change with a forecast")
        .clone();
    // Whatever is read within the last thirty days says nothing of what was told before.
    for reading in &mut case.readings {
        if days(reading.at, change.at) < 29.9 {
            let flow = reading.get(Field::PermeateFlow);
            reading.set(Field::PermeateFlow, flow.map(|flow| 0.8 * flow));
        }
    }
    let after = replayed(std::slice::from_ref(&case));
    let same = after
        .changes
        .iter()
        .find(|other| other.at == change.at && other.part == change.part)
        .expect("the same change");
    assert_eq!(same.told[0], change.told[0]);
}

#[test]
fn regress_nothing_to_replay_says_so() {
    let none = backtest(&[], Others::Told, &Assumptions::default());
    assert!(none.changes.is_empty());
    assert!(none.sentence.contains("nothing to tell"), "{}", none.sentence);
    let mut case = Case::of(CASES.lines().next().unwrap());
    case.readings.clear();
    let unread = replayed(&[case]);
    assert!(
        unread
            .changes
            .iter()
            .all(|change| change.used_fraction.is_finite())
    );
}
