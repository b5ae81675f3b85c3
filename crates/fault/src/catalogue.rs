//! All that can be tested at a unit with usual tools, and the minutes that it takes.

use reading::{Field, Observed};
use unit::{StageKind, Unit};

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
    tests.push(Test::FreePermeate);
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
    let asked = |observed: Observed| case.reading.observed.contains(&observed);
    for observed in [
        Observed::RunsToDrainWhenFull,
        Observed::NoWater,
        Observed::Leak,
        Observed::TankDeliversLittle,
        Observed::UsesMore,
        Observed::AfterWork,
    ] {
        if !asked(observed) {
            tests.push(Test::Ask(observed));
        }
    }
    let pump = has(|kind| matches!(kind, StageKind::Pump { .. }));
    if pump && !asked(Observed::PumpSilent) {
        tests.push(Test::Ask(Observed::PumpSilent));
    }
    tests
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
        Test::FreePermeate => 10.0,
        Test::FlushValve => 1.0,
        Test::Restrictor => 20.0,
        Test::Cartridge(_) => 20.0,
        Test::RunOn => 32.0,
        Test::Ask(_) => 1.0,
    }
}

/// What a unit calls a stage or an element.
pub(crate) fn id(unit: &Unit, test: Test) -> Option<&str> {
    match test {
        Test::Probe(i) | Test::Read(Observable::ElementPermeate(i)) => {
            unit.membranes.elements.get(i).map(|element| element.id.as_str())
        }
        Test::Cartridge(i) | Test::Read(Observable::Pressure(Place::After(i))) => {
            unit.stages.get(i).map(|stage| stage.id.as_str())
        }
        _ => None,
    }
}
