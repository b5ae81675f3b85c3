//! The lives of parts: when each was new, as the events tell it.

use jiff::{SignedDuration, Timestamp};
use reading::{Event, EventKind, Reading};
use unit::{Element, Unit};

/// Time between two instants in days.
pub fn days(from: Timestamp, to: Timestamp) -> f64 {
    let microseconds = to.as_microsecond() - from.as_microsecond();
    microseconds as f64 / 86_400e6
}

/// The instant so many days after another; the other itself where there is no such instant.
pub fn after(at: Timestamp, d: f64) -> Timestamp {
    let span = SignedDuration::try_from_secs_f64((d * 86_400.0).round());
    span.ok().and_then(|span| at.checked_add(span).ok()).unwrap_or(at)
}

/// When the unit went into service: as stated, else its first event or reading.
pub fn commissioned(unit: &Unit, readings: &[Reading], events: &[Event]) -> Option<Timestamp> {
    let stated = unit
        .commissioned
        .and_then(|date| jiff::tz::TimeZone::UTC.to_timestamp(date.at(0, 0, 0, 0)).ok());
    let first = readings
        .iter()
        .map(|reading| reading.at)
        .chain(events.iter().map(|event| event.at))
        .min();
    stated.or(first)
}

/// When the part was new, each of its lives, in order: its commissioning, and every renewal after it.
pub fn renewals(part: &str, start: Option<Timestamp>, events: &[Event]) -> Vec<Timestamp> {
    let mut times: Vec<Timestamp> = events
        .iter()
        .filter(|event| event.renews() && event.part.as_deref() == Some(part))
        .map(|event| event.at)
        .collect();
    times.sort_unstable();
    let first = times.first().copied();
    if let Some(start) = start
        && first.is_none_or(|first| days(start, first) > 1.0)
    {
        times.insert(0, start);
    }
    times
}

/// The last time the part was new, no later than `now`.
pub fn new_at(part: &str, start: Option<Timestamp>, events: &[Event], now: Timestamp) -> Option<Timestamp> {
    renewals(part, start, events)
        .into_iter()
        .rev()
        .find(|at| *at <= now)
}

/// A stretch in which the membranes were the same.
#[derive(Clone, Debug, PartialEq)]
pub struct MembraneLife {
    /// When the newest of them was new.
    pub start: Timestamp,
    /// The elements that were new then, by index; all of them at the first start.
    pub renewed: Vec<usize>,
}

/// The lives of the membranes as a group. Changes within a day of each other are one.
pub fn membrane_lives(unit: &Unit, start: Option<Timestamp>, events: &[Event]) -> Vec<MembraneLife> {
    let elements = &unit.membranes.elements;
    let mut changes: Vec<(Timestamp, usize)> = Vec::new();
    for (index, element) in elements.iter().enumerate() {
        let times = renewals(&element.id, start, events);
        changes.extend(times.into_iter().map(|at| (at, index)));
    }
    changes.sort_unstable();
    let mut lives: Vec<MembraneLife> = Vec::new();
    for (at, index) in changes {
        match lives.last_mut() {
            Some(life) if days(life.start, at) <= 1.0 => life.renewed.push(index),
            _ => lives.push(MembraneLife {
                start: at,
                renewed: vec![index],
            }),
        }
    }
    lives
}

/// The elements that a life of the membranes runs with: the unit's own, and what has since gone in with another rating.
///
/// Like the lives themselves, it takes what happens within a day of the life's start as part of the same change.
pub fn elements_in(unit: &Unit, life: &MembraneLife, events: &[Event]) -> Vec<Element> {
    let mut elements = unit.membranes.elements.clone();
    let mut changes: Vec<(Timestamp, &Element)> = events
        .iter()
        .filter(|event| event.renews() && days(life.start, event.at) <= 1.0)
        .filter_map(|event| Some((event.at, event.element.as_ref()?)))
        .collect();
    changes.sort_by_key(|(at, _)| *at);
    for (_, new) in changes {
        for own in elements.iter_mut().filter(|own| own.id == new.id) {
            own.clone_from(new);
        }
    }
    elements
}

/// Whether the part was cleaned or rinsed between two instants.
pub fn cleaned_between(part: &str, from: Timestamp, to: Timestamp, events: &[Event]) -> bool {
    events.iter().any(|event| {
        event.kind == EventKind::Cleaned
            && event.part.as_deref() == Some(part)
            && event.at > from
            && event.at <= to
    })
}
