//! The log of a unit: everything that was written down, newest first, each entry with the way to correct it.

use jiff::tz::TimeZone;
use ledger::state::Effective;
use ledger::{Payload, Subject};
use maud::{Markup, html};
use quantity::Kind;
use reading::{EventKind, Field};

use super::{found, photographs, told, words, work};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::layout::Page;
use crate::frame::link;

/// Entries on one page of the log.
const ON_A_PAGE: usize = 50;

/// The page.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let say = ask.say;
    let zone = casefile::time_zone(unit);
    let subject = Subject::unit(&unit.id);
    let entries: Vec<Effective<'_>> = ask.state.entries_of(&subject).filter(work::has_line).collect();
    let pages = entries.len().div_ceil(ON_A_PAGE).max(1);
    let page = ask
        .query
        .get("page")
        .parse::<usize>()
        .unwrap_or(1)
        .clamp(1, pages);
    let shown = entries.iter().rev().skip((page - 1) * ON_A_PAGE).take(ON_A_PAGE);
    let unreadable: Vec<_> = known.unreadable().collect();
    let title = say.with("log-title", &[("name", unit.name.as_str().into())]);
    let address = |page: usize| format!("{}?page={page}", link::below_unit(&unit.id, "log"));
    let body = html! {
        h1 { (title) }
        p { (say.with("log-about", &[("n", entries.len().into())])) }
        @if !unreadable.is_empty() {
            section.asked {
                h2 { (say.with("log-unreadable", &[("n", unreadable.len().into())])) }
                ul.said { @for one in unreadable.iter().take(ON_A_PAGE) { li { a href=(link::entry(one.origin.entry)) { (ask.day(one.at, &zone)) } ": " (one.faults.join("; ")) } } }
            }
        }
        ol.plain.said { @for one in shown { li { (line(ask, one, &zone, false)) } } }
        @if pages > 1 {
            nav aria-label=(say.say("log-pages")) {
                ul.doing {
                    @if page > 1 { li { a.button rel="prev" href=(address(page - 1)) { (say.say("log-newer")) } } }
                    @if page < pages { li { a.button rel="next" href=(address(page + 1)) { (say.say("log-older")) } } }
                }
            }
            p.small { (say.with("log-page", &[("page", page.into()), ("pages", pages.into())])) }
        }
    };
    Page {
        above: found::above(ask, unit),
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// One entry in a line or two.
pub(crate) fn line(ask: &Ask<'_>, one: &Effective<'_>, zone: &TimeZone, with_unit: bool) -> Markup {
    let say = ask.say;
    let by = &*one.entry.by;
    let unit = one.payload.as_ref().and_then(|payload| match payload.subject() {
        Some(Subject::Unit(id)) => Some(id.clone()),
        _ => None,
    });
    html! {
        p {
            a href=(link::entry(one.entry.id)) { (ask.moment(one.happened_at, zone)) }
            @if with_unit { @if let Some(id) = &unit {
                @let name = ask.state.unit(id).and_then(|known| known.unit()).map_or_else(|| id.to_string(), |unit| unit.name.clone());
                ", " a href=(link::unit(id)) { (name) }
            } }
            ": " (what(ask, one))
        }
        @if let Some(Ok(Payload::Attachment(paper))) = one.payload.as_ref().map(|payload| payload.decode()) { p { (photographs::show(ask, &paper)) } }
        p.small {
            (say.with("log-by", &[("by", by.into())]))
            @if one.correction.is_some() { ", " (say.say("log-corrected")) }
        }
    }
}

/// What an entry says as it stands.
pub(crate) fn what(ask: &Ask<'_>, one: &Effective<'_>) -> String {
    let say = ask.say;
    let Some(payload) = &one.payload else {
        return say.say("said-taken-back");
    };
    let Ok(payload) = payload.decode() else {
        return say.say("said-not-understood");
    };
    match payload {
        Payload::Reading(taken) => reading(ask, &taken.reading),
        Payload::Event(event) => {
            let text = |name: &str| {
                event
                    .document
                    .get(name)
                    .and_then(|value| value.as_str())
                    .unwrap_or_default()
            };
            let kind = EventKind::from_name(text("kind"))
                .map_or_else(|| text("kind").to_owned(), |kind| words::event(ask, kind));
            let unit = ask.state.unit(&event.unit).and_then(|known| known.unit());
            let part = unit.map_or_else(
                || text("part").to_owned(),
                |unit| words::part(ask, unit, text("part")),
            );
            joined(&[&part, &kind], text("note"))
        }
        Payload::Note(note) => say.with("said-note", &[("text", note.text.into())]),
        Payload::Water(_) => say.say("said-water"),
        Payload::Unit(described) if described.installed => say.say("said-installed"),
        Payload::Unit(_) => say.say("said-described"),
        Payload::UnitMoved(moved) => {
            say.with("said-moved", &[("site", moved.site.unwrap_or_default().into())])
        }
        Payload::UnitRetired(retired) => joined(&[&say.say("said-retired")], &retired.note),
        Payload::Visit(visit) => say.with("said-visit", &[("text", visit.note.into())]),
        Payload::Import(batch) => say.with(
            "said-import",
            &[
                ("file", batch.file_name.into()),
                ("n", batch.rows.readings.to_string().into()),
            ],
        ),
        Payload::SetAside(row) => say.with(
            "said-set-aside",
            &[
                ("cells", row.cells.join(" \u{b7} ").into()),
                ("reason", told::reason(ask, &row.reason).into()),
            ],
        ),
        Payload::Attachment(paper) => say.with("said-attachment", &[("name", paper.name.into())]),
        Payload::Customer(customer) => customer.name,
        Payload::Site(site) => site.name,
        Payload::Settings(_) => say.say("said-settings"),
        Payload::Correction(_) => say.say("log-corrected"),
        Payload::Work(marked) => work::said(ask, &marked),
    }
}

fn joined(words: &[&str], note: &str) -> String {
    let words: Vec<&str> = words.iter().copied().filter(|word| !word.is_empty()).collect();
    let words = words.join(", ");
    if note.is_empty() {
        words
    } else {
        format!("{words} ({note})")
    }
}

/// The values of a reading that tell most.
pub(crate) fn reading(ask: &Ask<'_>, reading: &reading::Reading) -> String {
    let told = [
        (Field::FeedTemperature, Kind::Temperature),
        (Field::InletPressure, Kind::Pressure),
        (Field::PermeateFlow, Kind::Flow),
        (Field::ConcentrateFlow, Kind::Flow),
        (Field::FeedConductivity, Kind::Conductivity),
        (Field::PermeateConductivity, Kind::Conductivity),
        (Field::FreeChlorineOut, Kind::Concentration),
    ];
    let values: Vec<String> = told
        .iter()
        .filter_map(|(field, kind)| {
            let value = ask.measures.show(*kind, reading.get(*field)?);
            Some(format!("{} {value}", words::field(ask, *field)))
        })
        .collect();
    joined(
        &[&ask
            .say
            .with("said-reading", &[("values", values.join(", ").into())])],
        &reading.note,
    )
}
