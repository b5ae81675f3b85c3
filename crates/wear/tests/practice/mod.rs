//! The simulated units of `reference/practice`, with the truth beside them in each line.

use casefile::{Document, Faults, Table};
use jiff::Timestamp;
use reading::{Event, Reading};
use serde_json::Value;
use unit::Unit;
use water::Analysis;
use wear::History;

/// One case in each line (`reference/practice/README.md`).
pub(crate) const CASES: &str = include_str!("../../../../reference/practice/forecast.jsonl");

pub(crate) struct Case {
    pub(crate) unit: Unit,
    pub(crate) water: Option<Analysis>,
    pub(crate) readings: Vec<Reading>,
    pub(crate) events: Vec<Event>,
    pub(crate) as_of: Timestamp,
}

impl Case {
    pub(crate) fn of(line: &str) -> Self {
        let whole: Value = serde_json::from_str(line).unwrap();
        let input = &whole["input"];
        let document = Document::read("case.json", input.to_string().as_bytes()).unwrap();
        let faults = Faults::new();
        let top = Table::new(&document.tree, "", &faults);
        let unit = casefile::unit_plan(top.required_table("unit", "a unit").unwrap()).unwrap();
        let water = top.table("water").and_then(casefile::water_analysis);
        let readings = casefile::readings(&top, "readings", &unit).unwrap();
        let events = casefile::events(&top, "events", &unit).unwrap();
        let as_of = input["as_of"].as_str().unwrap().parse().unwrap();
        Self {
            unit,
            water,
            readings,
            events,
            as_of,
        }
    }

    pub(crate) fn first() -> Self {
        Self::of(CASES.lines().next().unwrap())
    }

    pub(crate) fn history(&self) -> History<'_> {
        History {
            unit: &self.unit,
            water: self.water.as_ref(),
            readings: &self.readings,
            events: &self.events,
        }
    }
}
