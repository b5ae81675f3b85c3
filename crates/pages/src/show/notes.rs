//! A remark about a unit.

use ledger::payload::NoteWritten;
use ledger::{Payload, Subject};
use maud::html;
use unit::Unit;

use super::{found, photographs};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::Page;
use crate::frame::link;

/// The empty form.
pub(crate) fn ask(ask: &Ask<'_>, held: &[String]) -> Response {
    match found::unit(ask, held) {
        Ok((_, unit)) => show(ask, unit, &Fields::default(), &Faults::default()),
        Err(nothing) => nothing,
    }
}

fn show(ask: &Ask<'_>, unit: &Unit, typed: &Fields, faults: &Faults) -> Response {
    let title = ask.say.say("to-note");
    let body = html! {
        h1 { (title) }
        (faults.summary(ask, |name| ask.say.say(if name == photographs::FIELD { "photo" } else { "note" })))
        form method="post" action=(link::below_unit(&unit.id, "notes/new")) enctype="multipart/form-data" {
            (form::hidden_id(ask))
            // A photograph may speak for itself.
            (form::Field { required: false, ..field(ask) }.show(ask, typed, faults))
            (photographs::field(ask, faults))
            p { button.first { (ask.say.say("save")) } }
        }
    };
    Page {
        above: found::above(ask, unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// The field of a remark.
pub(crate) fn field(ask: &Ask<'_>) -> form::Field<'static> {
    form::Field {
        name: "note",
        label: ask.say.say("note"),
        hint: String::new(),
        unit: "",
        entry: Entry::Text,
        required: true,
    }
}

/// Writes a remark down.
pub(crate) fn write(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let mut faults = Faults::default();
    let of = Subject::unit(&unit.id);
    let photos = photographs::read(ask, &of, &mut faults);
    let text = ask.sent.get("note");
    if !text.is_empty() || photos.is_empty() {
        form::required(ask, &mut faults, "note");
    }
    if !faults.is_empty() {
        return show(ask, unit, &ask.sent, &faults);
    }
    let then = link::below_unit(&unit.id, "log");
    if text.is_empty() {
        return photographs::keep(ask, Vec::new(), photos, None, ask.now(), &then);
    }
    let note = NoteWritten {
        of,
        text: text.to_owned(),
    };
    let entry = ask.entry("note", ask.now(), &Payload::Note(note));
    let id = entry.id;
    photographs::keep(ask, vec![entry], photos, Some(id), ask.now(), &then)
}
