//! Keeping what was read on the way as an ordinary reading, with what has no field of one in its remark.

use std::collections::BTreeMap;

use fault::interview::{Given, Standing};
use ledger::payload::{Correction, ReadingTaken, Replacement};
use ledger::{EventId, Payload};
use maud::{Markup, html};
use reading::Reading;
use unit::Unit;

use super::asked::{Asked, PAGE};
use super::standing::Interview;
use super::{causes, wording};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::form;
use crate::frame::layout;
use crate::frame::link;
use crate::show::found;

/// The button, or that it was kept already.
pub(super) fn offer(
    ask: &Ask<'_>,
    unit: &Unit,
    asked: &Asked,
    interview: &Interview<'_>,
    standing: &Standing,
) -> Markup {
    let say = ask.say;
    let Some(taken) = taken(ask, unit, asked, interview, standing) else {
        return html! {};
    };
    let kept = kept_before(ask, unit, &taken.reading);
    let same = kept
        .as_ref()
        .filter(|(_, before)| says_the_same(before, &taken.reading));
    html! {
        h2 { (say.say("trouble-keep-title")) }
        @if let Some((entry, _)) = same {
            p { span.well { (say.say("trouble-kept")) } " " a href=(link::entry(*entry)) { (say.say("trouble-to-kept")) } }
        } @else {
            p { (say.say("trouble-keep-about")) }
            form method="post" action=(link::below_unit(&unit.id, PAGE)) {
                (form::hidden_id(ask))
                @for (name, value) in asked.pairs() { input type="hidden" name=(name) value=(value); }
                p { button { (say.say("trouble-keep")) } }
            }
        }
    }
}

/// Writes it down; what was kept of this interview before is corrected by it.
pub(crate) fn write(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let asked = Asked::read(ask, unit, &ask.sent);
    let address = asked.address(unit, None);
    let interview = Interview::of(ask, unit, &asked);
    let taken = interview
        .standing(&asked)
        .ok()
        .and_then(|standing| taken(ask, unit, &asked, &interview, &standing));
    let (Some(taken), Some(at)) = (taken, asked.at) else {
        return layout::see(&address);
    };
    let (entry, kept) = match kept_before(ask, unit, &taken.reading) {
        Some((id, before)) if says_the_same(&before, &taken.reading) => {
            return layout::see(&reading(unit, id));
        }
        Some((id, _)) => {
            let chain = ask.state.corrections_of(id);
            let correction = Correction {
                corrects: chain.last().map_or(id, |entry| entry.id),
                replacement: Some(Replacement {
                    happened_at: None,
                    payload: Payload::Reading(Box::new(taken)).encode(),
                }),
                reason: String::new(),
            };
            let entry = ask.entry("correction", ask.now(), &Payload::Correction(correction));
            (entry, id)
        }
        None => {
            let entry = ask.entry("reading", at, &Payload::Reading(Box::new(taken)));
            let id = entry.id;
            (entry, id)
        }
    };
    ask.keep(vec![entry], &reading(unit, kept))
}

fn reading(unit: &Unit, id: EventId) -> String {
    link::below_unit(&unit.id, &format!("readings/{id}"))
}

/// What was kept of this interview: the reading that was taken when it began.
fn kept_before(ask: &Ask<'_>, unit: &Unit, reading: &Reading) -> Option<(EventId, Reading)> {
    let known = ask.state.unit(&unit.id)?;
    let place = known.readings().iter().position(|one| one.at == reading.at)?;
    let entry = known.reading_origins().get(place)?.entry;
    Some((entry, known.readings().get(place)?.clone()))
}

/// Whether two readings say the same; who wrote it down, and the words of the remark's verdict, do not count.
fn says_the_same(a: &Reading, b: &Reading) -> bool {
    let values = |one: &Reading| {
        let mut plain = one.clone();
        plain.by.clear();
        plain.note.clear();
        plain.line = None;
        plain.observed.sort_unstable();
        plain
    };
    let looks = |one: &Reading| one.note.lines().skip(1).map(str::to_owned).collect::<Vec<_>>();
    values(a) == values(b) && looks(a) == looks(b)
}

/// What was answered, as a reading of its own; none where nothing was.
fn taken(
    ask: &Ask<'_>,
    unit: &Unit,
    asked: &Asked,
    interview: &Interview<'_>,
    standing: &Standing,
) -> Option<ReadingTaken> {
    let at = asked.at?;
    if asked.said.iter().all(|one| one.given == Given::Skipped) {
        return None;
    }
    let mut reading = only_new(&standing.reading, &interview.reading);
    reading.at = at;
    ask.at.person.clone_into(&mut reading.by);
    // First what it came to; then, a line each, what no field of a reading holds.
    let mut lines = vec![ask.say.with(
        "trouble-note",
        &[(
            "verdict",
            causes::verdict_text(ask, unit, &standing.diagnosis).into(),
        )],
    )];
    let mut as_written = BTreeMap::new();
    for said in asked.said.iter().filter(|one| one.given != Given::Skipped) {
        if holds(&reading, &said.key) {
            if let Given::Value(_) = said.given {
                as_written.insert(said.key.clone(), said.text.clone());
            }
        } else {
            lines.push(format!(
                "{} {}",
                wording::short(ask, unit, &said.key),
                wording::answer(ask, said)
            ));
        }
    }
    reading.note = lines.join("\n");
    Some(ReadingTaken {
        unit: unit.id.clone(),
        reading,
        as_written,
        from: None,
    })
}

/// What is in a reading and was not in the one before the interview.
fn only_new(after: &Reading, before: &Reading) -> Reading {
    let mut new = Reading::new(after.at);
    for field in reading::Field::ALL {
        if after.get(*field) != before.get(*field) {
            new.set(*field, after.get(*field));
        }
    }
    let fresh = |after: &BTreeMap<String, f64>, before: &BTreeMap<String, f64>| {
        let changed = after
            .iter()
            .filter(|(part, value)| before.get(*part) != Some(value));
        changed
            .map(|(part, value)| (part.clone(), *value))
            .collect::<BTreeMap<_, _>>()
    };
    new.pressure_after_kpa = fresh(&after.pressure_after_kpa, &before.pressure_after_kpa);
    new.conductivity_after_us_cm = fresh(&after.conductivity_after_us_cm, &before.conductivity_after_us_cm);
    new.element_permeate_us_cm = fresh(&after.element_permeate_us_cm, &before.element_permeate_us_cm);
    new.observed.clone_from(&after.observed);
    new.observed.retain(|one| !before.observed.contains(one));
    new
}

/// Whether a reading holds the answer to the question of this key.
fn holds(reading: &Reading, key: &str) -> bool {
    match key.split_once('.') {
        Some(("observed", name)) => reading.observed.iter().any(|one| one.name() == name),
        Some(("pressure_after", part)) => reading.pressure_after_kpa.contains_key(part),
        Some(("conductivity_after", part)) => reading.conductivity_after_us_cm.contains_key(part),
        Some(("element_permeate_conductivity", part)) => reading.element_permeate_us_cm.contains_key(part),
        Some(_) => false,
        None => reading::Field::from_name(key).is_some_and(|field| reading.get(field).is_some()),
    }
}
