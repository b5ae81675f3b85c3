//! The readings of a unit, from a log or from the ledger, with what is known of where they come from.

use std::collections::BTreeMap;

use intake::{CellNote, IgnoredColumn, Log, ReadColumn, Target};
use jiff::Timestamp;
use ledger::State;
use ledger::payload::Payload;
use reading::{Event, Field, Reading};

/// Readings and events of one unit.
pub(super) struct Records {
    pub(super) readings: Vec<Reading>,
    pub(super) events: Vec<Event>,
    pub(super) set_aside: Vec<Aside>,
    source: Source,
}

/// A row that is no reading.
pub(super) struct Aside {
    pub(super) line: Option<u32>,
    pub(super) text: String,
    pub(super) reason: String,
}

enum Source {
    Log(Box<Log>),
    /// What was typed for each reading, by field, where it was not the bare value.
    Ledger(Vec<BTreeMap<String, String>>),
}

impl Records {
    pub(super) fn of_log(mut log: Log) -> Self {
        let set_aside = log.set_aside.iter().map(|row| Aside {
            line: Some(row.line),
            text: row.text.clone(),
            reason: row.reason.to_string(),
        });
        Self {
            set_aside: set_aside.collect(),
            readings: std::mem::take(&mut log.readings),
            events: std::mem::take(&mut log.events),
            source: Source::Log(Box::new(log)),
        }
    }

    /// What the ledger has of a unit until then.
    pub(super) fn of_ledger(state: &State, id: &str, until: Timestamp) -> Self {
        let Some(history) = state.unit(id) else {
            return Self {
                readings: Vec::new(),
                events: Vec::new(),
                set_aside: Vec::new(),
                source: Source::Ledger(Vec::new()),
            };
        };
        let readings = history.readings_until(until).to_vec();
        let written = history.reading_origins().iter().take(readings.len());
        let written = written.map(|origin| match state.payload(origin.entry) {
            Ok(Some(Payload::Reading(taken))) => taken.as_written,
            _ => BTreeMap::new(),
        });
        let kept = history.set_aside.iter().filter(|kept| kept.at <= until);
        let set_aside = kept.map(|kept| Aside {
            line: kept.what.from.map(|from| from.line),
            text: kept.what.cells.join(" | "),
            reason: kept.what.reason.clone(),
        });
        let unusable = history
            .unreadable()
            .filter(|entry| entry.at <= until)
            .map(|entry| Aside {
                line: None,
                text: format!("the entry {}", entry.origin.entry),
                reason: entry.faults.join("; "),
            });
        Self {
            set_aside: set_aside.chain(unusable).collect(),
            events: history.events_until(until).to_vec(),
            source: Source::Ledger(written.collect()),
            readings,
        }
    }

    fn log(&self) -> Option<&Log> {
        match &self.source {
            Source::Log(log) => Some(log),
            Source::Ledger(_) => None,
        }
    }

    pub(super) fn is_of_ledger(&self) -> bool {
        self.log().is_none()
    }

    pub(super) fn columns(&self) -> &[ReadColumn] {
        self.log().map_or(&[], |log| &log.columns)
    }

    pub(super) fn ignored(&self) -> &[IgnoredColumn] {
        self.log().map_or(&[], |log| &log.ignored)
    }

    pub(super) fn cell_notes(&self) -> &[CellNote] {
        self.log().map_or(&[], |log| &log.cell_notes)
    }

    pub(super) fn habits(&self) -> Vec<String> {
        self.log().map_or_else(Vec::new, |log| log.habits.sentences())
    }

    pub(super) fn assumed(&self) -> Vec<String> {
        self.log().map_or_else(Vec::new, |log| {
            log.assumed.iter().map(ToString::to_string).collect()
        })
    }

    /// What was written for a field of a reading.
    pub(super) fn as_written(&self, reading: usize, field: Field) -> Option<&str> {
        match &self.source {
            Source::Log(log) => log.text(self.readings.get(reading)?.line?, &Target::Field(field)),
            Source::Ledger(written) => written.get(reading)?.get(field.name()).map(String::as_str),
        }
    }
}
