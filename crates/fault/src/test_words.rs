//! A test in English: how it is done, what each result would mean, and what to mind. What is worded here and nowhere else is
//! what the command line prints; other languages word the same names.

use quantity::Kind;
use reading::Observed;

use crate::catalogue::Test;
use crate::cause::Cause;
use crate::observable::Observable;
use crate::state::Place;
use crate::test_to_make::Caution;

/// Its name in answers.
pub(crate) fn action(test: Test) -> &'static str {
    match test {
        Test::Read(Observable::Temperature) => "read_temperature",
        Test::Read(Observable::Pressure(Place::Inlet)) => "read_inlet_pressure",
        Test::Read(Observable::Pressure(Place::Membrane)) => "read_membrane_pressure",
        Test::Read(Observable::Pressure(Place::Concentrate)) => "read_concentrate_pressure",
        Test::Read(Observable::Pressure(Place::Permeate)) => "read_permeate_pressure",
        Test::Read(Observable::Pressure(Place::After(_))) => "read_pressure_after_stage",
        Test::Read(Observable::PermeateFlow) => "time_permeate",
        Test::Read(Observable::ConcentrateFlow) => "time_concentrate",
        Test::Read(Observable::FeedConductivity) => "read_feed_conductivity",
        Test::Read(Observable::PermeateConductivity) => "read_permeate_conductivity",
        Test::Read(Observable::ElementPermeate(_)) | Test::Probe(_) => "probe_element_permeate",
        Test::Again(Observable::Pressure(_)) => "swap_gauge",
        Test::Again(Observable::PermeateFlow | Observable::ConcentrateFlow) => "time_again",
        Test::Again(Observable::Temperature) => "swap_thermometer",
        Test::Again(_) => "swap_meter",
        Test::Chlorine => "test_chlorine_after_carbon",
        Test::Hardness => "test_hardness_after_softener",
        Test::Resin(_) => "read_conductivity_after_resin",
        Test::FreePermeate => "disconnect_permeate_line",
        Test::FlushValve => "look_at_flush_valve",
        Test::Restrictor => "look_at_restrictor",
        Test::Cartridge(_) => "look_at_cartridge",
        Test::RunOn => "run_half_an_hour",
        Test::Ask(_) => "ask",
    }
}

/// The field that its result is entered in.
pub(crate) fn field(test: Test) -> Option<&'static str> {
    match test {
        Test::Read(observable) | Test::Again(observable) => Some(observable.field()),
        Test::Probe(i) => Some(Observable::ElementPermeate(i).field()),
        Test::Chlorine => Some("free_chlorine_out"),
        Test::Hardness => Some("hardness_out"),
        Test::Resin(_) => Some("conductivity_after"),
        Test::FreePermeate => Some("permeate_flow"),
        Test::RunOn => Some("permeate_conductivity"),
        Test::Ask(_) => Some("observed"),
        Test::FlushValve | Test::Restrictor | Test::Cartridge(_) => None,
    }
}

/// How it is done.
pub(crate) fn how(test: Test, part: &str) -> String {
    match test {
        Test::Read(observable) => read(observable, part),
        Test::Again(observable) => again(observable).to_owned(),
        Test::Probe(_) => format!(
            "Measure the conductivity of the permeate of {part} alone and of the whole with the same meter."
        ),
        Test::Chlorine => {
            "Take water after the last carbon stage and measure its free chlorine within a minute.".to_owned()
        }
        Test::Hardness => "Take water after the softener and measure its hardness.".to_owned(),
        Test::Resin(_) => format!("Measure the conductivity of the water after {part}."),
        Test::FreePermeate => {
            "Take the permeate line off after the membranes, let it run free for a few minutes and time the permeate again."
                .to_owned()
        }
        Test::FlushValve => "See whether the flush valve round the restrictor is shut tight.".to_owned(),
        Test::Restrictor => "Take the restrictor out and look whether it is free of scale.".to_owned(),
        Test::Cartridge(_) => format!("Open the housing of {part} and look at its cartridge."),
        Test::RunOn => "Let it run half an hour to drain and read the permeate's conductivity again.".to_owned(),
        Test::Ask(observed) => asked(observed).0.to_owned(),
    }
}

/// What is answered by yes or no, and whether yes is the answer that finds something; none where a value is read.
pub(crate) fn yes_or_no(test: Test, part: &str) -> Option<(String, bool)> {
    Some(match test {
        Test::FlushValve => ("Is the flush valve shut tight?".to_owned(), false),
        Test::Restrictor => ("Is there scale in the restrictor?".to_owned(), true),
        Test::Cartridge(_) => (format!("Is the cartridge of {part} slimed or packed?"), true),
        Test::RunOn => (
            "Has the permeate's conductivity fallen by a fifth or more?".to_owned(),
            true,
        ),
        Test::Ask(observed) => {
            let (question, found) = asked(observed);
            let question = ["Ask, or see: ", "Ask: "]
                .iter()
                .find_map(|start| question.strip_prefix(start))
                .unwrap_or(question);
            (crate::words::capitalised(question), found)
        }
        _ => return None,
    })
}

fn read(observable: Observable, part: &str) -> String {
    match observable {
        Observable::Temperature => "Hold a thermometer into the running feed.".to_owned(),
        Observable::Pressure(Place::Inlet) => "Read a gauge before the first stage while it runs.".to_owned(),
        Observable::Pressure(Place::Membrane) => {
            "Read a gauge at the feed of the first membrane while it runs.".to_owned()
        }
        Observable::Pressure(Place::Concentrate) => {
            "Read a gauge on the concentrate before the restrictor while it runs.".to_owned()
        }
        Observable::Pressure(Place::Permeate) => {
            "Read a gauge on the permeate line while it runs.".to_owned()
        }
        Observable::Pressure(Place::After(_)) => format!("Read a gauge after {part} while it runs."),
        Observable::PermeateFlow => "Time the permeate into a measuring jug.".to_owned(),
        Observable::ConcentrateFlow => "Time the concentrate into a bucket at the drain.".to_owned(),
        Observable::FeedConductivity => "Measure the conductivity of the feed.".to_owned(),
        Observable::PermeateConductivity => {
            "Measure the conductivity of the permeate before any polishing.".to_owned()
        }
        Observable::ElementPermeate(_) => format!("Measure the conductivity of the permeate of {part}."),
    }
}

fn again(observable: Observable) -> &'static str {
    match observable {
        Observable::Temperature => "Read the feed's temperature again with another thermometer.",
        Observable::Pressure(Place::Inlet) => "Read the inlet pressure again with another gauge.",
        Observable::Pressure(Place::Membrane) => "Read the membrane pressure again with another gauge.",
        Observable::Pressure(Place::Concentrate) => "Read the concentrate pressure again with another gauge.",
        Observable::Pressure(Place::Permeate) => "Read the permeate pressure again with another gauge.",
        Observable::Pressure(Place::After(_)) => {
            "Read the pressure between the stages again with another gauge."
        }
        Observable::PermeateFlow => "Time the permeate again, with another vessel and a longer fill.",
        Observable::ConcentrateFlow => "Time the concentrate again, with another vessel and a longer fill.",
        Observable::FeedConductivity => {
            "Measure the feed's conductivity again with another meter, or check this one in a fresh standard first."
        }
        Observable::PermeateConductivity | Observable::ElementPermeate(_) => {
            "Measure the permeate's conductivity again with another meter, or check this one in a fresh standard first."
        }
    }
}

/// What is asked, and whether yes is what is observed: nobody can answer a question that is put the wrong way round.
fn asked(observed: Observed) -> (&'static str, bool) {
    match observed {
        Observed::RunsToDrainWhenFull => (
            "Ask, or see: with the tank full, does water still run to the drain?",
            true,
        ),
        Observed::NoWater => ("Ask: does any water come at all?", false),
        Observed::PumpSilent => ("Ask: does the pump hum when the tank is not full?", false),
        Observed::PumpShortCycles => ("Ask: does the pump start and stop every few moments?", true),
        Observed::Leak => ("Ask: is there water where none should be?", true),
        Observed::TankNeverFull => ("Ask: is the tank ever full?", false),
        Observed::TankDeliversLittle => ("Ask: does a full tank give only little before it is empty?", true),
        Observed::UsesMore => ("Ask: is more water drawn than before?", true),
        Observed::TasteOrSmell => ("Ask: does the water taste or smell?", true),
        Observed::BrownWater => ("Ask: is the water brown?", true),
        Observed::JustStarted => ("Ask: has it stood still until just now?", true),
        Observed::AfterWork => (
            "Ask: has anybody worked on the unit since it was last right?",
            true,
        ),
    }
}

/// The unit in which an observable is expected.
fn shown(test: Test, value: f64) -> String {
    let digits = |x: f64| {
        if x.abs() < 10.0 {
            format!("{x:.1}")
        } else {
            format!("{x:.0}")
        }
    };
    match test {
        Test::Read(Observable::Pressure(_)) | Test::Again(Observable::Pressure(_)) => {
            format!("{value:.0} kPa")
        }
        Test::Read(Observable::PermeateFlow | Observable::ConcentrateFlow)
        | Test::Again(Observable::PermeateFlow | Observable::ConcentrateFlow)
        | Test::FreePermeate => format!("{} L/h", digits(value)),
        Test::Read(Observable::Temperature) | Test::Again(Observable::Temperature) => format!("{value:.1} C"),
        _ => format!("{} uS/cm", digits(value)),
    }
}

/// What each result would mean.
pub(crate) fn meaning(test: Test, expected: &[(Cause, f64)]) -> String {
    let words = |cause: &Cause| cause.name().replace('_', " ");
    match test {
        Test::Chlorine => {
            "More than the limit after it means spent carbon; none speaks against it.".to_owned()
        }
        Test::Hardness => "More than a trace means that the softener is exhausted.".to_owned(),
        Test::Resin(_) => {
            "Nearly as much as before it means that the resin is used up; a small part of it speaks against it.".to_owned()
        }
        Test::FlushValve => {
            "Open or weeping: that is why too much runs to drain. Shut: the restrictor itself is the suspect."
                .to_owned()
        }
        Test::Restrictor => {
            "Scale in it means a blocked restrictor; a clean one speaks against it.".to_owned()
        }
        Test::Cartridge(_) => {
            "Slimed or packed: it is the blockage. Clean: look further down the line.".to_owned()
        }
        Test::RunOn => "If it falls, it was the standstill; if it stays, it is a fault.".to_owned(),
        Test::Ask(observed) => match observed {
            Observed::RunsToDrainWhenFull => "Yes points to a leaking shut-off or check valve; no speaks against it.",
            Observed::NoWater | Observed::PumpSilent => {
                "If not: look at tap, plug and switches first."
            }
            Observed::PumpShortCycles => "Yes points to a leaking valve, a tank without air or a starved pump.",
            Observed::Leak => "Yes points to a seal or a tube, the more so after work.",
            Observed::TankNeverFull => "If not: too little is made, or more is drawn than before.",
            Observed::TankDeliversLittle => "Yes points to a tank that has lost its air.",
            Observed::UsesMore => "Yes means that the unit may be sound and the demand has grown.",
            Observed::TasteOrSmell => "Yes points to spent carbon, or to feed that gets past the membranes.",
            Observed::BrownWater => "Yes points to the filters before the membranes, or to the supply.",
            Observed::JustStarted => "Yes: the first water after a standstill is salty, and it passes.",
            Observed::AfterWork => "Yes points to a seal or a tube since that work.",
        }
        .to_owned(),
        _ => {
            let parts: Vec<String> = expected
                .iter()
                .map(|(cause, value)| format!("{} about {}", words(cause), shown(test, *value)))
                .collect();
            if parts.len() < 2 {
                return String::new();
            }
            format!("To expect: {}.", parts.join("; "))
        }
    }
}

/// What to mind.
pub(crate) fn caution(caution: Caution) -> &'static str {
    match caution {
        Caution::Gauge => {
            "Caution: where a gauge has to be fitted the line must be without pressure first, and the pump unplugged; follow the job card."
        }
        Caution::PermeateLine => {
            "Caution: the permeate line of a full or pressurised tank is under pressure; follow the job card, keep the water off anything electrical, and discard it: it is not for drinking."
        }
        Caution::Housing => {
            "Caution: never open it under pressure. Close the inlet, unplug the pump, relieve the pressure and follow the job card."
        }
        Caution::ElementPermeate => {
            "Caution: where the permeate tubes are joined they must be taken off one at a time; follow the job card, and rinse the probe: permeate may be drunk."
        }
        Caution::Electricity => "Caution: water and electricity; nobody opens the pump's box to find out.",
        Caution::Reagent => "Caution: discard the sample, reagent and all.",
    }
}

/// What the answer's own name is in a question.
pub(crate) fn asked_for(kind: Option<Kind>) -> &'static str {
    match kind {
        None => "Yes or no?",
        Some(Kind::Flow) => "What is the flow (such as 28 L/h, or 500 mL in 62 s)?",
        Some(Kind::Pressure) => "What does the gauge show (such as 58 psi or 4.0 bar)?",
        Some(Kind::Temperature) => "How warm is it (such as 12 C or 54 F)?",
        Some(Kind::Concentration) => "How much is it (such as 0.1 mg/L)?",
        Some(Kind::AsCaco3) => "How hard is it (such as 3 dH or 2 gpg)?",
        Some(_) => "What does the meter show (such as 38 uS/cm, or 19 ppm @0.5)?",
    }
}
