//! Something was done to a part or to the unit.

use jiff::Timestamp;
use ledger::payload::{PartEvent, read_event};
use ledger::{Payload, Subject};
use maud::{Markup, html};
use reading::EventKind;
use serde_json::{Map, Value};
use unit::Unit;

use super::{found, photographs, reading_form, words};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::Page;
use crate::frame::link;

/// The empty form.
pub(crate) fn ask(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let mut typed = Fields::default();
    typed.set("at", reading_form::local(ask.now(), &casefile::time_zone(unit)));
    typed.set("part", ask.query.get("part"));
    show(ask, unit, &typed, &Faults::default())
}

fn show(ask: &Ask<'_>, unit: &Unit, typed: &Fields, faults: &Faults) -> Response {
    let say = ask.say;
    let title = say.say("event-title");
    let body = html! {
        h1 { (title) }
        p { (say.say("event-caution")) }
        (faults.summary(ask, |name| label(ask, name)))
        form method="post" action=(link::below_unit(&unit.id, "events/new")) enctype="multipart/form-data" {
            (form::hidden_id(ask))
            (fields(ask, unit, typed, faults))
            (photographs::field(ask, faults))
            p { button.first { (say.say("save")) } }
        }
    };
    Page {
        above: found::above(ask, unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// The label of a field.
pub(crate) fn label(ask: &Ask<'_>, name: &str) -> String {
    ask.say.say(match name {
        "kind" => "event-kind",
        "part" => "event-part",
        "note" => "note",
        "reason" => "reason",
        photographs::FIELD => "photo",
        _ => "when",
    })
}

/// The fields of an event.
pub(crate) fn fields(ask: &Ask<'_>, unit: &Unit, typed: &Fields, faults: &Faults) -> Markup {
    let say = ask.say;
    let kinds: Vec<(String, String)> = EventKind::ALL
        .into_iter()
        .map(|kind| (kind.name().to_owned(), words::event(ask, kind)))
        .collect();
    let mut parts: Vec<(String, String)> = unit
        .part_ids()
        .chain(["restrictor"])
        .map(|id| (id.to_owned(), words::part(ask, unit, id)))
        .collect();
    for instrument in ["feed_meter", "permeate_meter", "gauges", "thermometer", "bucket"] {
        let words = say.say(&format!("instrument-{}", instrument.replace('_', "-")));
        parts.push((instrument.to_owned(), words));
    }
    let note = form::Field {
        name: "note",
        label: say.say("note"),
        hint: String::new(),
        unit: "",
        entry: Entry::Text,
        required: false,
    };
    let when = form::Field {
        name: "at",
        label: say.say("when"),
        hint: String::new(),
        unit: "",
        entry: Entry::Time,
        required: true,
    };
    html! {
        (form::select(ask, "kind", &label(ask, "kind"), &kinds, typed, faults))
        (form::select(ask, "part", &label(ask, "part"), &parts, typed, faults))
        (when.show(ask, typed, faults))
        (note.show(ask, typed, faults))
    }
}

/// The event that was typed; `before` is what it said, of which what the form does not ask for is kept.
pub(crate) fn read(
    ask: &Ask<'_>,
    unit: &Unit,
    before: Option<&PartEvent>,
    faults: &mut Faults,
) -> (Timestamp, PartEvent) {
    let at = reading_form::time(ask, &casefile::time_zone(unit), faults);
    let mut document: Map<String, Value> = before.map(|event| event.document.clone()).unwrap_or_default();
    for name in ["kind", "part", "note"] {
        let text = ask.sent.get(name);
        if text.is_empty() {
            document.remove(name);
        } else {
            document.insert(name.to_owned(), text.into());
        }
    }
    if ask.sent.get("kind").is_empty() {
        faults.add("kind", ask.say.say("wrong-empty"));
    }
    if let Err(invalid) = read_event(&document, at, unit) {
        faults.document(ask, &invalid.faults, |path| {
            path.strip_prefix("event.").unwrap_or(path).to_owned()
        });
    }
    let event = PartEvent {
        unit: unit.id.clone(),
        document,
        from: before.and_then(|event| event.from),
    };
    (at, event)
}

/// Writes an event down.
pub(crate) fn write(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let mut faults = Faults::default();
    let (at, event) = read(ask, unit, None, &mut faults);
    let photos = photographs::read(ask, &Subject::unit(&unit.id), &mut faults);
    if !faults.is_empty() {
        return show(ask, unit, &ask.sent, &faults);
    }
    let entry = ask.entry("event", at, &Payload::Event(event));
    let id = entry.id;
    photographs::keep(ask, vec![entry], photos, Some(id), at, &link::unit(&unit.id))
}
