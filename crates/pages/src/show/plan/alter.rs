//! A unit as built, described anew: because something was altered, or because what stands was wrong from the start.

use jiff::Timestamp;
use ledger::Payload;
use ledger::payload::{Correction, NoteWritten, Replacement, UnitDescribed};
use ledger::state::{Described, Kept};
use ledger::{Entry, Subject, UnitHistory};
use maud::{Markup, html};
use serde_json::{Map, Value};
use unit::Unit;

use super::built::{self, Built};
use super::form::{self as plan, Form};
use super::new::said;
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry as Typed, Faults};
use crate::frame::layout::Page;
use crate::frame::link;
use crate::show::{found, reading_form};

/// The form with the unit as it stands.
pub(crate) fn alter(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let Some(last) = known.descriptions.last() else {
        return crate::frame::layout::not_found(ask);
    };
    let mut typed = built::filled(ask, &last.what.document);
    typed.set("at", reading_form::local(ask.now(), &casefile::time_zone(unit)));
    typed.set("how", "altered");
    page(ask, unit, last, &typed, &Faults::default(), None)
}

fn page(
    ask: &Ask<'_>,
    unit: &Unit,
    last: &Kept<Described>,
    typed: &Fields,
    faults: &Faults,
    looked_over: Option<&Built>,
) -> Response {
    let say = ask.say;
    let title = say.with("plan-title", &[("name", unit.name.as_str().into())]);
    let form = Form { ask, typed, faults };
    let body = html! {
        h1 { (title) }
        p { (say.say("plan-about")) }
        p { a href=(link::entry(last.origin.entry)) { (say.say("plan-trail")) } }
        (faults.summary(ask, |name| plan::label(ask, name)))
        form method="post" action=(link::below_unit(&unit.id, "plan")) {
            (form::hidden_id(ask))
            @if let Some(built) = looked_over {
                section.asked {
                    h2 { (say.say("plan-look-title")) }
                    @if built.assumed.is_empty() { p { (say.say("plan-nothing-assumed")) } }
                    (plan::assumed(ask, &built.assumed))
                    p { button.first name="do" value="keep" { (say.say("plan-keep-altered")) } }
                }
            }
            (how(ask, typed, faults))
            (form.line("at", Typed::Time, String::new(), true))
            (form.line("name", Typed::Line, String::new(), true))
            @if built::one_label(&last.what.document) { (form.label()) } @else { p { (say.say("plan-labels-differ")) } }
            (form.stages())
            (form.ways())
            (form.need())
            details open[faults.of("time_zone").is_some() || faults.of("commissioned").is_some()] {
                summary { (say.say("plan-more")) }
                (form.line("commissioned", Typed::Date, String::new(), false))
                (form.line("time_zone", Typed::Line, say.say("plan-zone-hint"), false))
            }
            (form.line("reason", Typed::Line, String::new(), false))
            p { button.first name="do" value="look" { (say.say("plan-look")) } }
        }
    };
    Page {
        above: found::above(ask, unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// Whether the unit was altered, or the description was wrong.
pub(crate) fn how(ask: &Ask<'_>, typed: &Fields, faults: &Faults) -> Markup {
    let words = [
        ("altered".to_owned(), ask.say.say("plan-how-altered")),
        ("wrong".to_owned(), ask.say.say("plan-how-wrong")),
    ];
    form::select(ask, "how", &plan::label(ask, "how"), &words, typed, faults)
}

/// Looks the form over, or writes down what the unit is now.
pub(crate) fn rewrite(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let Some(last) = known.descriptions.last() else {
        return crate::frame::layout::not_found(ask);
    };
    let mut faults = Faults::default();
    form::required(ask, &mut faults, "name");
    let built = built::read(ask, &unit.id, Some(&last.what.document), &mut faults);
    let at = when(ask, unit, last.at, &mut faults);
    if !faults.is_empty() {
        return page(ask, unit, last, &ask.sent, &faults, None);
    }
    if ask.sent.get("do") != "keep" {
        return page(ask, unit, last, &ask.sent, &faults, Some(&built));
    }
    let mut entries = Vec::new();
    if built.document != last.what.document {
        entries.push(anew(ask, known, last, "unit", at, built.document));
    }
    if !built.assumed.is_empty() {
        let note = NoteWritten {
            of: Subject::unit(&unit.id),
            text: said(ask, &built.assumed),
        };
        entries.push(ask.entry("assumed", ask.now(), &Payload::Note(note)));
    }
    ask.keep(entries, &link::unit(&unit.id))
}

/// Since when it is so; wrong where that is no time, or where it is not said how it came about.
pub(crate) fn when(ask: &Ask<'_>, unit: &Unit, last: Timestamp, faults: &mut Faults) -> Timestamp {
    if !matches!(ask.sent.get("how"), "altered" | "wrong") {
        faults.add("how", ask.say.say("wrong-choice"));
    }
    if ask.sent.get("reason").chars().count() > 4000 {
        faults.add("reason", ask.say.say("wrong-long"));
    }
    if ask.sent.get("how") == "wrong" && ask.sent.get("at").is_empty() {
        return ask.now();
    }
    let at = reading_form::time(ask, &casefile::time_zone(unit), faults);
    // What is described from an earlier day on would never be what holds today.
    if ask.sent.get("how") == "altered" && at < last {
        let day = ask.day(last, &casefile::time_zone(unit));
        let words = ask.say.with("plan-wrong-before", &[("day", day.into())]);
        faults.add("at", words);
    }
    at
}

/// The entry that says what a unit is now: a description from then on, or a correction of the one that stands.
pub(crate) fn anew(
    ask: &Ask<'_>,
    known: &UnitHistory,
    last: &Kept<Described>,
    which: &str,
    at: Timestamp,
    document: Map<String, Value>,
) -> Entry {
    let unit = last.what.unit.id.clone();
    if ask.sent.get("how") != "wrong" {
        let described = UnitDescribed {
            unit,
            site: None,
            installed: false,
            document,
        };
        return ask.entry(which, at, &Payload::Unit(described));
    }
    let id = last.origin.entry;
    let site = match ask.state.payload(id) {
        Ok(Some(Payload::Unit(before))) => before.site,
        _ => known.site.clone(),
    };
    let described = UnitDescribed {
        unit,
        site,
        installed: last.what.installed,
        document,
    };
    let end = ask.state.effective(id).and_then(|one| one.correction);
    let correction = Correction {
        corrects: end.map_or(id, |correction| correction.id),
        replacement: Some(Replacement {
            happened_at: None,
            payload: Payload::Unit(described).encode(),
        }),
        reason: ask.sent.get("reason").to_owned(),
    };
    ask.entry(which, ask.now(), &Payload::Correction(correction))
}
