//! Sites, customers, and the people who work with the ledger.

use std::collections::BTreeMap;

use serde_json::Value;
use water::Analysis;

use super::log::{Fold, Kept, Papers, Step, Unreadable};
use super::unit::read_water;
use crate::payload::{CustomerDescribed, Payload, SiteDescribed, VisitDone};

/// A site.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SiteHistory {
    /// As last described.
    pub described: Option<Kept<SiteDescribed>>,
    /// Analyses of its water, in order of time.
    pub waters: Vec<Kept<Analysis>>,
    /// Visits, in order of time.
    pub visits: Vec<Kept<VisitDone>>,
    /// Remarks, photographs and papers.
    pub papers: Papers,
    /// What could not be used.
    pub unreadable: Vec<Unreadable>,
}

/// A customer.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CustomerHistory {
    /// As last described.
    pub described: Option<Kept<CustomerDescribed>>,
    /// Visits, in order of time.
    pub visits: Vec<Kept<VisitDone>>,
    /// Remarks, photographs and papers.
    pub papers: Papers,
    /// What could not be used.
    pub unreadable: Vec<Unreadable>,
}

/// What a person chose.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PersonHistory {
    /// The choices that stand, by name.
    pub settings: BTreeMap<String, Kept<Value>>,
    /// Remarks, photographs and papers.
    pub papers: Papers,
    /// What could not be used.
    pub unreadable: Vec<Unreadable>,
}

impl Papers {
    /// Keeps a remark or an attachment; anything else is given back.
    pub(super) fn take(&mut self, step: &Step, payload: Payload) -> Option<Payload> {
        match payload {
            Payload::Note(note) => self.notes.push(step.keep(note.text)),
            Payload::Attachment(attachment) => self.attachments.push(step.keep(attachment)),
            other => return Some(other),
        }
        None
    }
}

/// An entry that is not about a subject of this sort, such as a unit's analysis filed under a person.
pub(super) fn misplaced(step: &Step, payload: &Payload, of: &str) -> Unreadable {
    step.unreadable(vec![format!(
        "an entry of kind {:?} says nothing about {of}",
        payload.kind().name()
    )])
}

impl Fold for SiteHistory {
    fn apply(&mut self, step: &Step, payload: Payload) {
        match self.papers.take(step, payload) {
            Some(Payload::Site(described)) => self.described = Some(step.keep(described)),
            Some(Payload::Visit(visit)) => self.visits.push(step.keep(visit)),
            Some(Payload::Water(water)) => match read_water(&water.document) {
                Ok(water) => self.waters.push(step.keep(water)),
                Err(faults) => self.unreadable.push(step.unreadable(faults)),
            },
            Some(other) => self.unreadable.push(misplaced(step, &other, "a site")),
            None => {}
        }
    }

    fn set_aside(&mut self, unreadable: Unreadable) {
        self.unreadable.push(unreadable);
    }
}

impl Fold for CustomerHistory {
    fn apply(&mut self, step: &Step, payload: Payload) {
        match self.papers.take(step, payload) {
            Some(Payload::Customer(described)) => self.described = Some(step.keep(described)),
            Some(Payload::Visit(visit)) => self.visits.push(step.keep(visit)),
            Some(other) => self.unreadable.push(misplaced(step, &other, "a customer")),
            None => {}
        }
    }

    fn set_aside(&mut self, unreadable: Unreadable) {
        self.unreadable.push(unreadable);
    }
}

impl Fold for PersonHistory {
    fn apply(&mut self, step: &Step, payload: Payload) {
        match self.papers.take(step, payload) {
            Some(Payload::Settings(chosen)) => {
                for (name, value) in chosen.set {
                    if value.is_null() {
                        self.settings.remove(&name);
                    } else {
                        self.settings.insert(name, step.keep(value));
                    }
                }
            }
            Some(other) => self.unreadable.push(misplaced(step, &other, "a person")),
            None => {}
        }
    }

    fn set_aside(&mut self, unreadable: Unreadable) {
        self.unreadable.push(unreadable);
    }
}
