//! The shares of a change multiply to the whole, whatever was read; and each goes to the cause that changed.

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use reading::{Field, Reading};
use wear::explain::{Cause, explain};
use wear::{History, standardise};

fn unit() -> unit::Unit {
    let text = include_str!("../../../reference/field-logs/a-potting-shed.toml");
    let document = casefile::Document::read("unit.toml", text.as_bytes()).expect("TOML");
    let faults = casefile::Faults::new();
    let top = casefile::Table::new(&document.tree, "", &faults);
    let unit = top.table("unit").and_then(casefile::unit_plan);
    let mut unit = faults.settle("unit.toml", unit).expect("a unit");
    // A booster, so that every cause can have a share.
    unit.stages.push(unit::Stage {
        id: "booster".to_owned(),
        kind: unit::StageKind::Pump {
            open_flow_l_h: 300.0,
            shutoff_kpa: 350.0,
        },
        clean_drop: None,
        inlet_valve: false,
        limit: unit::StageLimit::default(),
    });
    unit
}

fn at(day: i64) -> Timestamp {
    "2024-01-08T09:00:00Z"
        .parse::<Timestamp>()
        .expect("a time")
        .checked_add(SignedDuration::from_hours(24 * day))
        .expect("in range")
}

/// A reading with what is given; the rest is computed from the unit.
fn reading(day: i64, values: &[(Field, f64)]) -> Reading {
    values
        .iter()
        .fold(Reading::new(at(day)), |reading, (field, value)| {
            reading.with(*field, *value)
        })
}

fn random_reading(day: i64) -> impl Strategy<Value = Reading> {
    let always = (2.0..30.0f64, 10.0..90.0f64, 250.0..600.0f64);
    let gauges = (
        prop::option::of(250.0..700.0f64),
        prop::option::of(200.0..690.0f64),
        prop::option::of(0.0..60.0f64),
    );
    let rest = (
        prop::option::of(30.0..140.0f64),
        prop::option::of(100.0..2500.0f64),
        prop::option::of(3.0..200.0f64),
    );
    (always, gauges, rest).prop_map(
        move |((t, q, inlet), (membrane, concentrate, back), (qc, feed, permeate))| {
            let mut one = reading(
                day,
                &[
                    (Field::FeedTemperature, t),
                    (Field::PermeateFlow, q),
                    (Field::InletPressure, inlet),
                ],
            );
            one.set(Field::MembranePressure, membrane);
            one.set(Field::ConcentratePressure, concentrate);
            one.set(Field::PermeatePressure, back);
            one.set(Field::ConcentrateFlow, qc);
            one.set(Field::FeedConductivity, feed);
            one.set(Field::PermeateConductivity, permeate);
            one
        },
    )
}

proptest! {
    // 1e-9 is the contract's; the sums of logarithms keep about 1e-15.
    #[test]
    fn prop_the_shares_multiply_to_the_whole(first in random_reading(0), second in random_reading(400)) {
        let unit = unit();
        let readings = [first, second];
        let history = History { unit: &unit, water: None, readings: &readings, events: &[] };
        let standardisation = standardise(&history);
        // Readings without any driving pressure are refused, not explained.
        if let Ok(explanation) = explain(&history, &standardisation, 0, 1) {
            prop_assert_eq!(explanation.factors.len(), Cause::ALL.len());
            let product: f64 = explanation.factors.iter().map(|factor| factor.ratio).product();
            prop_assert!((product / explanation.total_ratio - 1.0).abs() < 1e-9);
            prop_assert!(explanation.factors.iter().all(|factor| factor.sd >= 0.0 && factor.ratio > 0.0));
            prop_assert!(!explanation.sentence.contains("NaN"));
        }
    }
}

/// The share of one cause between two readings.
fn share(first: &Reading, second: &Reading, cause: Cause) -> f64 {
    let unit = unit();
    let readings = [first.clone(), second.clone()];
    let history = History {
        unit: &unit,
        water: None,
        readings: &readings,
        events: &[],
    };
    let explanation = explain(&history, &standardise(&history), 0, 1).expect("complete");
    explanation
        .factors
        .iter()
        .find(|factor| factor.cause == cause)
        .map_or(f64::NAN, |factor| factor.ratio)
}

#[test]
fn each_change_is_its_own_cause() {
    let base = reading(
        0,
        &[
            (Field::FeedTemperature, 15.0),
            (Field::PermeateFlow, 40.0),
            (Field::InletPressure, 380.0),
            (Field::MembranePressure, 520.0),
            (Field::ConcentratePressure, 516.0),
            (Field::PermeatePressure, 0.0),
            (Field::ConcentrateFlow, 60.0),
            (Field::FeedConductivity, 600.0),
            (Field::PermeateConductivity, 20.0),
        ],
    );
    let changed = |changes: &[(Field, f64)]| {
        let mut one = changes
            .iter()
            .fold(base.clone(), |one, (field, value)| one.with(*field, *value));
        one.at = at(400);
        one
    };
    // ASTM D4516: 3 % per degree.
    let colder = changed(&[(Field::FeedTemperature, 5.0)]);
    assert!((share(&base, &colder, Cause::Temperature) - 1.03f64.powi(-10)).abs() < 1e-12);
    // Supply and membrane pressure down together by 60 kPa: all of it is the supply's.
    let weaker = changed(&[
        (Field::InletPressure, 320.0),
        (Field::MembranePressure, 460.0),
        (Field::ConcentratePressure, 456.0),
    ]);
    assert!(share(&base, &weaker, Cause::InletPressure) < 0.9);
    assert!((share(&base, &weaker, Cause::Prefilters) - 1.0).abs() < 0.01);
    // Membrane pressure down alone: the filters before it.
    let clogged = changed(&[
        (Field::MembranePressure, 440.0),
        (Field::ConcentratePressure, 436.0),
    ]);
    assert!(share(&base, &clogged, Cause::Prefilters) < 0.9);
    assert!((share(&base, &clogged, Cause::InletPressure) - 1.0).abs() < 1e-12);
    let held = changed(&[(Field::PermeatePressure, 100.0)]);
    assert!(share(&base, &held, Cause::PermeateBackPressure) < 0.85);
    let saltier = changed(&[(Field::FeedConductivity, 2000.0)]);
    assert!(share(&base, &saltier, Cause::OsmoticPressure) < 0.9);
    // Only the flow changed: it is the membrane.
    let worn = changed(&[(Field::PermeateFlow, 32.0)]);
    assert!(share(&base, &worn, Cause::Membrane) < 0.85);
}
