//! The ledger's pages being filled.

use jiff::{SignedDuration, Timestamp};
use ledger::import::{Writer, log_file, plan_import};
use ledger::{Entry, EventId, Payload, State};
use unit::Unit;

use crate::Error;
use crate::chance::Chance;
use crate::kept_log::Sheet;
use crate::scenario::Hand;

/// Entries in the making.
pub(crate) struct Book {
    entries: Vec<Entry>,
    chance: Chance,
}

impl Book {
    pub(crate) fn new(chance: Chance) -> Self {
        Self {
            entries: Vec::new(),
            chance,
        }
    }

    /// Writes down what happened, a few minutes later.
    pub(crate) fn write(&mut self, happened: Timestamp, hand: Hand, payload: &Payload) -> EventId {
        let later = SignedDuration::from_mins(1 + self.chance.minutes(14));
        self.write_later(happened, later, hand, payload)
    }

    /// Writes down what happened so much earlier.
    pub(crate) fn write_later(
        &mut self,
        happened: Timestamp,
        later: SignedDuration,
        hand: Hand,
        payload: &Payload,
    ) -> EventId {
        let written = happened.saturating_add(later).unwrap_or(happened);
        let id = EventId::new(written, self.chance.bytes());
        let entry = Entry::new(id, happened, written, hand.name(), hand.device(), payload);
        self.entries.push(entry);
        id
    }

    /// Reads in a kept log, as the import does it.
    pub(crate) fn import(
        &mut self,
        now: Timestamp,
        hand: Hand,
        unit: &Unit,
        sheet: &Sheet,
    ) -> Result<(), Error> {
        let log = intake::read(sheet.bytes(), &intake::Options::new(unit)).map_err(|source| Error::Log {
            unit: unit.id.clone(),
            source: Box::new(source),
        })?;
        let file = log_file(sheet.log().file, sheet.bytes(), log);
        let mut ids = std::iter::once(EventId::new(now, self.chance.bytes()));
        let writer = Writer {
            now,
            by: hand.name().into(),
            device: hand.device().into(),
        };
        let mut state = State::new();
        for entry in &self.entries {
            state.insert(entry.clone());
        }
        let plan = plan_import(&state, &unit.id, &file, &mut ids, &writer)?;
        self.entries.extend(plan.entries);
        Ok(())
    }

    /// What was written, in the order of writing.
    pub(crate) fn into_entries(mut self) -> Vec<Entry> {
        self.entries.sort_by_key(|entry| (entry.written_at, entry.id));
        self.entries
    }

    pub(crate) fn entries(&self) -> &[Entry] {
        &self.entries
    }
}
