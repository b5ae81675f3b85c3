//! When a mixed bed is used up: against closed forms, on a unit of the simulated practice cases with a bed added to it.

mod practice;

use practice::Case;
use reading::{Event, EventKind, Field, Reading};
use unit::{Polish, PolishKind};
use wear::forecast::{Basis, Limit, PartForecast, forecast};
use wear::lives::after;
use wear::standardise;

/// Eight litres at 0.5 eq/L, renewed on the day of the first reading.
fn with_bed(volume_l: f64) -> Case {
    let mut case = Case::first();
    case.unit.permeate.polish.push(Polish {
        id: "resin".to_owned(),
        kind: PolishKind::MixedBed,
        resin_volume_l: Some(volume_l),
        capacity_eq_l: Some(0.5),
        age_limit_d: None,
    });
    case
}

fn bed(case: &Case) -> PartForecast {
    let history = case.history();
    let parts = forecast(&history, &standardise(&history), case.as_of);
    parts.into_iter().find(|part| part.id == "resin").unwrap()
}

/// The bed is new so many days before the case's time.
fn renewed(mut case: Case, days_ago: f64) -> Case {
    let at = after(case.as_of, -days_ago);
    case.events
        .push(Event::new(at, EventKind::Changed, Some("resin")));
    case.events.sort_by_key(|event| event.at);
    case
}

/// A reading of the permeate before and after the bed, so many days ago.
fn read(case: &mut Case, days_ago: f64, before_us_cm: f64, after_us_cm: f64) {
    let mut reading =
        Reading::new(after(case.as_of, -days_ago)).with(Field::PermeateConductivity, before_us_cm);
    reading
        .conductivity_after_us_cm
        .insert("resin".to_owned(), after_us_cm);
    case.readings.push(reading);
    case.readings.sort_by_key(|reading| reading.at);
}

#[test]
fn val_a_new_bed_lasts_its_capacity_over_its_load() {
    // 4 eq over 0.3 meq/L of carbon dioxide and what the permeate's meter reads as sodium chloride at this water's own
    // 0.4957 mg/L per uS/cm (58.4428 g/mol), at the stated 270 L a day.
    let case = renewed(with_bed(8.0), 0.5);
    let mut read: Vec<f64> = case
        .readings
        .iter()
        .filter_map(|reading| reading.get(Field::PermeateConductivity))
        .filter(|us_cm| *us_cm < 200.0)
        .collect();
    read.sort_by(f64::total_cmp);
    let us_cm = read[read.len() / 2];
    let eq_l = us_cm * (690.0 / 1392.0) / 58.4428 / 1e3 + 0.3e-3;
    let days = 8.0 * 0.5 / eq_l / 270.0;
    let told = bed(&case);
    let due = told.due_in_d.unwrap();
    assert_eq!(told.limit, Some(Limit::Volume));
    // A quarter: slips among the readings, the wander of use, the membranes' rising salt passage.
    assert!((due.p50 / days).ln().abs() < 0.25, "{due:?} and {days}");
    assert!(due.p10 < 0.8 * due.p50 && due.p90 > 1.2 * due.p50, "{due:?}");
    // Twice the bed, twice as long; 5 %: the membranes let through more by then.
    let double = bed(&renewed(with_bed(16.0), 0.5)).due_in_d.unwrap();
    assert!(
        (double.p50 / due.p50 / 2.0).ln().abs() < 0.05,
        "{double:?} and {due:?}"
    );
}

#[test]
fn regress_a_bed_that_was_seen_to_hold_has_life_left() {
    let blind = bed(&renewed(with_bed(8.0), 60.0));
    let due = blind.due_in_d.unwrap();
    assert!(
        due.p50 <= 0.0 && blind.used_fraction.unwrap().p50 > 1.0,
        "{blind:?}"
    );
    let mut seen = renewed(with_bed(8.0), 60.0);
    read(&mut seen, 1.0, 30.0, 0.8);
    let seen = bed(&seen);
    let due = seen.due_in_d.unwrap();
    assert!(
        due.p50 > 0.0 && seen.used_fraction.unwrap().p50 <= 1.02,
        "{seen:?}"
    );
    assert_eq!(seen.basis, Basis::Readings);
}

#[test]
fn regress_a_bed_that_lets_salt_through_twice_is_due_now() {
    let mut case = renewed(with_bed(80.0), 20.0);
    read(&mut case, 5.0, 30.0, 12.0);
    assert!(
        bed(&case).due_in_d.unwrap().p50 > 0.0,
        "one reading may be a slip"
    );
    read(&mut case, 1.0, 30.0, 14.0);
    let told = bed(&case);
    assert!(told.due_in_d.unwrap().p90 <= 0.0, "{told:?}");
}
