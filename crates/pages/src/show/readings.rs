//! Take readings; and the verdict at once after saving.

use std::collections::BTreeMap;

use ledger::payload::{ReadingTaken, SettingsChosen};
use ledger::{EventId, Payload, Subject};
use maud::{Markup, html};
use quantity::{Context, parse};
use unit::Unit;
use wear::doubts::Doubt;

use super::how::Named;
use super::reading_form::{self, Spot};
use super::{found, photographs, trouble, verdict, words};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::figure::{figure, said};
use crate::frame::form::{self, Faults};
use crate::frame::layout::{self, Page};
use crate::frame::link;
use crate::frame::measure::{kind_of, setting};

/// The empty form.
pub(crate) fn ask(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let mut typed = Fields::default();
    typed.set("at", reading_form::local(ask.now(), &casefile::time_zone(unit)));
    show(ask, unit, &typed, &Faults::default())
}

fn show(ask: &Ask<'_>, unit: &Unit, typed: &Fields, faults: &Faults) -> Response {
    let say = ask.say;
    let spots = reading_form::spots(ask, unit);
    let last = ask
        .state
        .unit(&unit.id)
        .map_or(&[][..], |known| known.readings_until(ask.now()));
    let title = say.say("readings-title");
    let body = html! {
        h1 { (title) }
        p { (say.say("readings-about")) }
        (faults.summary(ask, |name| label(ask, &spots, name)))
        form method="post" action=(link::below_unit(&unit.id, "readings/new")) enctype="multipart/form-data" {
            (form::hidden_id(ask))
            (reading_form::show(ask, &spots, last, &casefile::time_zone(unit), typed, faults))
            (photographs::field(ask, faults))
            p { button.first { (say.say("save-readings")) } }
        }
    };
    Page {
        above: found::above(ask, unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// The label of a field of the form.
fn label(ask: &Ask<'_>, spots: &[Spot], name: &str) -> String {
    match name {
        photographs::FIELD => ask.say.say("photo"),
        _ => reading_form::label(ask, spots, name),
    }
}

/// Writes a reading down.
pub(crate) fn write(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let spots = reading_form::spots(ask, unit);
    let mut faults = Faults::default();
    let (at, taken) = reading_form::read(ask, unit, &spots, &mut faults);
    let photos = photographs::read(ask, &Subject::unit(&unit.id), &mut faults);
    if !faults.is_empty() {
        return show(ask, unit, &ask.sent, &faults);
    }
    let settings = units_learned(ask, &spots, &taken);
    let reading = ask.entry("reading", at, &Payload::Reading(Box::new(taken)));
    let id = reading.id;
    let then = link::below_unit(&unit.id, &format!("readings/{id}"));
    let mut entries = vec![reading];
    entries.extend(settings.map(|chosen| ask.entry("units", ask.now(), &Payload::Settings(chosen))));
    photographs::keep(ask, entries, photos, Some(id), at, &then)
}

/// The units that someone typed beside their values are theirs from now on.
pub(crate) fn units_learned(ask: &Ask<'_>, spots: &[Spot], taken: &ReadingTaken) -> Option<SettingsChosen> {
    let mut set = BTreeMap::new();
    for spot in spots {
        let Some(text) = taken.as_written.get(&spot.name) else {
            continue;
        };
        let Ok(parsed) = parse(spot.kind, text, &Context::default()) else {
            continue;
        };
        if let Some(unit) = parsed.unit.filter(|unit| unit.kind == spot.kind)
            && unit.symbol != ask.measures.symbol(spot.kind)
            && unit.needs_no_context()
            && let Some(name) = setting(spot.kind)
        {
            set.insert(name, unit.symbol.into());
        }
    }
    (!set.is_empty() && !ask.at.person.is_empty()).then(|| SettingsChosen {
        person: ask.at.person.to_owned(),
        set,
    })
}

/// The page after a reading was saved: what is doubtful in it, and the verdict.
pub(crate) fn saved(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let say = ask.say;
    let id: Option<EventId> = held.get(1).and_then(|id| id.parse().ok());
    let place = known
        .reading_origins()
        .iter()
        .position(|origin| Some(origin.entry) == id);
    let whole = ask.whole(&unit.id);
    let (Some(id), Some(place), Some(whole)) = (id, place, whole) else {
        return layout::not_found(ask);
    };
    let evaluation = &whole.evaluation;
    let one = evaluation.standardisation.readings.get(place);
    let zone = casefile::time_zone(unit);
    let when = known
        .readings()
        .get(place)
        .map(|reading| ask.moment(reading.at, &zone));
    let title = say.say("saved-title");
    let body = html! {
        h1 { (title) }
        p { span.well { (say.say("saved")) } " " (when.unwrap_or_default()) }
        @if let Some(one) = one {
            @if !one.doubts.is_empty() {
                section.asked {
                    h2 { (say.say("saved-right")) }
                    @for doubt in &one.doubts { (question(ask, unit, id, doubt)) }
                    p { (say.say("saved-as-it-stands")) }
                }
            }
            @if !one.missing.is_empty() {
                p {
                    (say.with("saved-missing", &[("fields", say.list(&one.missing.iter().map(|field| words::field(ask, *field)).collect::<Vec<_>>()).into())]))
                }
            }
        }
        h2 { (say.say("verdict-title")) }
        p.verdict { (verdict::sentence(ask, unit, evaluation)) }
        (verdict::advice(ask, unit, evaluation))
        ul.doing {
            li { a.button.first href=(link::unit(&unit.id)) { (say.say("to-unit")) } }
            li { a.button href={ (link::below_unit(&unit.id, trouble::PAGE)) "?from=" (id) } { (say.say("trouble-title")) } }
            li { a.button href=(link::entry(id)) { (say.say("to-correct")) } }
        }
    };
    Page {
        above: found::above(ask, unit),
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// What is doubted, and what would fit, in a sentence or two.
pub(crate) fn doubt(ask: &Ask<'_>, unit: &Unit, id: EventId, doubt: &Doubt) -> Markup {
    let key = match doubt.suggested {
        Some(_) => "doubt-suggested",
        None => "doubt-plain",
    };
    let shown = |value: f64| ask.measures.show(kind_of(doubt.field), value);
    let of = format!("{id}.{}", doubt.field.name());
    let suggested = doubt
        .suggested
        .map(|value| figure(&unit.id, Named::SUGGESTION, &of, shown(value)));
    let values = vec![
        ("field", words::field(ask, doubt.field).into()),
        ("read", said(shown(doubt.read)).into()),
        ("suggested", suggested.unwrap_or_default().into()),
    ];
    ask.say.rich(key, values)
}

/// A doubt with the way to correct the value.
fn question(ask: &Ask<'_>, unit: &Unit, id: EventId, doubted: &Doubt) -> Markup {
    let say = ask.say;
    let kind = kind_of(doubted.field);
    html! {
        p { (doubt(ask, unit, id, doubted)) }
        p {
            @match doubted.suggested {
                Some(suggested) => {
                    @let typed = ask.measures.typed(kind, suggested);
                    @let shown = ask.measures.show(kind, suggested);
                    a.button.said href={ (link::entry(id)) "?" (doubted.field.name()) "=" (link::encoded(&typed)) } {
                        (say.with("doubt-correct", &[("suggested", shown.into())]))
                    }
                }
                None => { a.button href=(link::entry(id)) { (say.say("to-correct")) } }
            }
        }
    }
}
