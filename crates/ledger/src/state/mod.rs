//! Today's state: what the entries add up to.
//!
//! The state is a function of the *set* of entries: an entry is filed under its subject by the time it
//! happened, corrections are applied where they point, and the history of a subject is folded from its
//! entries in order of (time, id). So it does not matter in which order entries arrive or how often, and
//! merging is putting together.
//!
//! It is incremental: an entry that comes last in its subject's order (the usual case) is added to the
//! folded history; any other makes that one subject's history be folded again when it is next asked for.

mod chain;
mod log;
mod people;
mod unit;
mod work;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::Timestamp;

use crate::payload::{ImportBatch, Kind, Payload, Subject};
use crate::{Encoded, Entry, EventId};

use log::Log;

pub use log::{Kept, Origin, Papers, Unreadable};
pub use people::{CustomerHistory, PersonHistory, SiteHistory};
pub use unit::{Described, UnitHistory, read_unit};
pub use work::Work;

/// Where an entry stands in the history of its subject.
type Key = (Timestamp, EventId);

/// What became of an entry that was added.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Inserted {
    /// It is new.
    New,
    /// It was there.
    Known,
    /// One of the same id was there, first written earlier: that one stands.
    Superseded,
    /// One of the same id was there, first written later: this one stands.
    Replaced,
}

/// An entry with where it is filed.
#[derive(Clone, Debug)]
struct Held {
    entry: Entry,
    filed: Option<(Subject, Timestamp)>,
}

/// An entry with its corrections applied.
#[derive(Clone, Debug)]
pub struct Effective<'a> {
    /// The entry as it was written first.
    pub entry: &'a Entry,
    /// The correction that stands, if it was corrected.
    pub correction: Option<&'a Entry>,
    /// When it happened.
    pub happened_at: Timestamp,
    /// What happened; none where it was taken back.
    pub payload: Option<std::borrow::Cow<'a, Encoded>>,
}

/// What all entries add up to.
#[derive(Clone, Debug, Default)]
pub struct State {
    entries: BTreeMap<EventId, Held>,
    /// The corrections that name an entry.
    corrections: BTreeMap<EventId, BTreeSet<EventId>>,
    units: BTreeMap<Arc<str>, Log<UnitHistory>>,
    sites: BTreeMap<Arc<str>, Log<SiteHistory>>,
    customers: BTreeMap<Arc<str>, Log<CustomerHistory>>,
    people: BTreeMap<Arc<str>, Log<PersonHistory>>,
    not_understood: usize,
    /// The sum of the entries' hashes.
    fingerprint: u64,
}

impl State {
    /// Nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds an entry. Adding it again changes nothing.
    pub fn insert(&mut self, entry: Entry) -> Inserted {
        let id = entry.id;
        let inserted = match self.entries.get(&id) {
            None => Inserted::New,
            Some(held) => match entry.precedence(&held.entry) {
                std::cmp::Ordering::Equal => return Inserted::Known,
                std::cmp::Ordering::Greater => return Inserted::Superseded,
                std::cmp::Ordering::Less => {
                    self.withdraw(id);
                    Inserted::Replaced
                }
            },
        };
        if entry.payload.kind() == Kind::Unknown {
            self.not_understood += 1;
        }
        self.fingerprint = self.fingerprint.wrapping_add(entry.quick_hash());
        let plain = entry.payload.kind() != Kind::Correction && !self.corrections.contains_key(&id);
        if plain && inserted == Inserted::New {
            self.insert_plain(entry);
            return inserted;
        }
        let corrects = chain::corrects(&entry);
        self.entries.insert(id, Held { entry, filed: None });
        if let Some(target) = corrects {
            self.corrections.entry(target).or_default().insert(id);
        }
        self.refile_root_of(id);
        inserted
    }

    /// Adds what is new, corrects nothing and was never corrected: nearly all of a log, so that it is not
    /// looked up again for each step of its filing.
    fn insert_plain(&mut self, entry: Entry) {
        let key = (entry.happened_at, entry.id);
        let subject = entry.payload.subject().cloned();
        match &subject {
            Some(Subject::Unit(id)) => log::file(&mut self.units, id, key, Some(&entry)),
            Some(Subject::Site(id)) => log::file(&mut self.sites, id, key, Some(&entry)),
            Some(Subject::Customer(id)) => log::file(&mut self.customers, id, key, Some(&entry)),
            Some(Subject::Person(id)) => log::file(&mut self.people, id, key, Some(&entry)),
            None => {}
        }
        let filed = subject.map(|subject| (subject, entry.happened_at));
        self.entries.insert(entry.id, Held { entry, filed });
    }

    /// Adds many.
    pub fn extend(&mut self, entries: impl IntoIterator<Item = Entry>) {
        for entry in entries {
            self.insert(entry);
        }
    }

    /// Takes an entry out, so that another of the same id can take its place.
    fn withdraw(&mut self, id: EventId) {
        self.unfile(id);
        let Some(held) = self.entries.remove(&id) else {
            return;
        };
        if held.entry.payload.kind() == Kind::Unknown {
            self.not_understood = self.not_understood.saturating_sub(1);
        }
        self.fingerprint = self.fingerprint.wrapping_sub(held.entry.quick_hash());
        if let Some(target) = chain::corrects(&held.entry) {
            if let Some(corrections) = self.corrections.get_mut(&target) {
                corrections.remove(&id);
                if corrections.is_empty() {
                    self.corrections.remove(&target);
                }
            }
            self.refile_root_of(target);
        }
    }

    /// Files the entry that this one corrects in the end, or itself.
    fn refile_root_of(&mut self, id: EventId) {
        if let Some(root) = self.root(id) {
            self.refile(root);
        }
    }

    fn refile(&mut self, root: EventId) {
        let Some(effective) = self.effective(root) else {
            return;
        };
        let corrected = effective.correction.is_some();
        let at = effective.happened_at;
        let subject = effective.payload.and_then(|payload| payload.subject().cloned());
        let target = subject.map(|subject| (subject, at));
        let filed = self.entries.get(&root).and_then(|held| held.filed.clone());
        if filed != target {
            self.unfile(root);
        }
        let Some((subject, at)) = target else { return };
        let fresh = filed.as_ref() != Some(&(subject.clone(), at));
        if fresh && let Some(held) = self.entries.get_mut(&root) {
            held.filed = Some((subject.clone(), at));
        }
        let key = (at, root);
        // An entry with corrections is folded with its subject, so that there is one way to apply them.
        let single = if fresh && !corrected {
            self.entries.get(&root).map(|held| &held.entry)
        } else {
            None
        };
        match &subject {
            Subject::Unit(id) => log::file(&mut self.units, id, key, single),
            Subject::Site(id) => log::file(&mut self.sites, id, key, single),
            Subject::Customer(id) => log::file(&mut self.customers, id, key, single),
            Subject::Person(id) => log::file(&mut self.people, id, key, single),
        }
    }

    fn unfile(&mut self, root: EventId) {
        let Some((subject, at)) = self.entries.get_mut(&root).and_then(|held| held.filed.take()) else {
            return;
        };
        let key = (at, root);
        match &subject {
            Subject::Unit(id) => log::unfile(&mut self.units, id, key),
            Subject::Site(id) => log::unfile(&mut self.sites, id, key),
            Subject::Customer(id) => log::unfile(&mut self.customers, id, key),
            Subject::Person(id) => log::unfile(&mut self.people, id, key),
        }
    }

    /// How many entries there are, corrections and what is not understood among them.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Tells this set of entries from others: the same for the same set however it arrived, and another, but for a chance of
    /// one in 2^64, once an entry has come in or has taken another's place.
    pub fn fingerprint(&self) -> u64 {
        self.fingerprint
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// How many entries come from a newer program and are kept without being understood.
    pub fn not_understood(&self) -> usize {
        self.not_understood
    }

    /// Corrections that change nothing yet, because what they correct has not arrived.
    pub fn waiting_corrections(&self) -> impl Iterator<Item = &Entry> {
        let corrections = self.corrections.values().flatten().copied();
        corrections
            .filter(|&id| self.root(id).is_none())
            .filter_map(|id| self.entry(id))
    }

    /// Whether an entry is there.
    pub fn contains(&self, id: EventId) -> bool {
        self.entries.contains_key(&id)
    }

    /// An entry as it was written.
    pub fn entry(&self, id: EventId) -> Option<&Entry> {
        self.entries.get(&id).map(|held| &held.entry)
    }

    /// All entries as they were written, in order of their ids.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.entries.values().map(|held| &held.entry)
    }

    /// The entries of a subject with their corrections applied, in order of (time, id).
    pub fn entries_of(&self, subject: &Subject) -> impl Iterator<Item = Effective<'_>> {
        let order = match subject {
            Subject::Unit(id) => self.units.get(id).map(Log::order),
            Subject::Site(id) => self.sites.get(id).map(Log::order),
            Subject::Customer(id) => self.customers.get(id).map(Log::order),
            Subject::Person(id) => self.people.get(id).map(Log::order),
        };
        order
            .into_iter()
            .flatten()
            .filter_map(|&(_, id)| self.effective(id))
    }

    /// Ids of the units that have an entry, also of those that were never described, in alphabetical order.
    pub fn unit_ids(&self) -> impl Iterator<Item = &str> {
        self.units.keys().map(|id| &**id)
    }

    /// Ids of the sites that have an entry.
    pub fn site_ids(&self) -> impl Iterator<Item = &str> {
        self.sites.keys().map(|id| &**id)
    }

    /// Ids of the customers that have an entry.
    pub fn customer_ids(&self) -> impl Iterator<Item = &str> {
        self.customers.keys().map(|id| &**id)
    }

    /// The people who chose something.
    pub fn person_ids(&self) -> impl Iterator<Item = &str> {
        self.people.keys().map(|id| &**id)
    }

    /// The history of a unit.
    pub fn unit(&self, id: &str) -> Option<&UnitHistory> {
        self.units.get(id).map(|log| log.history(self))
    }

    /// The history of a site.
    pub fn site(&self, id: &str) -> Option<&SiteHistory> {
        self.sites.get(id).map(|log| log.history(self))
    }

    /// The history of a customer.
    pub fn customer(&self, id: &str) -> Option<&CustomerHistory> {
        self.customers.get(id).map(|log| log.history(self))
    }

    /// What a person chose.
    pub fn person(&self, id: &str) -> Option<&PersonHistory> {
        self.people.get(id).map(|log| log.history(self))
    }

    /// The analyses of a unit's feed in order of time: its own, and those of the site where it stands.
    pub fn waters(&self, unit: &str) -> Vec<&Kept<::water::Analysis>> {
        let Some(history) = self.unit(unit) else {
            return Vec::new();
        };
        let site = history.site.as_deref().and_then(|site| self.site(site));
        let mut waters: Vec<_> = history
            .waters
            .iter()
            .chain(site.into_iter().flat_map(|site| &site.waters))
            .collect();
        waters.sort_by_key(|water| (water.at, water.origin.entry));
        waters
    }

    /// The feed of a unit as last analysed no later than `at`, else as first analysed after it.
    pub fn water_at(&self, unit: &str, at: Timestamp) -> Option<&::water::Analysis> {
        let waters = self.waters(unit);
        let before = waters.iter().rev().find(|water| water.at <= at);
        before.or(waters.first()).map(|water| &water.what)
    }

    /// The imports of a unit's reading logs that stand, in order of time.
    pub fn imports(&self, unit: &str) -> impl Iterator<Item = &Kept<ImportBatch>> {
        self.unit(unit).into_iter().flat_map(|history| &history.imports)
    }

    /// Folds every history that is not folded yet, so that later questions are answered at once.
    pub fn fold(&self) {
        for log in self.units.values() {
            log.history(self);
        }
        for log in self.sites.values() {
            log.history(self);
        }
        for log in self.customers.values() {
            log.history(self);
        }
        for log in self.people.values() {
            log.history(self);
        }
    }

    /// What an entry says, its corrections applied; none where it was taken back or is not there.
    ///
    /// # Errors
    /// A payload that is not understood.
    pub fn payload(&self, id: EventId) -> Result<Option<Payload>, crate::Error> {
        let payload = self.effective(id).and_then(|effective| effective.payload);
        payload.map(|payload| payload.decode()).transpose()
    }
}

/// Two states are the same when they hold the same entries and tell the same histories.
impl PartialEq for State {
    fn eq(&self, other: &Self) -> bool {
        let same = |a: &Self, b: &Self| {
            a.unit_ids().all(|id| a.unit(id) == b.unit(id))
                && a.site_ids().all(|id| a.site(id) == b.site(id))
                && a.customer_ids().all(|id| a.customer(id) == b.customer(id))
                && a.person_ids().all(|id| a.person(id) == b.person(id))
        };
        self.not_understood == other.not_understood
            && self.entries().eq(other.entries())
            && same(self, other)
            && same(other, self)
    }
}
