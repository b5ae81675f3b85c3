//! The log of one subject, and its history as folded from it.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Arc, OnceLock};

use jiff::Timestamp;

use super::{Effective, Key, State};
use crate::payload::{AttachmentAdded, Payload};
use crate::{Entry, EventId};

/// Where a value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Origin {
    /// The entry, as first written.
    pub entry: EventId,
    /// Whether a correction stands in its place.
    pub corrected: bool,
}

/// A value with its time and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept<T> {
    /// When.
    pub at: Timestamp,
    /// What.
    pub what: T,
    /// From which entry.
    pub origin: Origin,
}

/// An entry that could not be used, with the reason. It is kept, and a correction repairs it.
#[derive(Clone, Debug, PartialEq)]
pub struct Unreadable {
    /// When.
    pub at: Timestamp,
    /// From which entry.
    pub origin: Origin,
    /// Every fault that was found in it.
    pub faults: Vec<String>,
}

/// Remarks, photographs and papers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Papers {
    /// Remarks.
    pub notes: Vec<Kept<String>>,
    /// Photographs and papers.
    pub attachments: Vec<Kept<AttachmentAdded>>,
}

/// One entry on its way into a history.
pub(super) struct Step {
    pub(super) at: Timestamp,
    pub(super) origin: Origin,
    pub(super) by: Arc<str>,
    /// A hash of what stands and of which entry says so.
    pub(super) hash: u64,
}

impl Step {
    pub(super) fn keep<T>(&self, what: T) -> Kept<T> {
        Kept {
            at: self.at,
            what,
            origin: self.origin,
        }
    }

    pub(super) fn unreadable(&self, faults: Vec<String>) -> Unreadable {
        Unreadable {
            at: self.at,
            origin: self.origin,
            faults,
        }
    }
}

/// A history that is folded from entries in order.
pub(super) trait Fold: Default {
    /// Adds what comes next.
    fn apply(&mut self, step: &Step, payload: Payload);
    /// Adds what could not be understood.
    fn set_aside(&mut self, unreadable: Unreadable);
}

/// The entries of one subject in order, and what they add up to once it was asked for.
#[derive(Clone, Debug)]
pub(super) struct Log<H> {
    order: BTreeSet<Key>,
    history: OnceLock<H>,
}

impl<H: Fold> Log<H> {
    pub(super) fn order(&self) -> &BTreeSet<Key> {
        &self.order
    }

    pub(super) fn history(&self, state: &State) -> &H {
        self.history.get_or_init(|| {
            let mut history = H::default();
            for &(_, id) in &self.order {
                if let Some(effective) = state.effective(id) {
                    step(&mut history, &effective);
                }
            }
            history
        })
    }
}

fn step<H: Fold>(history: &mut H, effective: &Effective<'_>) {
    let Some(payload) = &effective.payload else { return };
    let origin = Origin {
        entry: effective.entry.id,
        corrected: effective.correction.is_some(),
    };
    let step = Step {
        at: effective.happened_at,
        origin,
        by: Arc::clone(&effective.entry.by),
        hash: hash_of(effective, payload),
    };
    match payload.decode() {
        Ok(payload) => history.apply(&step, payload),
        Err(error) => history.set_aside(step.unreadable(vec![error.to_string()])),
    }
}

/// The same for the same content in one build of the program; not to be kept.
fn hash_of(effective: &Effective<'_>, payload: &crate::Encoded) -> u64 {
    let mut hasher = DefaultHasher::new();
    let standing = effective.correction.unwrap_or(effective.entry);
    (effective.entry.id, standing.id, effective.happened_at).hash(&mut hasher);
    (&effective.entry.by, payload.json()).hash(&mut hasher);
    hasher.finish()
}

/// Files an entry under a subject. Where it comes last and was never corrected (`single`), the folded
/// history takes it in; else the history is folded again when it is next asked for.
pub(super) fn file<H: Fold>(
    logs: &mut BTreeMap<Arc<str>, Log<H>>,
    id: &Arc<str>,
    key: Key,
    single: Option<&Entry>,
) {
    let log = logs.entry(Arc::clone(id)).or_insert_with(|| Log {
        order: BTreeSet::new(),
        history: OnceLock::new(),
    });
    let last = log.order.last().is_none_or(|last| *last < key);
    log.order.insert(key);
    match (single, log.history.get_mut()) {
        (Some(entry), Some(history)) if last => {
            let payload = Some(Cow::Borrowed(&entry.payload));
            step(
                history,
                &Effective {
                    entry,
                    correction: None,
                    happened_at: entry.happened_at,
                    payload,
                },
            );
        }
        (_, None) => {}
        _ => log.history = OnceLock::new(),
    }
}

/// Takes an entry out of a subject's log; a subject without entries is none.
pub(super) fn unfile<H>(logs: &mut BTreeMap<Arc<str>, Log<H>>, id: &Arc<str>, key: Key) {
    let Some(log) = logs.get_mut(id) else { return };
    log.order.remove(&key);
    log.history = OnceLock::new();
    if log.order.is_empty() {
        logs.remove(id);
    }
}
