//! What is found, in sentences.

use crate::cause::Cause;
use crate::diagnose::{Diagnosis, Ranked};

/// "26 % less", "4 % more".
fn less_or_more(ratio: f64) -> String {
    let percent = 100.0 * (ratio - 1.0);
    if percent.abs() < 0.5 {
        "the same".to_owned()
    } else if percent < 0.0 {
        format!("{:.0} % less", -percent)
    } else {
        format!("{percent:.0} % more")
    }
}

/// What comes first, in sentences.
pub(crate) fn summary(diagnosis: &Diagnosis) -> String {
    let mut sentences = Vec::new();
    if let Some(ratio) = diagnosis.flow_ratio {
        let made = less_or_more(ratio);
        sentences.push(match diagnosis.explained_by_conditions {
            Some(conditions) => format!(
                "It makes {made} than at its baseline; today's temperature, supply pressure and feed on their own make {}.",
                less_or_more(conditions)
            ),
            None => format!("It makes {made} than at its baseline."),
        });
    }
    if let Some(first) = diagnosis.causes.first() {
        sentences.push(verdict(first, diagnosis.causes.get(1)));
    }
    sentences.join(" ")
}

fn verdict(first: &Ranked, second: Option<&Ranked>) -> String {
    let percent = |one: &Ranked| format!("{:.0} %", 100.0 * one.probability);
    let named = |one: &Ranked| {
        let part = one.part.as_deref().map(|part| part.replace('_', " "));
        match part {
            Some(part) if one.cause == Cause::MeterFault => format!("{} ({part})", one.cause.words()),
            Some(part) => format!("{} ({part})", one.cause.words()),
            None => one.cause.words().to_owned(),
        }
    };
    match second {
        Some(second) if first.probability < 0.9 && second.probability > 0.02 => format!(
            "Most likely {} ({}); next comes that {} ({}).",
            named(first),
            percent(first),
            named(second),
            percent(second)
        ),
        _ => format!("Most likely {} ({}).", named(first), percent(first)),
    }
}
