//! Words that the job card's own texts do not have: phases, works, readings with their units, times.

use service::{Phase, Work};

/// The heading over the steps of a phase.
pub(crate) fn phase(phase: Phase) -> &'static str {
    match phase {
        Phase::Isolate => "Shut off",
        Phase::Relieve => "Let the pressure out",
        Phase::Open | Phase::Change | Phase::Close => "Open, change, close",
        Phase::Rinse => "Rinse",
        Phase::Flush => "Flush and put back into service",
        Phase::Prove => "Prove",
        Phase::Record => "Record",
    }
}

/// The work as a person says it.
pub(crate) fn work(work: &Work) -> String {
    match work {
        Work::Change { part } => format!("change {part}"),
        Work::Wash { part } => format!("wash {part}"),
        Work::Inspect { part } => format!("inspect {part}"),
        Work::Sanitise => "sanitise the unit".to_owned(),
        Work::Descale => "descale the membranes".to_owned(),
        Work::Clean => "clean the membranes".to_owned(),
        Work::Commission => "commission the unit".to_owned(),
        Work::LayUp => "lay the unit up".to_owned(),
    }
}

/// A reading's field in words, and its base unit.
pub(crate) fn reading(field: &str) -> (String, &'static str) {
    let (name, part) = field.split_once('.').unwrap_or((field, ""));
    let unit = if name.contains("temperature") {
        "°C"
    } else if name.contains("pressure") {
        "kPa"
    } else if name.contains("flow") {
        "L/h"
    } else if name.contains("conductivity") {
        "µS/cm"
    } else if name.ends_with("_total") {
        "L"
    } else if name.contains("hours") {
        "h"
    } else {
        "mg/L"
    };
    let words = match name {
        "element_permeate_conductivity" => "permeate conductivity of".to_owned(),
        other => other.replace('_', " "),
    };
    if part.is_empty() {
        (words, unit)
    } else {
        (format!("{words} {part}"), unit)
    }
}

/// At most four significant digits, no trailing zeros, a true minus sign.
pub(crate) fn number(value: Option<f64>) -> String {
    let Some(value) = value.filter(|value| value.is_finite()) else {
        return "–".to_owned();
    };
    let magnitude = value.abs();
    let text = if magnitude >= 1000.0 {
        format!("{value:.0}")
    } else if magnitude >= 100.0 {
        format!("{value:.1}")
    } else if magnitude >= 10.0 {
        format!("{value:.2}")
    } else {
        format!("{value:.3}")
    };
    let short = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    short.replace('-', "−")
}

/// A time.
pub(crate) fn duration(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, 1) => "1 minute".to_owned(),
        (0, minutes) => format!("{minutes} minutes"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// What stands at the foot of every card.
pub(crate) const FOOT: &str = "No substitute for local plumbing and electrical codes or licensed practice. Where they say otherwise, they hold.";

/// The first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
