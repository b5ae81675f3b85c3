//! What tests, answers and warnings are called.

use fault::Warning;
use fault::interview::{Given, Question, TestToMake};
use maud::{Markup, html};
use quantity::Kind;
use unit::Unit;

use super::asked::Said;
use crate::frame::ask::Ask;
use crate::show::{reading_form, words};

/// The key of a message about a test, by the test's name.
fn key(about: &str, name: &str) -> String {
    format!("trouble-{about}-{}", name.replace(['_', '.'], "-"))
}

/// What is asked, by the name of its test.
pub(super) fn asked(ask: &Ask<'_>, name: &str) -> String {
    ask.say.say(&key("ask", name))
}

/// What is asked of a test.
pub(super) fn text(ask: &Ask<'_>, unit: &Unit, test: &TestToMake) -> String {
    match test.measures() {
        Some(kind) => ask.say.say(value_key(kind)),
        None => ask.say.with(&key("ask", &test.name()), &part(ask, unit, test)),
    }
}

fn value_key(kind: Kind) -> &'static str {
    match kind {
        Kind::Flow => "trouble-value-flow",
        Kind::Pressure => "trouble-value-pressure",
        Kind::Temperature => "trouble-value-temperature",
        Kind::Concentration => "trouble-value-concentration",
        Kind::AsCaco3 => "trouble-value-hardness",
        _ => "trouble-value-conductivity",
    }
}

fn part<'a>(
    ask: &Ask<'_>,
    unit: &Unit,
    test: &TestToMake,
) -> [(&'static str, fluent_bundle::FluentValue<'a>); 1] {
    let part = test.part.as_deref().map(|id| words::part(ask, unit, id));
    [("part", part.unwrap_or_default().into())]
}

/// How a test is made.
pub(super) fn how(ask: &Ask<'_>, unit: &Unit, key_of: &str, test: &TestToMake) -> String {
    let Some(first) = key_of.strip_prefix("again.") else {
        return ask.say.with(&key("how", &test.name()), &part(ask, unit, test));
    };
    let key = match test.measures() {
        Some(Kind::Flow) => "trouble-how-again-flow",
        Some(Kind::Pressure) => "trouble-how-again-pressure",
        Some(Kind::Temperature) => "trouble-how-again-temperature",
        _ => "trouble-how-again-conductivity",
    };
    ask.say.with(key, &[("what", short(ask, unit, first).into())])
}

/// What its result would mean, one line each.
pub(super) fn meaning(
    ask: &Ask<'_>,
    unit: &Unit,
    test: &TestToMake,
    figure: &dyn Fn(fault::Cause, String) -> Markup,
) -> Vec<Markup> {
    if test.has_meaning() {
        let words = ask.say.with(&key("means", &test.name()), &part(ask, unit, test));
        return vec![html! { (words) }];
    }
    let Some(kind) = test.measures().filter(|_| test.expected.len() > 1) else {
        return Vec::new();
    };
    test.expected
        .iter()
        .map(|(cause, value)| {
            let value = figure(*cause, ask.measures.show(kind, *value));
            ask.say.rich(
                "trouble-expected",
                vec![("cause", is(ask, cause.name()).into()), ("value", value.into())],
            )
        })
        .collect()
}

/// What to mind at it.
pub(super) fn caution(ask: &Ask<'_>, test: &TestToMake) -> Option<String> {
    test.caution()
        .map(|caution| ask.say.say(&key("mind", caution.name())))
}

/// What a cause is, as a clause.
pub(super) fn is(ask: &Ask<'_>, cause: &str) -> String {
    ask.say.say(&key("is", cause))
}

/// What to do about a cause, or what happens if it is left.
pub(super) fn of_cause(ask: &Ask<'_>, about: &str, cause: &str) -> String {
    ask.say.say(&key(about, cause))
}

/// What a question is called in a list, by its key.
pub(super) fn short(ask: &Ask<'_>, unit: &Unit, name: &str) -> String {
    if let Some(first) = name.strip_prefix("again.") {
        let what = short(ask, unit, first);
        return ask.say.with("trouble-short-again", &[("what", what.into())]);
    }
    if name == "permeate_flow_free" {
        return ask.say.say("trouble-short-free");
    }
    if let Some(spot) = reading_form::spots(ask, unit)
        .into_iter()
        .find(|spot| spot.name == name)
    {
        return spot.label;
    }
    match Question::by_key(unit, name) {
        Ok(question) => text(ask, unit, &question.test),
        Err(_) => name.to_owned(),
    }
}

/// An answer as it was given.
pub(super) fn answer(ask: &Ask<'_>, said: &Said) -> String {
    match said.given {
        Given::Value(_) => said.text.clone(),
        Given::Yes => ask.say.say("yes"),
        Given::No => ask.say.say("no"),
        Given::Skipped => ask.say.say("trouble-skipped"),
    }
}

/// What is odd about the baseline.
pub(super) fn warning(ask: &Ask<'_>, unit: &Unit, warning: &Warning) -> String {
    let (key, at) = match warning {
        Warning::BaselineImpossible { at } => ("trouble-baseline-impossible", at),
        Warning::BaselineOdd { at } => ("trouble-baseline-odd", at),
    };
    ask.say
        .with(key, &[("day", ask.day(*at, &casefile::time_zone(unit)).into())])
}

/// A text that begins a sentence.
pub(super) fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A probability in words, as the IPCC's authors agreed to use them (Mastrandrea and others 2010, "Guidance note for lead
/// authors on consistent treatment of uncertainties", table 1).
pub(super) fn probability(ask: &Ask<'_>, probability: f64) -> String {
    ask.say.say(match probability {
        p if p >= 0.99 => "chance-certain",
        p if p >= 0.90 => "chance-very-likely",
        p if p >= 0.66 => "chance-likely",
        p if p >= 0.33 => "chance-even",
        p if p >= 0.10 => "chance-unlikely",
        p if p >= 0.01 => "chance-very-unlikely",
        _ => "chance-hardly",
    })
}
