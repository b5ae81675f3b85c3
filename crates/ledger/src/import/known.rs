//! What a ledger already has of a unit's log.

use std::collections::HashMap;

use reading::{Field, Reading};

use super::rows::{Item, Says};
use crate::payload::{Kind, Payload, Subject, event_document};
use crate::{Encoded, EventId, State, UnitHistory};

/// What a ledger already has of a unit's log.
#[derive(Debug)]
pub(super) struct Known<'a> {
    state: &'a State,
    history: Option<&'a UnitHistory>,
    /// Entries by their id without its time: a row keeps it although its date is read differently.
    rows: HashMap<[u8; 10], EventId>,
}

/// Whether the ledger has something from another source.
pub(super) enum Elsewhere {
    /// The same.
    Same(EventId),
    /// A reading of the same time with other values.
    Differs(EventId),
    /// No.
    Nothing,
}

/// Two conversions of one value between units agree to about 1e-9; two readings of an instrument differ by
/// more than this.
const SAME: f64 = 1e-6;

impl<'a> Known<'a> {
    pub(super) fn of(state: &'a State, unit: &str) -> Self {
        let subject = Subject::unit(unit);
        let kinds = [Kind::Reading, Kind::Event, Kind::SetAside];
        let rows = state
            .entries()
            .filter(|entry| {
                kinds.contains(&entry.payload.kind()) && entry.payload.subject() == Some(&subject)
            })
            .map(|entry| (entry.id.tail(), entry.id))
            .collect();
        Self {
            state,
            history: state.unit(unit),
            rows,
        }
    }

    /// The entry that this row gave before.
    pub(super) fn row(&self, id: EventId) -> Option<EventId> {
        self.rows.get(&id.tail()).copied()
    }

    /// Whether someone has corrected the entry, or taken it back.
    pub(super) fn is_corrected(&self, id: EventId) -> bool {
        !self.state.corrections_of(id).is_empty()
    }

    /// Whether the entry says just this, wherever it was read.
    pub(super) fn says(&self, id: EventId, item: &Item<'_>) -> bool {
        let Some(effective) = self.state.effective(id) else {
            return false;
        };
        let said = effective.payload.and_then(|payload| payload.decode().ok());
        match said {
            // Why it could not be read may be said in other words.
            Some(Payload::SetAside(said)) => {
                matches!(item.says, Says::Nothing(unread) if said.cells == unread.cells)
            }
            Some(said) => effective.happened_at == item.at && content(said).json() == item.content,
            None => false,
        }
    }

    /// Whether the ledger has this from somewhere else: another form of the log, or typed in.
    pub(super) fn elsewhere(&self, item: &Item<'_>) -> Elsewhere {
        let Some(history) = self.history else {
            return Elsewhere::Nothing;
        };
        let at = item.at;
        match &item.says {
            Says::Reading(taken) => {
                let readings = history.readings();
                let start = readings.partition_point(|reading| reading.at < at);
                let same_time = readings.iter().zip(history.reading_origins()).skip(start);
                let mut differs = None;
                for (reading, origin) in same_time.take_while(|(reading, _)| reading.at == at) {
                    if same_values(reading, taken) {
                        return Elsewhere::Same(origin.entry);
                    }
                    differs = differs.or(Some(origin.entry));
                }
                differs.map_or(Elsewhere::Nothing, Elsewhere::Differs)
            }
            Says::Event(done) => {
                let events = history.events();
                let start = events.partition_point(|event| event.at < at);
                let same_time = events.iter().zip(history.event_origins()).skip(start);
                let same = same_time
                    .take_while(|(event, _)| event.at == at)
                    .find(|(event, _)| {
                        let document = event_document(event);
                        ["kind", "part"]
                            .into_iter()
                            .all(|name| document.get(name) == done.get(name))
                    });
                same.map_or(Elsewhere::Nothing, |(_, origin)| Elsewhere::Same(origin.entry))
            }
            Says::Nothing(_) => Elsewhere::Nothing,
        }
    }
}

/// A payload without the place where it was read.
fn content(mut payload: Payload) -> Encoded {
    match &mut payload {
        Payload::Reading(taken) => taken.from = None,
        Payload::Event(done) => done.from = None,
        _ => {}
    }
    payload.encode()
}

fn same_values(a: &Reading, b: &Reading) -> bool {
    let close = |a: f64, b: f64| (a - b).abs() <= SAME * a.abs().max(b.abs());
    let both = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => close(a, b),
        (None, None) => true,
        _ => false,
    };
    let maps = [
        (&a.pressure_after_kpa, &b.pressure_after_kpa),
        (&a.chlorine_after_mg_l, &b.chlorine_after_mg_l),
        (&a.conductivity_after_us_cm, &b.conductivity_after_us_cm),
        (&a.element_permeate_us_cm, &b.element_permeate_us_cm),
    ];
    Field::ALL.iter().all(|&field| both(a.get(field), b.get(field)))
        && a.observed == b.observed
        && maps.into_iter().all(|(a, b)| {
            a.len() == b.len() && a.iter().zip(b).all(|((p, a), (q, b))| p == q && close(*a, *b))
        })
}
