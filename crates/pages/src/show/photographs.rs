//! Photographs and papers of a unit: chosen in a form, kept by the hash of their content, shown with their entry.

use jiff::Timestamp;
use ledger::payload::AttachmentAdded;
use ledger::{ContentHash, Entry, EventId, Payload, Subject, UnitHistory};
use maud::{Markup, html};

use crate::content::ContentKind;
use crate::frame::ask::Ask;
use crate::frame::form::{self, Faults};
use crate::{LARGEST_CONTENT, Response};

/// The name of the field.
pub(crate) const FIELD: &str = "photo";

/// The most that one form takes.
const MOST: usize = 6;

/// A photograph that was sent.
pub(crate) struct Photograph {
    bytes: Vec<u8>,
    about: AttachmentAdded,
}

/// The field.
pub(crate) fn field(ask: &Ask<'_>, faults: &Faults) -> Markup {
    let say = ask.say;
    let id = form::field_id(FIELD);
    let (hint, error) = (format!("{id}-hint"), format!("{id}-error"));
    let wrong = faults.of(FIELD);
    let was_sent = ask.sent.uploads.iter().any(|upload| upload.field == FIELD);
    let described = if wrong.is_some() {
        format!("{error} {hint}")
    } else {
        hint.clone()
    };
    html! {
        div.field {
            label for=(id) { (say.say("photo")) span.faint { " " (say.say("optional")) } }
            @if let Some(words) = wrong { p.wrong id=(error) { (words) } }
            input id=(id) name=(FIELD) type="file" multiple accept="image/jpeg,image/png,image/webp,application/pdf"
                aria-describedby=(described) aria-invalid=[wrong.map(|_| "true")];
            p.hint id=(hint) {
                // No page can put a file back into a form that is shown again.
                @if was_sent { (say.say("photo-again")) } @else { (say.say("photo-hint")) }
            }
        }
    }
}

/// What was chosen: pictures and PDF documents, told by their content.
pub(crate) fn read(ask: &Ask<'_>, of: &Subject, faults: &mut Faults) -> Vec<Photograph> {
    let uploads = ask.sent.uploads.iter().filter(|upload| upload.field == FIELD);
    let mut photographs = Vec::new();
    for upload in uploads {
        let kind = ContentKind::of(&upload.bytes);
        let kind = kind.filter(|kind| kind.is_shown() || *kind == ContentKind::Pdf);
        let Some(kind) = kind else {
            let key = if upload.bytes.len() > LARGEST_CONTENT {
                "photo-too-large"
            } else {
                "photo-wrong"
            };
            let name = [("name", short(&upload.name).into())];
            faults.add(FIELD, ask.say.with(key, &name));
            continue;
        };
        photographs.push(Photograph {
            about: AttachmentAdded {
                of: of.clone(),
                entry: None,
                hash: ContentHash::of(&upload.bytes),
                media_type: kind.media_type().to_owned(),
                name: short(&upload.name),
                size: upload.bytes.len() as u64,
            },
            bytes: upload.bytes.clone(),
        });
    }
    if photographs.len() > MOST {
        faults.add(FIELD, ask.say.with("photo-too-many", &[("most", MOST.into())]));
    }
    photographs
}

fn short(name: &str) -> String {
    let name = name.rsplit(['/', '\\']).next().unwrap_or_default();
    name.chars().filter(|c| !c.is_control()).take(120).collect()
}

/// Writes down what a form made, with the photographs that belong to `entry`.
pub(crate) fn keep(
    ask: &Ask<'_>,
    mut entries: Vec<Entry>,
    photographs: Vec<Photograph>,
    entry: Option<EventId>,
    at: Timestamp,
    then: &str,
) -> Response {
    let (more, contents) = written(ask, photographs, entry, at);
    entries.extend(more);
    Response {
        attachments: contents,
        ..ask.keep(entries, then)
    }
}

/// The entries of photographs that belong to `entry`, and their contents.
pub(crate) fn written(
    ask: &Ask<'_>,
    photographs: Vec<Photograph>,
    entry: Option<EventId>,
    at: Timestamp,
) -> (Vec<Entry>, Vec<Vec<u8>>) {
    let write = |(number, photograph): (usize, Photograph)| {
        let about = AttachmentAdded {
            entry,
            ..photograph.about
        };
        let entry = ask.entry(&format!("photo-{number}"), at, &Payload::Attachment(about));
        (entry, photograph.bytes)
    };
    photographs.into_iter().enumerate().map(write).unzip()
}

/// The photographs and papers that belong to an entry.
pub(crate) fn of_entry(known: &UnitHistory, entry: EventId) -> Vec<&AttachmentAdded> {
    let all = known.papers.attachments.iter().map(|kept| &kept.what);
    all.filter(|paper| paper.entry == Some(entry)).collect()
}

/// One of them, small, as a link to itself.
pub(crate) fn show(ask: &Ask<'_>, paper: &AttachmentAdded) -> Markup {
    let address = format!("/attachment/{}", paper.hash);
    let words = ask
        .say
        .with("said-attachment", &[("name", paper.name.as_str().into())]);
    let is_picture = paper.media_type.starts_with("image/");
    html! {
        @if is_picture { a.photo href=(address) { img src=(address) alt=(words) loading="lazy"; } }
        @else { a href=(address) { (words) } }
    }
}
