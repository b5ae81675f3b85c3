//! Works under way, as their marks add up.

use std::collections::BTreeMap;

use jiff::Timestamp;
use serde_json::Value;

use crate::EventId;
use crate::payload::{WorkMark, WorkMarked};

/// A work at a unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// The entry that began it.
    pub id: EventId,
    /// When it was begun.
    pub begun_at: Timestamp,
    /// Who began it.
    pub by: String,
    /// The `work` of a case file, item by item.
    pub items: Vec<Value>,
    /// Fingerprint of the card's steps.
    pub card: String,
    /// How many steps are done, from the first.
    pub done: u32,
    /// When the waiting time of a step began.
    pub waits: BTreeMap<u32, Timestamp>,
    /// What was seen at a step.
    pub notes: BTreeMap<u32, String>,
    /// When it ended, and whether it was finished; none while it is under way.
    pub ended: Option<(Timestamp, bool)>,
}

/// The works of a unit. Marks may lie before their beginning, where a clock was wrong: they count all the same.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Works(BTreeMap<EventId, Marks>);

#[derive(Clone, Debug, Default, PartialEq)]
struct Marks {
    begun: Option<Begun>,
    done: u32,
    waits: BTreeMap<u32, Timestamp>,
    notes: BTreeMap<u32, String>,
    ended: Option<(Timestamp, bool)>,
}

#[derive(Clone, Debug, PartialEq)]
struct Begun {
    at: Timestamp,
    by: String,
    items: Vec<Value>,
    card: String,
}

impl Works {
    /// Adds the mark of an entry.
    pub(super) fn mark(&mut self, entry: EventId, at: Timestamp, by: &str, marked: WorkMarked) {
        let marks = self.0.entry(marked.work.unwrap_or(entry)).or_default();
        match marked.mark {
            WorkMark::Begun { items, card } => {
                marks.begun = Some(Begun {
                    at,
                    by: by.to_owned(),
                    items,
                    card,
                });
            }
            WorkMark::Waiting { step } => {
                marks.waits.insert(step, at);
            }
            WorkMark::Done { step, note } => {
                marks.done = marks.done.max(step);
                if !note.is_empty() {
                    marks.notes.insert(step, note);
                }
            }
            WorkMark::Undone { step } => {
                marks.done = marks.done.min(step.saturating_sub(1));
                marks.waits.retain(|waited, _| *waited < step);
            }
            WorkMark::Ended { finished } => {
                // Finished stays finished, whoever gives it up elsewhere.
                let before = marks.ended.is_some_and(|(_, finished)| finished);
                if !before {
                    marks.ended = Some((at, finished));
                }
            }
        }
    }

    /// All that were begun, in the order in which they were.
    pub(super) fn all(&self) -> Vec<Work> {
        self.those(|_| true)
    }

    /// Those that did not end yet, without a copy of all the others.
    pub(super) fn under_way(&self) -> Vec<Work> {
        self.those(|marks| marks.ended.is_none())
    }

    fn those(&self, wanted: impl Fn(&Marks) -> bool) -> Vec<Work> {
        let mut those: Vec<Work> = self
            .0
            .iter()
            .filter(|(_, marks)| wanted(marks))
            .filter_map(|(id, marks)| {
                let begun = marks.begun.as_ref()?;
                Some(Work {
                    id: *id,
                    begun_at: begun.at,
                    by: begun.by.clone(),
                    items: begun.items.clone(),
                    card: begun.card.clone(),
                    done: marks.done,
                    waits: marks.waits.clone(),
                    notes: marks.notes.clone(),
                    ended: marks.ended,
                })
            })
            .collect();
        those.sort_by_key(|work| (work.begun_at, work.id));
        those
    }
}
