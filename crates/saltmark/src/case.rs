//! A case file's usual contents: a unit, its water, its readings and events.

use casefile::{Document, Faults, Invalid, Table};
use jiff::Timestamp;
use reading::{Event, Reading};
use serde_json::{Map, Value, json};
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
        Ok(Self::read_with(document, |_, _| Some(()))?.0)
    }

    /// The case of a document with more of it; the faults of both are listed together.
    ///
    /// Where the unit has faults, readings and events are looked through all the same, against a stand-in that has its
    /// parts; none where not even that is possible.
    pub(crate) fn read_with<T>(
        document: &Document,
        more: impl FnOnce(&Table<'_>, Option<&Unit>) -> Option<T>,
    ) -> Result<(Self, T), Invalid> {
        let faults = Faults::new();
        let top = Table::new(&document.tree, "", &faults);
        let unit = top
            .required_table("unit", "a table that describes the unit")
            .and_then(casefile::unit_plan);
        let water = top.table("water").and_then(casefile::water_analysis);
        let substitute = if unit.is_none() {
            stand_in(&document.tree)
        } else {
            None
        };
        let known = unit.as_ref().or(substitute.as_ref());
        let parts = known.and_then(|unit| {
            let readings = casefile::readings(&top, "readings", unit);
            let events = casefile::events(&top, "events", unit);
            readings.zip(events)
        });
        let more = more(&top, known);
        let warnings = faults.warnings();
        let case = unit.zip(parts).map(|(unit, (readings, events))| Self {
            unit,
            water,
            readings,
            events,
            warnings,
        });
        faults.settle(&document.file, case.zip(more))
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

/// A unit with the parts and the instruments of one that has faults, for the rest of its document to be read against.
fn stand_in(tree: &Map<String, Value>) -> Option<Unit> {
    let unit = tree.get("unit")?;
    let ids = |list: Option<&Value>| -> Vec<String> {
        let items = list.and_then(Value::as_array).into_iter().flatten();
        items
            .filter_map(|item| item.get("id").and_then(Value::as_str))
            .map(str::to_owned)
            .collect()
    };
    let membranes = unit.get("membranes").and_then(|one| one.get("elements"));
    let polish = unit.get("permeate").and_then(|one| one.get("polish"));
    let mut others = ids(unit.get("stages"));
    others.extend(ids(polish));
    let mut elements = ids(membranes);
    if elements.is_empty() {
        elements.push("membrane-1".to_owned());
    }
    let rated = json!({"flow": 10, "rejection": 0.97, "pressure": 400, "temperature": 25, "tds": 500});
    let described = json!({"unit": {
        "id": "unit",
        "time_zone": unit.get("time_zone").filter(|zone| zone.is_string()),
        "instruments": unit.get("instruments"),
        "stages": others.iter().map(|id| json!({"id": id, "kind": "other"})).collect::<Vec<_>>(),
        "membranes": {"elements": elements
            .iter()
            .map(|id| json!({"id": id, "size": "2012", "rated": rated}))
            .collect::<Vec<_>>()},
        "concentrate": {"restrictor": {"flow": 20, "at": 400}},
    }});
    let faults = Faults::new();
    let top = Table::new(described.as_object()?, "", &faults);
    let found = top.table("unit").and_then(casefile::unit_plan);
    faults.settle("", found).ok()
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
