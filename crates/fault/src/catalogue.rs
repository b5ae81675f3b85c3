//! All that can be tested at a unit with usual tools, and the minutes that it takes.

use reading::{Field, Observed};
use unit::{PolishKind, StageKind, TankKind, Unit};

use crate::Case;
use crate::observable::{Observable, Readings};
use crate::signs::chlorine_out;
use crate::state::Place;

/// A test that can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Test {
    /// Read something that has not been read.
    Read(Observable),
    /// Read something again with another instrument.
    Again(Observable),
    /// Compare the permeate of one element with the whole.
    Probe(usize),
    /// Measure chlorine after the carbon.
    Chlorine,
    /// Measure hardness after the softener.
    Hardness,
    /// Measure the conductivity after a polishing resin.
    Resin(usize),
    /// Take the permeate line off and time the flow again.
    FreePermeate,
    /// See whether the flush valve is shut.
    FlushValve,
    /// Take the restrictor out and look at it.
    Restrictor,
    /// Open the housing of a stage and look at its cartridge.
    Cartridge(usize),
    /// Let it run half an hour and read the permeate again.
    RunOn,
    /// Ask the customer, or look.
    Ask(Observed),
}

/// All tests that can be made at this unit and have not been.
pub(crate) fn catalogue(case: &Case<'_>, read: &Readings) -> Vec<Test> {
    let unit = case.unit;
    let mut tests = Vec::new();
    let has = |is: fn(&StageKind) -> bool| unit.stages.iter().any(|stage| is(&stage.kind));
    for observable in Observable::all(unit) {
        let taken = read.index(observable).is_some();
        match observable {
            Observable::ElementPermeate(i) => {
                if !taken && unit.membranes.elements.len() > 1 {
                    tests.push(Test::Probe(i));
                }
            }
            // The gauge behind the last stage is the one at the membranes.
            Observable::Pressure(Place::After(i)) => {
                if !taken && i + 1 < unit.stages.len() {
                    tests.push(Test::Read(observable));
                }
            }
            _ if taken => tests.push(Test::Again(observable)),
            _ => tests.push(Test::Read(observable)),
        }
    }
    if has(|kind| matches!(kind, StageKind::Carbon { .. })) && chlorine_out(case.reading, unit).is_none() {
        tests.push(Test::Chlorine);
    }
    if has(|kind| matches!(kind, StageKind::Softener { .. }))
        && case.reading.get(Field::HardnessOut).is_none()
    {
        tests.push(Test::Hardness);
    }
    let bed = |one: &unit::Polish| one.kind == PolishKind::MixedBed;
    for (i, one) in unit.permeate.polish.iter().enumerate() {
        if bed(one) && !case.reading.conductivity_after_us_cm.contains_key(&one.id) {
            tests.push(Test::Resin(i));
        }
    }
    // What the flow is with the line off says something only against what it was with it.
    if read.index(Observable::PermeateFlow).is_some() {
        tests.push(Test::FreePermeate);
    }
    if unit.concentrate.flush_valve {
        tests.push(Test::FlushValve);
    }
    tests.push(Test::Restrictor);
    for (i, stage) in unit.stages.iter().enumerate() {
        if matches!(stage.kind, StageKind::Sediment { .. } | StageKind::Carbon { .. }) {
            tests.push(Test::Cartridge(i));
        }
    }
    if case
        .reading
        .get(Field::RunningFor)
        .is_none_or(|minutes| minutes < 15.0)
    {
        tests.push(Test::RunOn);
    }
    for observed in Observed::ALL {
        if can_be_seen(observed, unit) && !case.reading.observed.contains(&observed) {
            tests.push(Test::Ask(observed));
        }
    }
    tests
}

/// Whether this can be seen at this unit at all.
fn can_be_seen(observed: Observed, unit: &Unit) -> bool {
    match observed {
        Observed::PumpSilent | Observed::PumpShortCycles => unit
            .stages
            .iter()
            .any(|stage| matches!(stage.kind, StageKind::Pump { .. })),
        Observed::TankDeliversLittle => matches!(
            unit.permeate.tank.map(|tank| tank.kind),
            Some(TankKind::Pressurised { .. })
        ),
        _ => true,
    }
}

/// Every test that may be asked for at this unit, whatever has been read.
pub(crate) fn every(unit: &Unit) -> Vec<Test> {
    let mut tests = Vec::new();
    for observable in Observable::all(unit) {
        tests.push(match observable {
            Observable::ElementPermeate(i) if unit.membranes.elements.len() > 1 => Test::Probe(i),
            other => Test::Read(other),
        });
        tests.push(Test::Again(observable));
    }
    tests.extend([Test::Chlorine, Test::Hardness]);
    tests.extend((0..unit.permeate.polish.len()).map(Test::Resin));
    tests.extend([Test::FreePermeate, Test::FlushValve, Test::Restrictor]);
    tests.extend((0..unit.stages.len()).map(Test::Cartridge));
    tests.push(Test::RunOn);
    tests.extend(Observed::ALL.map(Test::Ask));
    tests
}

/// One of every kind of test, at the first part of all.
pub(crate) fn every_kind() -> Vec<Test> {
    let readable = [
        Observable::Temperature,
        Observable::Pressure(Place::Inlet),
        Observable::Pressure(Place::Membrane),
        Observable::Pressure(Place::Concentrate),
        Observable::Pressure(Place::Permeate),
        Observable::Pressure(Place::After(0)),
        Observable::PermeateFlow,
        Observable::ConcentrateFlow,
        Observable::FeedConductivity,
        Observable::PermeateConductivity,
        Observable::ElementPermeate(0),
    ];
    let mut tests: Vec<Test> = readable
        .into_iter()
        .flat_map(|one| [Test::Read(one), Test::Again(one)])
        .collect();
    tests.extend([
        Test::Chlorine,
        Test::Hardness,
        Test::Resin(0),
        Test::FreePermeate,
        Test::FlushValve,
        Test::Restrictor,
        Test::Cartridge(0),
        Test::RunOn,
    ]);
    tests.extend(Observed::ALL.map(Test::Ask));
    tests
}

/// The name by which an answer says which test it belongs to; one for each test of a unit.
///
/// Without a unit: a name for each kind of test, whichever part it is made at.
pub(crate) fn key(test: Test, unit: Option<&Unit>) -> String {
    let of = |name: &str| {
        unit.and_then(|unit| id(unit, test))
            .map_or_else(|| name.to_owned(), |id| format!("{name}.{id}"))
    };
    match test {
        Test::Read(observable) => of(observable.field()),
        Test::Probe(i) => of(Observable::ElementPermeate(i).field()),
        Test::Again(observable) => of(&format!("again.{}", observable.field())),
        Test::Chlorine => Field::FreeChlorineOut.name().to_owned(),
        Test::Hardness => Field::HardnessOut.name().to_owned(),
        Test::Resin(_) => of("conductivity_after"),
        Test::FreePermeate => "permeate_flow_free".to_owned(),
        Test::FlushValve => "flush_valve".to_owned(),
        Test::Restrictor => "restrictor".to_owned(),
        Test::Cartridge(_) => of("cartridge"),
        Test::RunOn => "run_half_an_hour".to_owned(),
        Test::Ask(observed) => format!("observed.{}", observed.name()),
    }
}

/// Minutes of work (common practice, no source).
#[expect(
    clippy::match_same_arms,
    reason = "one line for each test reads better than one for each time"
)]
pub(crate) fn minutes(test: Test) -> f64 {
    match test {
        Test::Read(observable) | Test::Again(observable) => match observable {
            Observable::Temperature => 1.0,
            Observable::FeedConductivity | Observable::PermeateConductivity => 2.0,
            Observable::PermeateFlow | Observable::ConcentrateFlow => 4.0,
            Observable::Pressure(Place::After(_)) => 12.0,
            Observable::Pressure(_) => 6.0,
            Observable::ElementPermeate(_) => 5.0,
        },
        Test::Probe(_) => 8.0,
        Test::Chlorine => 4.0,
        Test::Hardness => 5.0,
        Test::Resin(_) => 2.0,
        Test::FreePermeate => 10.0,
        Test::FlushValve => 1.0,
        Test::Restrictor => 20.0,
        Test::Cartridge(_) => 20.0,
        Test::RunOn => 32.0,
        Test::Ask(_) => 1.0,
    }
}

/// What a unit calls a stage, an element or a polishing item.
pub(crate) fn id(unit: &Unit, test: Test) -> Option<&str> {
    match test {
        Test::Probe(i)
        | Test::Read(Observable::ElementPermeate(i))
        | Test::Again(Observable::ElementPermeate(i)) => {
            unit.membranes.elements.get(i).map(|element| element.id.as_str())
        }
        Test::Cartridge(i)
        | Test::Read(Observable::Pressure(Place::After(i)))
        | Test::Again(Observable::Pressure(Place::After(i))) => {
            unit.stages.get(i).map(|stage| stage.id.as_str())
        }
        Test::Resin(i) => unit.permeate.polish.get(i).map(|one| one.id.as_str()),
        _ => None,
    }
}
