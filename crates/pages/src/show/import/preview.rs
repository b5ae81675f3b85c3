//! What an import would do, before it does it.

use intake::Log;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use ledger::import::{ImportPlan, Preview};
use ledger::{Payload, payload::ReadingTaken};
use maud::{Markup, html};
use unit::Unit;

use crate::frame::ask::Ask;
use crate::show::{log, told, words};

/// Rows of a list before it says how many more there are.
const SHOWN: usize = 30;
/// Readings that are shown as they would stand.
const EXAMPLES: usize = 5;

/// What would be added, what not, and why.
pub(super) fn show(ask: &Ask<'_>, unit: &Unit, plan: &ImportPlan, log: &Log) -> Markup {
    let say = ask.say;
    let zone = &casefile::time_zone(unit);
    let preview = &plan.preview;
    let new = preview.new;
    html! {
        p.verdict {
            (say.with("import-would", &[("readings", number(new.readings).into()), ("events", number(new.events).into()), ("aside", number(new.set_aside).into())]))
        }
        @if let Some((from, to)) = preview.span {
            p { (say.with("import-span", &[("from", ask.day(from, zone).into()), ("to", ask.day(to, zone).into())])) }
        }
        (counts(ask, preview))
        (examples(ask, plan, zone))
        @if !log.events.is_empty() {
            h3 { (say.say("import-events")) }
            ul {
                @for event in log.events.iter().take(SHOWN) {
                    li {
                        (ask.day(event.at, zone)) ": "
                        @if let Some(part) = &event.part { (words::part(ask, unit, part)) ", " }
                        (words::event(ask, event.kind))
                        @if !event.note.is_empty() { " (" (event.note) ")" }
                    }
                }
                (more(ask, log.events.len()))
            }
        }
        @if !preview.set_aside.is_empty() {
            h3 { (say.say("import-set-aside")) }
            p { (say.say("import-set-aside-about")) }
            ul {
                @for (line, reason) in preview.set_aside.iter().take(SHOWN) {
                    li { (say.with("import-line", &[("line", line.to_string().into())])) " " (told::reason(ask, reason)) }
                }
                (more(ask, preview.set_aside.len()))
            }
        }
        @if !log.cell_notes.is_empty() {
            h3 { (say.say("import-cells")) }
            ul {
                @for note in log.cell_notes.iter().take(SHOWN) {
                    li {
                        (say.with("import-line", &[("line", note.line.to_string().into())])) " "
                        (say.with("import-cell", &[("field", told::field(ask, &note.field).into()), ("text", note.text.as_str().into())])) " " (told::words(ask, Some(unit), &note.text, &note.reason))
                    }
                }
                (more(ask, log.cell_notes.len()))
            }
        }
        h3 { (say.say("import-habits")) }
        ul {
            @for sentence in told::habits(ask, &log.habits) { li { (sentence) } }
            @for one in &log.assumed { li { (told::words(ask, Some(unit), "", one)) } }
        }
    }
}

fn number(count: u64) -> usize {
    usize::try_from(count).unwrap_or(usize::MAX)
}

fn more(ask: &Ask<'_>, all: usize) -> Markup {
    html! {
        @if all > SHOWN { li { (ask.say.with("import-more", &[("n", (all - SHOWN).into())])) } }
    }
}

/// What is there already, or differs.
fn counts(ask: &Ask<'_>, preview: &Preview) -> Markup {
    let counts = [
        (preview.already_there, "import-there"),
        (preview.same_as.len(), "import-same"),
        (preview.repeated.len(), "import-repeated"),
        (preview.read_again.len(), "import-again"),
        (preview.left_as_corrected.len(), "import-corrected"),
        (preview.differs_from.len(), "import-differs"),
    ];
    html! {
        ul { @for (count, key) in counts { @if count > 0 { li { (ask.say.with(key, &[("n", count.into())])) } } } }
    }
}

/// The first readings as they would stand.
fn examples(ask: &Ask<'_>, plan: &ImportPlan, zone: &TimeZone) -> Markup {
    let readings: Vec<(Timestamp, Box<ReadingTaken>)> = plan
        .entries
        .iter()
        .filter_map(|entry| match entry.payload.decode() {
            Ok(Payload::Reading(taken)) => Some((entry.happened_at, taken)),
            _ => None,
        })
        .take(EXAMPLES)
        .collect();
    html! {
        @if !readings.is_empty() {
            h3 { (ask.say.say("import-examples")) }
            ul { @for (at, taken) in &readings { li { (ask.day(*at, zone)) ": " (log::reading(ask, &taken.reading)) } } }
        }
    }
}
