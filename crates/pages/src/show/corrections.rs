//! One entry: what it says, what it said first, who and when and on which device, and the form to correct it.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use ledger::payload::{Correction, NoteWritten, ReadingTaken, Replacement};
use ledger::state::Effective;
use ledger::{Entry, EventId, Kind, Payload, Subject};
use maud::{Markup, html};
use unit::Unit;

use super::{events, log, notes, photographs, reading_form};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Faults};
use crate::frame::layout::{self, Page};
use crate::frame::link;

/// An entry with the unit that it is about.
struct Found<'a> {
    id: EventId,
    one: Effective<'a>,
    unit: Option<&'a Unit>,
    /// What it says, or said last where it was taken back.
    said: Option<Payload>,
}

fn find<'a>(ask: &Ask<'a>, held: &[String]) -> Option<Found<'a>> {
    let id: EventId = held.first()?.parse().ok()?;
    let one = ask.state.effective(id)?;
    let said = one
        .payload
        .as_ref()
        .map_or_else(|| one.entry.payload.decode(), |payload| payload.decode());
    let subject = one
        .payload
        .as_ref()
        .and_then(|payload| payload.subject())
        .or(one.entry.payload.subject());
    let unit = match subject {
        Some(Subject::Unit(unit)) => ask.state.unit(unit).and_then(|known| known.unit()),
        _ => None,
    };
    Some(Found {
        id,
        unit,
        said: said.ok(),
        one,
    })
}

impl Found<'_> {
    fn zone(&self) -> TimeZone {
        self.unit.map_or(TimeZone::UTC, casefile::time_zone)
    }

    /// Whether it can be taken back here. What describes a unit, and an import, is corrected where it was made.
    fn can_go(&self) -> bool {
        let kind = self.one.entry.payload.kind();
        matches!(
            kind,
            Kind::Reading
                | Kind::Event
                | Kind::Note
                | Kind::Water
                | Kind::SetAside
                | Kind::Visit
                | Kind::Attachment
        )
    }
}

/// The page.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    match find(ask, held) {
        Some(found) => {
            let mut typed = filled(ask, &found);
            // A link can propose a value: what would fit.
            for (name, value) in ask.query.iter() {
                typed.set(name, value);
            }
            page(ask, &found, &typed, &Faults::default())
        }
        None => layout::not_found(ask),
    }
}

fn filled(ask: &Ask<'_>, found: &Found<'_>) -> Fields {
    let zone = found.zone();
    let mut typed = Fields::default();
    match (&found.said, found.unit) {
        (Some(Payload::Reading(taken)), Some(unit)) => {
            let spots = reading_form::spots(ask, unit);
            typed = reading_form::filled(ask, &spots, taken, found.one.happened_at, &zone);
        }
        (Some(Payload::Event(event)), _) => {
            for name in ["kind", "part", "note"] {
                let text = event.document.get(name).and_then(|value| value.as_str());
                typed.set(name, text.unwrap_or_default());
            }
            typed.set("at", reading_form::local(found.one.happened_at, &zone));
        }
        (Some(Payload::Note(note)), _) => typed.set("note", note.text.as_str()),
        _ => typed.set("at", reading_form::local(found.one.happened_at, &zone)),
    }
    typed
}

fn page(ask: &Ask<'_>, found: &Found<'_>, typed: &Fields, faults: &Faults) -> Response {
    let say = ask.say;
    let zone = found.zone();
    let title = say.say("entry-title");
    let entry = found.one.entry;
    let spots = found
        .unit
        .map_or_else(Vec::new, |unit| reading_form::spots(ask, unit));
    let as_first = Effective {
        entry,
        correction: None,
        happened_at: entry.happened_at,
        payload: Some(std::borrow::Cow::Borrowed(&entry.payload)),
    };
    let body = html! {
        h1 { (title) }
        p.verdict.said { (ask.moment(found.one.happened_at, &zone)) ": " (log::what(ask, &found.one)) }
        h2 { (say.say("entry-trail")) }
        ol.said {
            li { (log::what(ask, &as_first)) br; (written(ask, entry, &zone)) }
            @for correction in ask.state.corrections_of(found.id) { li { (correction_line(ask, correction)) br; (written(ask, correction, &zone)) } }
        }
        (photos(ask, found, faults))
        @if matches!(found.said, Some(Payload::Unit(_))) { @if let Some(unit) = found.unit {
            p { a.button href=(link::below_unit(&unit.id, "plan")) { (say.say("to-plan")) } }
        } }
        @if let Some(written) = raw(found.said.as_ref()) {
            h2 { (say.say("entry-as-written")) }
            dl.said { @for (name, text) in written { dt { (reading_form::label(ask, &spots, name)) } dd { (text) } } }
        }
        @if let Some(fields) = fields(ask, found, typed, faults) {
            h2 { (say.say("entry-correct")) }
            (faults.summary(ask, |name| match found.said {
                _ if name == photographs::FIELD => say.say("photo"),
                Some(Payload::Reading(_) | Payload::SetAside(_)) => reading_form::label(ask, &spots, name),
                _ => events::label(ask, name),
            }))
            form method="post" action=(link::entry(found.id)) {
                (form::hidden_id(ask)) (corrects(found))
                input type="hidden" name="do" value="correct";
                (fields)
                (reason(ask).show(ask, typed, faults))
                p { button.first { (say.say("entry-save")) } }
            }
        }
        @if found.can_go() && found.one.payload.is_some() {
            h2 { (say.say("entry-take-back")) }
            p { (say.say("entry-take-back-about")) }
            form method="post" action=(link::entry(found.id)) {
                (form::hidden_id(ask)) (corrects(found))
                input type="hidden" name="do" value="take-back";
                p { button { (say.say("entry-take-back-go")) } }
            }
        }
    };
    let mut above = vec![("/".to_owned(), say.say("nav-due"))];
    if let Some(unit) = found.unit {
        above.push((link::unit(&unit.id), unit.name.clone()));
        above.push((link::below_unit(&unit.id, "log"), say.say("to-log")));
    }
    Page {
        above,
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// The photographs of an entry, and the form that adds one.
fn photos(ask: &Ask<'_>, found: &Found<'_>, faults: &Faults) -> Markup {
    let known = found.unit.and_then(|unit| ask.state.unit(&unit.id));
    let own = match &found.said {
        Some(Payload::Attachment(paper)) => vec![paper],
        _ => known.map_or_else(Vec::new, |known| photographs::of_entry(known, found.id)),
    };
    html! {
        @if !own.is_empty() || can_hold(found) { h2 { (ask.say.say("photos")) } }
        @for paper in own { p { (photographs::show(ask, paper)) } }
        @if can_hold(found) {
            form method="post" action=(link::entry(found.id)) enctype="multipart/form-data" {
                (form::hidden_id(ask))
                input type="hidden" name="do" value="photo";
                (photographs::field(ask, faults))
                p { button { (ask.say.say("photo-add")) } }
            }
        }
    }
}

/// Whether a photograph can belong to it.
fn can_hold(found: &Found<'_>) -> bool {
    let is_such = matches!(
        found.said,
        Some(Payload::Reading(_) | Payload::Event(_) | Payload::Note(_) | Payload::Visit(_))
    );
    is_such && found.unit.is_some() && found.one.payload.is_some()
}

/// Writes down that photographs belong to an entry.
fn add_photos(ask: &Ask<'_>, found: &Found<'_>, unit: &Unit) -> Response {
    let mut faults = Faults::default();
    let photos = photographs::read(ask, &Subject::unit(&unit.id), &mut faults);
    if photos.is_empty() && faults.is_empty() {
        faults.add(photographs::FIELD, ask.say.say("wrong-empty"));
    }
    if !faults.is_empty() {
        return page(ask, found, &filled(ask, found), &faults);
    }
    let (id, at) = (found.id, found.one.happened_at);
    photographs::keep(ask, Vec::new(), photos, Some(id), at, &link::entry(id))
}

/// What was typed into a reading, by field.
fn raw(said: Option<&Payload>) -> Option<&BTreeMap<String, String>> {
    match said {
        Some(Payload::Reading(taken)) if !taken.as_written.is_empty() => Some(&taken.as_written),
        _ => None,
    }
}

fn corrects(found: &Found<'_>) -> Markup {
    // The end of the chain as it was seen: whoever corrects it at the same time elsewhere is not passed over unseen.
    let end = found.one.correction.map_or(found.id, |correction| correction.id);
    html! { input type="hidden" name="corrects" value=(end); }
}

fn written(ask: &Ask<'_>, entry: &Entry, zone: &TimeZone) -> Markup {
    html! {
        span.small {
            (ask.say.with("entry-written", &[
                ("by", (&*entry.by).into()),
                ("device", (&*entry.device).into()),
                ("at", ask.moment(entry.written_at, zone).into()),
            ]))
        }
    }
}

fn correction_line(ask: &Ask<'_>, entry: &Entry) -> String {
    let Ok(Payload::Correction(said)) = entry.payload.decode() else {
        return ask.say.say("said-not-understood");
    };
    let what = match said.replacement {
        Some(replacement) => {
            let one = Effective {
                entry,
                correction: None,
                happened_at: entry.happened_at,
                payload: Some(std::borrow::Cow::Owned(replacement.payload)),
            };
            log::what(ask, &one)
        }
        None => ask.say.say("said-taken-back"),
    };
    if said.reason.is_empty() {
        what
    } else {
        format!("{what} ({})", said.reason)
    }
}

fn reason(ask: &Ask<'_>) -> form::Field<'static> {
    form::Field {
        name: "reason",
        label: ask.say.say("reason"),
        hint: String::new(),
        unit: "",
        entry: form::Entry::Line,
        required: false,
    }
}

/// The fields with which an entry is corrected; none where it is not corrected here.
fn fields(ask: &Ask<'_>, found: &Found<'_>, typed: &Fields, faults: &Faults) -> Option<Markup> {
    let unit = found.unit?;
    match &found.said {
        // A row that could not be read is repaired by the reading that stands in it.
        Some(Payload::Reading(_) | Payload::SetAside(_)) => {
            let spots = reading_form::spots(ask, unit);
            Some(reading_form::show(ask, &spots, &[], &found.zone(), typed, faults))
        }
        Some(Payload::Event(_)) => Some(events::fields(ask, unit, typed, faults)),
        Some(Payload::Note(_)) => Some(notes::field(ask).show(ask, typed, faults)),
        _ => None,
    }
}

/// Writes a correction down.
pub(crate) fn write(ask: &Ask<'_>, held: &[String]) -> Response {
    let Some(found) = find(ask, held) else {
        return layout::not_found(ask);
    };
    if let ("photo", Some(unit), true) = (ask.sent.get("do"), found.unit, can_hold(&found)) {
        return add_photos(ask, &found, unit);
    }
    let mut faults = Faults::default();
    let replacement = match ask.sent.get("do") {
        "take-back" if found.can_go() => None,
        _ => match replacement(ask, &found, &mut faults) {
            Some((at, payload)) => Some(Replacement {
                happened_at: (at != found.one.entry.happened_at).then_some(at),
                payload: payload.encode(),
            }),
            None => return layout::not_that_way(ask),
        },
    };
    if ask.sent.get("reason").chars().count() > 4000 {
        faults.add("reason", ask.say.say("wrong-long"));
    }
    if !faults.is_empty() {
        return page(ask, &found, &ask.sent, &faults);
    }
    let named: Option<EventId> = ask.sent.get("corrects").parse().ok();
    let chain = ask.state.corrections_of(found.id);
    let corrects = named
        .filter(|id| chain.iter().any(|entry| entry.id == *id))
        .unwrap_or(found.id);
    let correction = Correction {
        corrects,
        replacement,
        reason: ask.sent.get("reason").to_owned(),
    };
    let entry = ask.entry("correction", ask.now(), &Payload::Correction(correction));
    let reading = matches!(found.said, Some(Payload::Reading(_)));
    let then = match (found.unit, ask.sent.get("do")) {
        (Some(unit), "correct") if reading => link::below_unit(&unit.id, &format!("readings/{}", found.id)),
        _ => link::entry(found.id),
    };
    ask.keep(vec![entry], &then)
}

/// What is to stand in an entry's place.
fn replacement(ask: &Ask<'_>, found: &Found<'_>, faults: &mut Faults) -> Option<(Timestamp, Payload)> {
    let unit = found.unit?;
    let same_minute = |at: Timestamp| {
        // A field of day and time holds minutes: a time that was not touched keeps its seconds.
        let before = found.one.happened_at;
        let zone = found.zone();
        if reading_form::local(at, &zone) == reading_form::local(before, &zone) {
            before
        } else {
            at
        }
    };
    match found.said.as_ref()? {
        Payload::Reading(before) => {
            let spots = reading_form::spots(ask, unit);
            let (at, mut taken) = reading_form::read(ask, unit, &spots, faults);
            keep_the_rest(&mut taken, before);
            Some((same_minute(at), Payload::Reading(Box::new(taken))))
        }
        Payload::SetAside(row) => {
            let spots = reading_form::spots(ask, unit);
            let (at, mut taken) = reading_form::read(ask, unit, &spots, faults);
            taken.from = row.from;
            Some((same_minute(at), Payload::Reading(Box::new(taken))))
        }
        Payload::Event(before) => {
            let (at, event) = events::read(ask, unit, Some(before), faults);
            Some((same_minute(at), Payload::Event(event)))
        }
        Payload::Note(_) => {
            form::required(ask, faults, "note");
            let note = NoteWritten {
                of: Subject::unit(&unit.id),
                text: ask.sent.get("note").to_owned(),
            };
            Some((found.one.happened_at, Payload::Note(note)))
        }
        _ => None,
    }
}

/// What the form does not ask for stays as it was.
fn keep_the_rest(taken: &mut ReadingTaken, before: &ReadingTaken) {
    taken.from = before.from;
    taken.reading.by.clone_from(&before.reading.by);
    taken.reading.meter_factor_sd = before.reading.meter_factor_sd;
}
