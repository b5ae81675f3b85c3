//! A case file's usual contents: a unit, its water, its readings and events.

use casefile::{Document, Faults, Invalid, Table};
use jiff::Timestamp;
use reading::{Event, Reading};
use unit::Unit;
use water::Analysis;
use wear::History;

use crate::failure::Failure;

/// A unit with what was read at it and done to it.
#[derive(Clone, Debug)]
pub(crate) struct Case {
    /// The unit.
    pub(crate) unit: Unit,
    /// Its feed, where it is given.
    pub(crate) water: Option<Analysis>,
    /// Its readings, in order of time.
    pub(crate) readings: Vec<Reading>,
    /// Its events, in order of time.
    pub(crate) events: Vec<Event>,
    /// Oddities that stopped nothing.
    pub(crate) warnings: Vec<String>,
}

impl Case {
    /// The case of a document; every fault is listed.
    pub(crate) fn read(document: &Document) -> Result<Self, Invalid> {
        let faults = Faults::new();
        let top = Table::new(&document.tree, "", &faults);
        let unit = top
            .required_table("unit", "a table that describes the unit")
            .and_then(casefile::unit_plan);
        let water = top.table("water").and_then(casefile::water_analysis);
        let parts = unit.as_ref().and_then(|unit| {
            let readings = casefile::readings(&top, "readings", unit);
            let events = casefile::events(&top, "events", unit);
            readings.zip(events)
        });
        let case = unit.zip(parts).map(|(unit, (readings, events))| Self {
            unit,
            water,
            readings,
            events,
            warnings: Vec::new(),
        });
        let warnings = faults.warnings();
        faults
            .settle(&document.file, case)
            .map(|case| Self { warnings, ..case })
    }

    /// What the wear crate looks at.
    pub(crate) fn history(&self) -> History<'_> {
        History {
            unit: &self.unit,
            water: self.water.as_ref(),
            readings: &self.readings,
            events: &self.events,
        }
    }
}

/// A time among a document's top-level fields.
pub(crate) fn time_field(
    document: &Document,
    name: &'static str,
    unit: &Unit,
) -> Result<Option<Timestamp>, Failure> {
    let Some(value) = document.tree.get(name).filter(|value| !value.is_null()) else {
        return Ok(None);
    };
    let text = value.as_str().unwrap_or_default();
    let accepted = "a time such as 2025-01-14T09:20:00Z";
    casefile::time(text, &casefile::time_zone(unit))
        .map(Some)
        .ok_or_else(|| Failure::field(&document.file, name, value.to_string(), accepted))
}

/// A time among the options.
pub(crate) fn time_option(text: &str, option: &str, unit: &Unit) -> Result<Timestamp, Failure> {
    casefile::time(text, &casefile::time_zone(unit)).ok_or_else(|| {
        Failure::field(
            "the command line",
            option,
            format!("{text:?}"),
            "a time such as 2025-01-14T09:20:00Z",
        )
    })
}

/// The time that counts as now: the option, else the document's, else the clock. The clock is read here, in
/// the shell, and nowhere else; the answer prints what was used.
pub(crate) fn as_of(option: Option<&str>, document: &Document, unit: &Unit) -> Result<Timestamp, Failure> {
    if let Some(text) = option {
        return time_option(text, "--as-of", unit);
    }
    Ok(time_field(document, "as_of", unit)?.unwrap_or_else(Timestamp::now))
}
