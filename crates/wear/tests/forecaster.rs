//! A forecast that goes on with one more reading, and its fans: against fits from nothing, on the simulated practice cases.

mod practice;

use jiff::Timestamp;
use practice::{CASES, Case};
use wear::forecast::pool::PastLives;
use wear::forecast::{Forecaster, Limit, PartForecast, Prior, forecast};
use wear::{History, standardise};

fn part<'a>(parts: &'a [PartForecast], id: &str) -> &'a PartForecast {
    parts.iter().find(|part| part.id == id).unwrap()
}

/// A case up to one of its readings.
fn up_to(case: &Case, reading: usize) -> (History<'_>, Timestamp) {
    let at = case.readings[reading].at;
    let events = case.events.partition_point(|event| event.at <= at);
    let history = History {
        readings: &case.readings[..=reading],
        events: &case.events[..events],
        ..case.history()
    };
    (history, at)
}

/// How far two forecasts are apart, in the spread that the second tells: of ln(days + 10), whose size is what matters
/// to a plan. Where the calendar comes first, quantiles jump onto its day: there a tenth of a chance counts as three tenths.
fn apart(own: &[PartForecast], other: &[PartForecast]) -> f64 {
    let mut most: f64 = 0.0;
    for (a, b) in own.iter().zip(other) {
        if a.limit == Some(Limit::Age) && b.limit == Some(Limit::Age) {
            let chances = a.chance_within.iter().zip(b.chance_within);
            most = chances.fold(most, |most, (a, b)| most.max(3.0 * (a - b).abs()));
            continue;
        }
        let (Some(a), Some(b)) = (a.due_in_d, b.due_in_d) else {
            assert_eq!(a.due_in_d, b.due_in_d);
            continue;
        };
        let ln = |d: f64| (d + 10.0).ln();
        let spread = (ln(b.p90) - ln(b.p10)).max(0.2);
        for (a, b) in [(a.p10, b.p10), (a.p50, b.p50), (a.p90, b.p90)] {
            most = most.max((ln(a) - ln(b)).abs() / spread);
        }
    }
    most
}

#[test]
fn prop_one_more_reading_is_as_from_nothing() {
    // Over cases and readings near their end: added to what was known, against all of them fitted anew. Where the
    // reading can't be added all are fitted anew, and there is nothing to compare.
    let mut all = Vec::new();
    for line in CASES.lines().filter(|line| !line.trim().is_empty()).take(12) {
        let case = Case::of(line);
        let last = case.readings.len() - 1;
        for reading in [last - 3, last] {
            let (before, then) = up_to(&case, reading - 1);
            let (history, as_of) = up_to(&case, reading);
            let known = Forecaster::new(
                &before,
                &standardise(&before),
                then,
                &Prior::of(&case.unit, case.water.as_ref(), &PastLives::default()),
            );
            let standardisation = standardise(&history);
            let known = known.with_reading(&history, &standardisation, as_of);
            let added = known.parts();
            assert_eq!(added.len(), case.unit.part_ids().count());
            if known.added() > 0 {
                all.push(apart(&added, &forecast(&history, &standardisation, as_of)));
            }
        }
    }
    all.sort_by(f64::total_cmp);
    let (middle, worst) = (all[all.len() / 2], all[all.len() - 1]);
    // The stated tolerance: three tenths of the spread from p10 to p90 at worst, a tenth in the middle of all.
    assert!(middle < 0.1 && worst < 0.3, "{middle} {worst}: {all:?}");
    // Else it would be a test of nothing.
    assert!(all.len() >= 6, "{}", all.len());
}

#[test]
fn prop_many_readings_added_one_by_one_stay_near() {
    let case = Case::first();
    let last = case.readings.len() - 1;
    let (before, then) = up_to(&case, last - 6);
    let prior = Prior::of(&case.unit, case.water.as_ref(), &PastLives::default());
    let mut known = Forecaster::new(&before, &standardise(&before), then, &prior);
    for reading in last - 5..=last {
        let (history, as_of) = up_to(&case, reading);
        known = known.with_reading(&history, &standardise(&history), as_of);
    }
    let (history, as_of) = up_to(&case, last);
    let from_nothing = forecast(&history, &standardise(&history), as_of);
    // As above, six times over.
    let far = apart(&known.parts(), &from_nothing);
    assert!(far < 0.3, "{far}");
}

#[test]
fn regress_the_fan_meets_the_limit_when_due() {
    for line in CASES.lines().take(8) {
        let case = Case::of(line);
        let history = case.history();
        let forecaster = Forecaster::new(
            &history,
            &standardise(&history),
            case.as_of,
            &Prior::of(&case.unit, case.water.as_ref(), &PastLives::default()),
        );
        let parts = forecaster.parts();
        for fan in forecaster.fans(1500.0) {
            let first = fan.points.first().unwrap();
            assert_eq!(first.at, case.as_of);
            for pair in fan.points.windows(2) {
                assert!(pair[0].at < pair[1].at);
                let value = pair[1].value;
                assert!(value.p10 <= value.p50 && value.p50 <= value.p90);
            }
            // Where this limit alone makes the part due, half of the futures have met it on the likely day: the
            // fan's middle crosses within two of its steps of 47 days.
            let part = part(&parts, &fan.part);
            let due = part.due_in_d.unwrap();
            if part.limit != Some(fan.limit) || !(60.0..1300.0).contains(&due.p50) || due.p90 > 1500.0 {
                continue;
            }
            let falls = fan.limit == Limit::PermeateFlowDrop;
            let met = |value: f64| {
                if falls {
                    value <= fan.bound
                } else {
                    value >= fan.bound
                }
            };
            let crossing = fan
                .points
                .iter()
                .find(|point| met(point.value.p50))
                .map(|point| point.d);
            let late = crossing.map_or(f64::INFINITY, |d| d - due.p50);
            // Other limits can only make it due earlier.
            assert!(
                late > -100.0,
                "{}: {:?} {due:?} {crossing:?}",
                fan.part,
                fan.limit
            );
        }
    }
}
