//! What other units' ended lives do for the first forecast of one that has told nothing yet, on the simulated practice cases
//! (`reference/practice/README.md`).

mod practice;

use practice::{CASES, Case};
use serde_json::Value;
use wear::forecast::pool::{Ending, PastLife, PastLives};
use wear::forecast::{Prior, behind, forecast_with, past_lives};
use wear::{History, standardise};

/// The scorer's loss of one quantile, on ln(1 + days/10).
fn pinball(told_d: f64, truth_d: f64, quantile: f64) -> f64 {
    let ln = |d: f64| (1.0 + d.clamp(0.0, 3652.5) / 10.0).ln();
    let off = ln(truth_d) - ln(told_d);
    (quantile * off).max((quantile - 1.0) * off)
}

/// A unit with what its filter lasted in the past, and the true days to the end of the one that is in.
struct Known {
    case: Case,
    told: PastLife,
    filter: String,
    truth_d: f64,
}

fn known() -> Vec<Known> {
    let each = CASES.lines().filter_map(|line| {
        let case = Case::of(line);
        let whole: Value = serde_json::from_str(line).unwrap();
        let told = *past_lives(&case.history(), case.as_of).filters.first()?;
        let parts = whole["truth"]["parts"].as_array().unwrap();
        let truth = parts.iter().find(|part| part["kind"] == "sediment")?;
        (truth["overdue"] == false).then(|| Known {
            told,
            filter: truth["ids"][0].as_str().unwrap().to_owned(),
            truth_d: truth["days"].as_f64().unwrap_or(3652.5),
            case,
        })
    });
    each.collect()
}

/// Loss of what is said of each of these units where nothing was read at it: alone, and with the others.
fn losses(units: &[&Known]) -> (f64, f64) {
    let (mut alone, mut with) = (0.0, 0.0);
    for (own, unit) in units.iter().enumerate() {
        let mut others = PastLives::default();
        for (_, other) in units.iter().enumerate().filter(|(other, _)| *other != own) {
            others.filters.push(other.told);
        }
        let history = History {
            readings: &[],
            ..unit.case.history()
        };
        let standardisation = standardise(&history);
        let loss = |past: &PastLives| {
            let prior = Prior::of(history.unit, history.water, past);
            let parts = forecast_with(&history, &standardisation, unit.case.as_of, &prior);
            let part = parts.iter().find(|part| part.id == unit.filter).unwrap();
            let due = part.due_in_d.unwrap();
            [(due.p10, 0.1), (due.p50, 0.5), (due.p90, 0.9)]
                .into_iter()
                .map(|(told, quantile)| pinball(told, unit.truth_d, quantile))
                .sum::<f64>()
        };
        alone += loss(&PastLives::default());
        with += loss(&others);
    }
    (alone, with)
}

#[test]
fn regress_other_units_tell_what_filters_last_in_their_valley() {
    let all = known();
    assert!(all.len() > 30, "{}", all.len());
    assert!(all.iter().all(|one| matches!(one.told.ending, Ending::Fitted(_))));
    // Two valleys: one where filters last long, one where they do not. What is said of a unit whose filter was never read is
    // better for what the others there have told.
    let mut by_length: Vec<&Known> = all.iter().collect();
    by_length.sort_by(|a, b| a.told.length.total_cmp(&b.told.length));
    let third = by_length.len() / 3;
    for valley in [&by_length[..third], &by_length[by_length.len() - third..]] {
        let (alone, with) = losses(valley);
        assert!(with < 0.95 * alone, "{with} with the others, {alone} alone");
    }
}

#[test]
fn prop_what_is_told_stays_until_the_next_change() {
    // Whatever is read after the last change of a filter moves nothing of it.
    for line in CASES.lines().take(12) {
        let case = Case::of(line);
        let history = case.history();
        let Some((cut, at)) = behind(&history, case.as_of) else {
            continue;
        };
        assert!(cut.readings.iter().all(|reading| reading.at <= at));
        assert!(cut.readings.len() < history.readings.len() || cut.events.len() < history.events.len());
        assert_eq!(past_lives(&history, case.as_of), past_lives(&cut, at));
    }
}

#[test]
fn regress_a_unit_that_was_never_changed_tells_nothing() {
    let mut case = Case::first();
    assert!(!past_lives(&case.history(), case.as_of).is_empty());
    case.events.retain(|event| !event.renews());
    assert!(behind(&case.history(), case.as_of).is_none());
    assert!(past_lives(&case.history(), case.as_of).is_empty());
}
