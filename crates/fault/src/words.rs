//! What is found, in English sentences.

use crate::advice::{Urgency, advice};
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

/// A change less than this is not told: no bucket shows it.
const TOLD: f64 = 0.01;

/// What comes first, in sentences.
pub(crate) fn summary(diagnosis: &Diagnosis) -> String {
    let mut sentences = Vec::new();
    let told: Vec<String> = diagnosis
        .changes
        .iter()
        .filter(|one| (one.ratio - 1.0).abs() >= TOLD)
        .map(|one| {
            format!(
                "{} on its own makes {}",
                one.condition.words(one.ratio < 1.0),
                less_or_more(one.ratio)
            )
        })
        .collect();
    let conditions = match (told.as_slice(), diagnosis.explained_by_conditions) {
        ([], Some(_)) => {
            Some("today's temperature, supply pressure and feed change nothing of it".to_owned())
        }
        ([], None) => None,
        ([_], _) | (_, None) => Some(told.join(", ")),
        (_, Some(all)) => Some(format!(
            "{}; together they make {}",
            told.join(", "),
            less_or_more(all)
        )),
    };
    match (diagnosis.flow_ratio, conditions) {
        (Some(ratio), Some(conditions)) => sentences.push(format!(
            "It makes {} than at its baseline; {conditions}.",
            less_or_more(ratio)
        )),
        (Some(ratio), None) => {
            sentences.push(format!("It makes {} than at its baseline.", less_or_more(ratio)));
        }
        (None, Some(conditions)) => sentences.push(format!("Against its baseline {conditions}.")),
        (None, None) => {}
    }
    if let Some(first) = diagnosis.causes.first() {
        sentences.push(verdict(first, diagnosis.causes.get(1)));
    }
    sentences.join(" ")
}

/// What a cause is, what to do about it, how soon, and what happens if it is left.
pub(crate) fn about(cause: Cause, part: Option<&str>) -> String {
    let advice = advice(cause);
    let what = capitalised(cause.words());
    let part = part.map_or_else(String::new, |part| format!(" ({})", part.replace('_', " ")));
    let when = match advice.urgency {
        Urgency::None => String::new(),
        other => format!(", {}", other.words()),
    };
    format!(
        "{what}{part}. {}{when}. If it is left, {}.",
        advice.action, advice.if_left
    )
}

pub(crate) fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A cause less probable than this is one of several, and is not called the likeliest (common practice, no source).
const STANDS_OUT: f64 = 0.2;

fn verdict(first: &Ranked, second: Option<&Ranked>) -> String {
    let percent = |one: &Ranked| format!("{:.0} %", 100.0 * one.probability);
    let named = |one: &Ranked| {
        let part = one.part.as_deref().map(|part| part.replace('_', " "));
        match part {
            Some(part) => format!("{} ({part})", one.cause.words()),
            None => one.cause.words().to_owned(),
        }
    };
    match second {
        _ if first.probability < STANDS_OUT => format!(
            "No cause stands out yet; the first of several is that {} ({}).",
            named(first),
            percent(first)
        ),
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
