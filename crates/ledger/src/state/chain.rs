//! Corrections: which one stands.
//!
//! The corrections of an entry are a tree: each names the entry or an earlier correction. One that is named
//! by another has been replaced by it, whatever their clocks say: who corrected it had seen it. Of the ends
//! of the tree the latest by (time written, id) stands.

use std::borrow::Cow;
use std::collections::BTreeSet;

use serde::Deserialize;

use super::{Effective, State};
use crate::payload::{Kind, Payload};
use crate::{Entry, EventId};

/// The entry that this one corrects, if it is a correction.
pub(super) fn corrects(entry: &Entry) -> Option<EventId> {
    #[derive(Deserialize)]
    struct Target {
        corrects: EventId,
    }
    if entry.payload.kind() != Kind::Correction {
        return None;
    }
    serde_json::from_str::<Target>(entry.payload.json())
        .ok()
        .map(|target| target.corrects)
}

impl State {
    /// The entry at the root of a chain of corrections; itself where it is no correction. None where the
    /// root has not arrived, or where corrections name each other in a ring.
    pub(super) fn root(&self, id: EventId) -> Option<EventId> {
        let mut seen = BTreeSet::new();
        let mut current = id;
        loop {
            let entry = self.entry(current)?;
            if entry.payload.kind() != Kind::Correction {
                return Some(current);
            }
            if !seen.insert(current) {
                return None;
            }
            current = corrects(entry)?;
        }
    }

    /// An entry with its corrections applied; none where it is a correction itself, or is not there.
    pub fn effective(&self, id: EventId) -> Option<Effective<'_>> {
        let entry = self.entry(id)?;
        if entry.payload.kind() == Kind::Correction {
            return None;
        }
        let as_written = Effective {
            entry,
            correction: None,
            happened_at: entry.happened_at,
            payload: Some(Cow::Borrowed(&entry.payload)),
        };
        if !self.corrections.contains_key(&id) {
            return Some(as_written);
        }
        let ends = self
            .corrections_of(id)
            .into_iter()
            .filter(|end| !self.corrections.contains_key(&end.id));
        let latest = ends.max_by_key(|end| (end.written_at, end.id));
        let Some(correction) = latest else {
            return Some(as_written);
        };
        // A correction that is not understood changes nothing; it stays in the trail.
        let Ok(Payload::Correction(said)) = correction.payload.decode() else {
            return Some(as_written);
        };
        let moved_to = said
            .replacement
            .as_ref()
            .and_then(|replacement| replacement.happened_at);
        Some(Effective {
            entry,
            correction: Some(correction),
            happened_at: moved_to.unwrap_or(entry.happened_at),
            payload: said
                .replacement
                .map(|replacement| Cow::Owned(replacement.payload)),
        })
    }

    /// All corrections of an entry, those of its corrections among them, in the order in which they were
    /// written.
    pub fn corrections_of(&self, id: EventId) -> Vec<&Entry> {
        let mut found = BTreeSet::new();
        let mut open = vec![id];
        while let Some(target) = open.pop() {
            for &correction in self.corrections.get(&target).into_iter().flatten() {
                if found.insert(correction) {
                    open.push(correction);
                }
            }
        }
        found.remove(&id);
        let mut corrections: Vec<_> = found.into_iter().filter_map(|id| self.entry(id)).collect();
        corrections.sort_by_key(|entry| (entry.written_at, entry.id));
        corrections
    }
}
