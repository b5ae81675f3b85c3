//! The practice cases of `reference/practice/diagnose.jsonl`: simulated readings of invented units.
#![allow(
    dead_code,
    unreachable_pub,
    missing_docs,
    clippy::unwrap_used,
    clippy::missing_panics_doc,
    reason = "each test uses its own part of this, and a test stops at the first fault"
)]

use std::collections::BTreeMap;

use casefile::{Document, Faults, Table};
use fault::interview::{Answer, Given, Standing, Step, interview, questions};
use fault::{Case, DiagnoseError, Diagnosis, Known, diagnose};
use reading::{Event, Field, Reading};
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

/// Certain enough to stop testing.
pub const CERTAIN: f64 = 0.90;

/// What it took to be certain of a cause.
#[derive(Clone, Copy, Debug, Default)]
pub struct Effort {
    /// Tests made.
    pub tests: usize,
    /// Minutes that they take by themselves.
    pub minutes: f64,
    /// Whether one cause reached [`CERTAIN`].
    pub certain: bool,
}

impl Practice {
    /// How the interview stands after these answers, where nothing was read before.
    pub fn interview(&self, answers: &[Answer]) -> Standing {
        self.interview_from(&Reading::new(self.reading.at), answers)
    }

    /// How it stands where this was read before.
    pub fn interview_from(&self, reading: &Reading, answers: &[Answer]) -> Standing {
        let case = Case {
            unit: &self.unit,
            water: self.water.as_ref(),
            reading,
            baseline: self.baseline.as_ref(),
            readings: &[],
            events: &self.events,
        };
        interview(&case, &Known::default(), answers).unwrap()
    }

    /// What the case's reading answers, by the key of the question.
    pub fn values(&self) -> BTreeMap<String, f64> {
        let fields = Field::ALL
            .iter()
            .filter_map(|field| Some((field.name().to_owned(), self.reading.get(*field)?)));
        let after = self.reading.pressure_after_kpa.iter();
        let after = after.map(|(id, kpa)| (format!("pressure_after.{id}"), *kpa));
        let elements = self.reading.element_permeate_us_cm.iter();
        let elements = elements.map(|(id, us)| (format!("element_permeate_conductivity.{id}"), *us));
        let known: Vec<String> = questions(&self.unit).into_iter().map(|one| one.0).collect();
        fields
            .chain(after)
            .chain(elements)
            .filter(|(key, _)| known.contains(key))
            .collect()
    }

    /// What the case answers of a question: its value, or nothing.
    fn answer(&self, key: &str) -> Answer {
        Answer {
            key: key.to_owned(),
            given: self
                .values()
                .get(key)
                .map_or(Given::Skipped, |value| Given::Value(*value)),
        }
    }

    /// Tests made one after another, as suggested or in the order in which one walks round the unit, until one cause is
    /// certain. A case that never gets certain counts with all the tests that it has.
    pub fn effort(&self, suggested: bool) -> Effort {
        let values = self.values();
        let all = questions(&self.unit);
        let minutes = |key: &str| all.iter().find(|one| one.0 == key).map_or(0.0, |one| one.1);
        // What the case has no answer to is not asked.
        let mut answers: Vec<Answer> = all
            .iter()
            .filter(|one| !values.contains_key(&one.0))
            .map(|one| self.answer(&one.0))
            .collect();
        let mut order = all
            .iter()
            .filter(|one| values.contains_key(&one.0))
            .map(|one| one.0.clone());
        let mut effort = Effort::default();
        loop {
            let standing = self.interview(&answers);
            if standing.diagnosis.causes[0].probability >= CERTAIN {
                effort.certain = true;
                return effort;
            }
            let next = if suggested {
                match standing.step {
                    Step::Ask(question) => Some(question.key),
                    Step::End(_) => None,
                }
            } else {
                order.next()
            };
            let Some(key) = next else {
                effort.tests = values.len();
                effort.minutes = values.keys().map(|key| minutes(key)).sum();
                return effort;
            };
            effort.tests += 1;
            effort.minutes += minutes(&key);
            answers.push(self.answer(&key));
        }
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
