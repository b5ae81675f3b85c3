//! A store that keeps nothing beyond its own life.

use std::collections::BTreeMap;
use std::ops::Bound;
use std::path::Path;

use ledger::{ContentHash, Entry, EventId, Kind, Subject};

use crate::{Appended, Cursor, Error, Remembered, SqliteStore, Store, copy};

/// A store in memory: the contract in its plainest form.
#[derive(Clone, Debug)]
pub struct MemoryStore {
    identity: EventId,
    last: Cursor,
    entries: BTreeMap<Cursor, Entry>,
    arrivals: BTreeMap<EventId, Cursor>,
    contents: BTreeMap<ContentHash, Vec<u8>>,
    cache: BTreeMap<String, Remembered>,
}

impl MemoryStore {
    /// An empty one.
    pub fn new(identity: EventId) -> Self {
        Self {
            identity,
            last: Cursor::default(),
            entries: BTreeMap::new(),
            arrivals: BTreeMap::new(),
            contents: BTreeMap::new(),
            cache: BTreeMap::new(),
        }
    }
}

impl Store for MemoryStore {
    fn identity(&self) -> Result<EventId, Error> {
        Ok(self.identity)
    }

    fn append(&mut self, entries: &mut dyn Iterator<Item = Entry>) -> Result<Appended, Error> {
        let mut appended = Appended::default();
        for entry in entries {
            if let Some(arrival) = self.arrivals.get(&entry.id) {
                let earlier = self
                    .entries
                    .get(arrival)
                    .is_none_or(|kept| entry.precedence(kept).is_lt());
                if !earlier {
                    appended.known += 1;
                    continue;
                }
                self.entries.remove(arrival);
                appended.replaced += 1;
            } else {
                appended.new += 1;
            }
            self.last.0 += 1;
            self.arrivals.insert(entry.id, self.last);
            self.entries.insert(self.last, entry);
        }
        Ok(appended)
    }

    fn read(&self, after: Cursor, limit: usize, each: &mut dyn FnMut(Entry)) -> Result<Cursor, Error> {
        let mut cursor = after;
        for (arrival, entry) in self
            .entries
            .range((Bound::Excluded(after), Bound::Unbounded))
            .take(limit)
        {
            each(entry.clone());
            cursor = *arrival;
        }
        Ok(cursor)
    }

    fn entry(&self, id: EventId) -> Result<Option<Entry>, Error> {
        Ok(self
            .arrivals
            .get(&id)
            .and_then(|arrival| self.entries.get(arrival))
            .cloned())
    }

    fn about(&self, subject: &Subject) -> Result<Vec<Entry>, Error> {
        let entries = self
            .entries
            .values()
            .filter(|entry| entry.payload.subject() == Some(subject));
        Ok(entries.cloned().collect())
    }

    fn without_subject(&self) -> Result<Vec<Entry>, Error> {
        let entries = self.entries.values();
        Ok(entries
            .filter(|entry| entry.payload.subject().is_none())
            .cloned()
            .collect())
    }

    fn outline(&self, each: &mut dyn FnMut(Entry)) -> Result<Cursor, Error> {
        let rows = [Kind::Reading, Kind::SetAside];
        let entries = self.entries.values();
        for entry in entries.filter(|entry| !rows.contains(&entry.payload.kind())) {
            each(entry.clone());
        }
        Ok(self.last)
    }

    fn count(&self) -> Result<u64, Error> {
        Ok(self.entries.len() as u64)
    }

    fn attach(&mut self, bytes: &[u8]) -> Result<ContentHash, Error> {
        let hash = ContentHash::of(bytes);
        self.contents.insert(hash, bytes.to_owned());
        Ok(hash)
    }

    fn attachment(&self, hash: ContentHash) -> Result<Option<Vec<u8>>, Error> {
        Ok(self.contents.get(&hash).cloned())
    }

    fn attachments(&self) -> Result<Vec<ContentHash>, Error> {
        Ok(self.contents.keys().copied().collect())
    }

    fn remember(&mut self, name: &str, what: &Remembered) -> Result<(), Error> {
        self.cache.insert(name.to_owned(), what.clone());
        Ok(())
    }

    fn remembered(&self, name: &str) -> Result<Option<Remembered>, Error> {
        Ok(self.cache.get(name).cloned())
    }

    fn back_up(&self, to: &Path, progress: &mut dyn FnMut(f64)) -> Result<u64, Error> {
        SqliteStore::write_new(to, self.identity, |copied| copy(self, copied, progress))?;
        self.count()
    }

    fn check(&self) -> Result<Vec<String>, Error> {
        Ok(Vec::new())
    }
}
