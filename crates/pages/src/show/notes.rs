//! A remark about a unit.

use ledger::payload::NoteWritten;
use ledger::{Payload, Subject};
use maud::html;
use unit::Unit;

use super::found;
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
        (faults.summary(ask, |_| ask.say.say("note")))
        form method="post" action=(link::below_unit(&unit.id, "notes/new")) {
            (form::hidden_id(ask))
            (field(ask).show(ask, typed, faults))
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
    form::required(ask, &mut faults, "note");
    if !faults.is_empty() {
        return show(ask, unit, &ask.sent, &faults);
    }
    let note = NoteWritten {
        of: Subject::unit(&unit.id),
        text: ask.sent.get("note").to_owned(),
    };
    let entry = ask.entry("note", ask.now(), &Payload::Note(note));
    ask.keep(vec![entry], &link::below_unit(&unit.id, "log"))
}
