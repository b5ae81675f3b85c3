//! The practice cases of `reference/practice/diagnose.jsonl`: simulated readings of invented units.
#![allow(
    dead_code,
    unreachable_pub,
    missing_docs,
    clippy::unwrap_used,
    clippy::missing_panics_doc,
    reason = "each test uses its own part of this, and a test stops at the first fault"
)]

use casefile::{Document, Faults, Table};
use fault::{Case, DiagnoseError, Diagnosis, diagnose};
use reading::{Event, Reading};
use unit::Unit;
use water::Analysis;

/// One case, with its truth.
pub struct Practice {
    pub id: String,
    pub unit: Unit,
    pub water: Option<Analysis>,
    pub reading: Reading,
    pub baseline: Option<Reading>,
    pub events: Vec<Event>,
    pub cause: String,
    pub full: bool,
}

impl Practice {
    pub fn diagnose(&self) -> Result<Diagnosis, DiagnoseError> {
        self.diagnose_this(&self.reading)
    }

    pub fn diagnose_this(&self, reading: &Reading) -> Result<Diagnosis, DiagnoseError> {
        diagnose(&Case {
            unit: &self.unit,
            water: self.water.as_ref(),
            reading,
            baseline: self.baseline.as_ref(),
            readings: &[],
            events: &self.events,
        })
    }
}

/// All cases, in the file's order.
pub fn practice() -> Vec<Practice> {
    let text = include_str!("../../../../reference/practice/diagnose.jsonl");
    text.lines()
        .filter(|line| !line.trim().is_empty())
        .map(|line| {
            let value: serde_json::Value = serde_json::from_str(line).unwrap();
            let input = serde_json::to_vec(&value["input"]).unwrap();
            let document = Document::read("case.json", &input).unwrap();
            let faults = Faults::new();
            let top = Table::new(&document.tree, "", &faults);
            let unit = top
                .required_table("unit", "")
                .and_then(casefile::unit_plan)
                .unwrap();
            let water = top.table("water").and_then(casefile::water_analysis);
            let reading = top
                .required_table("reading", "")
                .and_then(|table| casefile::reading(table, &unit))
                .unwrap();
            let baseline = top
                .table("baseline")
                .and_then(|table| casefile::reading(table, &unit));
            Practice {
                id: value["id"].as_str().unwrap().to_owned(),
                cause: value["truth"]["cause"].as_str().unwrap().to_owned(),
                full: value["truth"]["subset"] == "full",
                unit,
                water,
                reading,
                baseline,
                events: Vec::new(),
            }
        })
        .collect()
}
