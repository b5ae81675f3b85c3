//! The history of one unit, ready for the evaluation: the unit, its readings, its events.

use casefile::{Faults, Invalid, Table};
use jiff::Timestamp;
use reading::{Event, Reading};
use serde_json::{Map, Value};
use unit::Unit;
use water::Analysis;

use super::log::{Fold, Kept, Origin, Papers, Step, Unreadable};
use super::people::misplaced;
use super::work::{Work, Works};
use crate::payload::{ImportBatch, PartEvent, Payload, RowSetAside, UnitRetired, VisitDone, read_event};

/// A unit as it was described at one time.
#[derive(Clone, Debug, PartialEq)]
pub struct Described {
    /// The unit.
    pub unit: Unit,
    /// The document that describes it, as given.
    pub document: Map<String, Value>,
    /// Whether this put the unit into the ledger.
    pub installed: bool,
}

/// What is known of a unit. Lists are in order of (time, id of the entry).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct UnitHistory {
    /// Its descriptions; the last one holds today.
    pub descriptions: Vec<Kept<Described>>,
    /// The site where it stands.
    pub site: Option<String>,
    /// When and why it was taken out of the round, unless it was installed again.
    pub retired: Option<Kept<UnitRetired>>,
    /// Analyses of its own feed; [`super::State::waters`] adds the site's.
    pub waters: Vec<Kept<Analysis>>,
    /// Visits filed under the unit.
    pub visits: Vec<Kept<VisitDone>>,
    /// Reading logs that were read in.
    pub imports: Vec<Kept<ImportBatch>>,
    /// Rows of such logs that could not be read and were not repaired yet.
    pub set_aside: Vec<Kept<RowSetAside>>,
    /// Remarks, photographs and papers.
    pub papers: Papers,
    readings: Vec<Reading>,
    reading_origins: Vec<Origin>,
    events: Vec<Event>,
    event_origins: Vec<Origin>,
    /// Events that happened before the unit was first described: they are read by that description.
    undescribed: Vec<Kept<PartEvent>>,
    unreadable: Vec<Unreadable>,
    works: Works,
    fingerprint: u64,
}

impl UnitHistory {
    /// Changes whenever an entry is added to the history, taken back or corrected: what was computed from a
    /// history still holds while this is the same. It is not to be kept from one build of the program to
    /// another, and says nothing of the site's waters, nor of works under way: a step done changes no evaluation.
    pub fn fingerprint(&self) -> u64 {
        self.fingerprint
    }

    /// The unit as built today; none where it was never described.
    pub fn unit(&self) -> Option<&Unit> {
        self.descriptions.last().map(|described| &described.what.unit)
    }

    /// The unit as built then: the last description no later than `at`, else the first.
    pub fn unit_at(&self, at: Timestamp) -> Option<&Unit> {
        let before = self
            .descriptions
            .iter()
            .rev()
            .find(|described| described.at <= at);
        before
            .or(self.descriptions.first())
            .map(|described| &described.what.unit)
    }

    /// All readings.
    pub fn readings(&self) -> &[Reading] {
        &self.readings
    }

    /// The readings no later than `at`.
    pub fn readings_until(&self, at: Timestamp) -> &[Reading] {
        let end = self.readings.partition_point(|reading| reading.at <= at);
        self.readings.get(..end).unwrap_or_default()
    }

    /// The entry of each reading, in the same order.
    pub fn reading_origins(&self) -> &[Origin] {
        &self.reading_origins
    }

    /// All events.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// The events no later than `at`.
    pub fn events_until(&self, at: Timestamp) -> &[Event] {
        let end = self.events.partition_point(|event| event.at <= at);
        self.events.get(..end).unwrap_or_default()
    }

    /// The entry of each event, in the same order.
    pub fn event_origins(&self) -> &[Origin] {
        &self.event_origins
    }

    /// Entries that could not be used: kept, to be repaired by a correction.
    pub fn unreadable(&self) -> impl Iterator<Item = Unreadable> {
        let waiting = self.undescribed.iter().map(|event| Unreadable {
            at: event.at,
            origin: event.origin,
            faults: vec!["the unit is not described yet".to_owned()],
        });
        self.unreadable.iter().cloned().chain(waiting)
    }

    /// The works that were begun at the unit, in order of time.
    pub fn works(&self) -> Vec<Work> {
        self.works.all()
    }

    /// Those of them that did not end yet.
    pub fn works_under_way(&self) -> Vec<Work> {
        self.works.under_way()
    }

    /// The entries that put this unit into the ledger: more than one where two people gave two units the
    /// same id.
    pub fn installations(&self) -> impl Iterator<Item = Origin> {
        self.descriptions
            .iter()
            .filter(|described| described.what.installed)
            .map(|described| described.origin)
    }

    fn describe(&mut self, step: &Step, described: Described) {
        let first = self.descriptions.is_empty();
        self.descriptions.push(step.keep(described));
        if first {
            // They lie before everything that is known of the unit, hence before all other events.
            for event in std::mem::take(&mut self.undescribed) {
                let step = Step {
                    at: event.at,
                    origin: event.origin,
                    by: "".into(),
                    hash: 0,
                };
                self.event(&step, event.what);
            }
        }
    }

    fn event(&mut self, step: &Step, happened: PartEvent) {
        let Some(unit) = self.unit() else {
            self.undescribed.push(step.keep(happened));
            return;
        };
        match read_event(&happened.document, step.at, unit) {
            Ok(mut event) => {
                event.line = happened.from.map(|from| from.line);
                self.events.push(event);
                self.event_origins.push(step.origin);
            }
            Err(invalid) => self.unreadable.push(step.unreadable(sentences(&invalid))),
        }
    }
}

fn sentences(invalid: &Invalid) -> Vec<String> {
    invalid.faults.iter().map(ToString::to_string).collect()
}

/// Reads the document of a unit.
///
/// # Errors
/// Every fault of the document.
pub fn read_unit(document: &Map<String, Value>) -> Result<Unit, Invalid> {
    let faults = Faults::new();
    let unit = casefile::unit_plan(Table::new(document, "unit", &faults));
    faults.settle("the ledger", unit)
}

pub(super) fn read_water(document: &Map<String, Value>) -> Result<Analysis, Vec<String>> {
    let faults = Faults::new();
    let water = casefile::water_analysis(Table::new(document, "water", &faults));
    faults
        .settle("the ledger", water)
        .map_err(|invalid| sentences(&invalid))
}

fn hash_of_id(id: crate::EventId) -> u64 {
    id.as_bytes()
        .iter()
        .fold(0, |hash: u64, byte| hash.rotate_left(8) ^ u64::from(*byte))
}

impl UnitHistory {
    /// Depends on the order, which is that of (time, id) however the entries arrived.
    fn mix(&mut self, hash: u64) {
        self.fingerprint = (self.fingerprint.rotate_left(5) ^ hash).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
}

impl Fold for UnitHistory {
    fn apply(&mut self, step: &Step, payload: Payload) {
        if let Payload::Work(marked) = payload {
            self.works.mark(step.origin.entry, step.at, &step.by, marked);
            return;
        }
        self.mix(step.hash);
        match self.papers.take(step, payload) {
            Some(Payload::Reading(taken)) => {
                let mut reading = taken.reading;
                reading.at = step.at;
                reading.line = taken.from.map(|from| from.line);
                // Who reads a log in did not take its readings.
                if reading.by.is_empty() && taken.from.is_none() {
                    reading.by = step.by.to_string();
                }
                self.readings.push(reading);
                self.reading_origins.push(step.origin);
            }
            Some(Payload::Event(happened)) => self.event(step, happened),
            Some(Payload::Unit(described)) => {
                if described.site.is_some() {
                    self.site = described.site;
                }
                if described.installed {
                    self.retired = None;
                }
                match read_unit(&described.document) {
                    Ok(unit) if unit.id != described.unit => {
                        let fault = format!("unit.id: read {:?}; accepted: {:?}", unit.id, described.unit);
                        self.unreadable.push(step.unreadable(vec![fault]));
                    }
                    Ok(unit) => {
                        let (document, installed) = (described.document, described.installed);
                        self.describe(
                            step,
                            Described {
                                unit,
                                document,
                                installed,
                            },
                        );
                    }
                    Err(invalid) => self.unreadable.push(step.unreadable(sentences(&invalid))),
                }
            }
            Some(Payload::UnitMoved(moved)) => self.site = moved.site,
            Some(Payload::UnitRetired(retired)) => self.retired = Some(step.keep(retired)),
            Some(Payload::Water(water)) => match read_water(&water.document) {
                Ok(water) => self.waters.push(step.keep(water)),
                Err(faults) => self.unreadable.push(step.unreadable(faults)),
            },
            Some(Payload::Visit(visit)) => self.visits.push(step.keep(visit)),
            Some(Payload::Import(batch)) => self.imports.push(step.keep(batch)),
            Some(Payload::SetAside(row)) => self.set_aside.push(step.keep(row)),
            Some(other) => self.unreadable.push(misplaced(step, &other, "a unit")),
            None => {}
        }
    }

    fn set_aside(&mut self, unreadable: Unreadable) {
        // What is not understood is in no computation; that it is there is told all the same.
        self.mix(hash_of_id(unreadable.origin.entry));
        self.unreadable.push(unreadable);
    }
}
