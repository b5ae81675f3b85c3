//! `check`: the whole verdict on one unit from its reading log.

mod records;

use std::path::Path;

use casefile::{Document, Faults, Table};
use evaluation::Evaluation;
use evaluation::picture::Words;
use intake::{Log, Mapping, Options};
use jiff::Timestamp;
use serde_json::{Value, json};
use unit::Unit;
use water::Analysis;
use wear::History;
use wear::doubts::Doubt;
use wear::forecast::pool::PastLives;

use super::{
    explain as explaining, forecast as forecasting, ledger as ledgers, standardise as standardising,
};
use crate::args::Check;
use crate::case::time_option;
use crate::failure::Failure;
use crate::output::{Answer, print};
use crate::present::{Columns, counted, day, progress, significant, wrapped};
use crate::{input, output_file};
use records::Records;

pub(crate) fn run(args: &Check) -> Result<(), Failure> {
    let (seen, warnings) = match (&args.unit_id, &args.unit, &args.log) {
        (Some(id), ..) => (of_ledger(args, id)?, Vec::new()),
        (None, Some(unit), Some(log)) => of_log(args, unit, log)?,
        _ => {
            return Err(Failure::field(
                "the command line",
                "--unit",
                "nothing",
                "--unit with --log, or --unit-id",
            ));
        }
    };
    if let Some(file) = &args.plot {
        output_file::write(file, seen.evaluation.picture(&seen.history(), &Words::default()))?;
    }
    let answer = Answer {
        json: seen.json(),
        text: seen.text(args.plot.as_deref()),
        warnings,
    };
    print(&answer, args.json)
}

fn as_of(args: &Check, unit: &Unit) -> Result<Timestamp, Failure> {
    match &args.as_of {
        Some(text) => time_option(text, "--as-of", unit),
        None => Ok(Timestamp::now()),
    }
}

fn of_log(args: &Check, unit: &Path, log: &Path) -> Result<(Seen, Vec<String>), Failure> {
    let document = input::document(Some(unit))?;
    let (unit, own_water, mut warnings) = unit_and_water(&document)?;
    let water = match &args.water {
        Some(file) => Some(water(&input::document(Some(file))?, &mut warnings)?),
        None => own_water,
    };
    let as_of = as_of(args, &unit)?;
    let bar = progress("rows");
    let log = read_log(args, log, &unit)?;
    bar.inc(log.readings.len() as u64);
    bar.finish_and_clear();
    let records = Records::of_log(log);
    let seen = Seen::of(unit, water, records, as_of, &PastLives::default());
    Ok((seen, warnings))
}

/// The verdict on a unit of the ledger, as of a time by what had happened by then.
fn of_ledger(args: &Check, id: &str) -> Result<Seen, Failure> {
    let bar = progress("entries");
    let store = ledgers::open(&args.place)?;
    let state = ledgers::state(&store)?;
    bar.inc(state.len() as u64);
    bar.finish_and_clear();
    let file = store.path().display().to_string();
    ledgers::known_unit(&state, &file, id)?;
    let today = state.unit(id).and_then(|history| history.unit());
    let Some(today) = today else {
        return Err(Failure::field(
            &file,
            "--unit-id",
            format!("{id:?}"),
            "a unit of the ledger",
        ));
    };
    let as_of = as_of(args, today)?;
    let unit = state
        .unit(id)
        .and_then(|history| history.unit_at(as_of))
        .unwrap_or(today);
    let water = state.water_at(id, as_of).cloned();
    Ok(Seen::of(
        unit.clone(),
        water,
        Records::of_ledger(&state, id, as_of),
        as_of,
        &ledgers::other_units(&state, id, as_of),
    ))
}

fn unit_and_water(document: &Document) -> Result<(Unit, Option<Analysis>, Vec<String>), Failure> {
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let unit = top
        .required_table("unit", "a table that describes the unit")
        .and_then(casefile::unit_plan);
    let water = top.table("water").and_then(casefile::water_analysis);
    top.finish();
    let warnings = faults.warnings();
    Ok((faults.settle(&document.file, unit)?, water, warnings))
}

fn water(document: &Document, warnings: &mut Vec<String>) -> Result<Analysis, Failure> {
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let water = top
        .required_table("water", "a table with the analysis")
        .and_then(casefile::water_analysis);
    warnings.extend(faults.warnings());
    Ok(faults.settle(&document.file, water)?)
}

fn read_log(args: &Check, log: &Path, unit: &Unit) -> Result<Log, Failure> {
    let mut options = Options::new(unit);
    if let Some(file) = &args.mapping {
        let (name, bytes) = input::bytes(Some(file))?;
        let text = String::from_utf8_lossy(&bytes);
        let mapping = Mapping::parse(&text).map_err(|error| {
            Failure::field(&name, "", error.to_string(), "a mapping of headings to fields")
        })?;
        options.mapping = Some(mapping);
    }
    let (name, bytes) = input::bytes(Some(log))?;
    intake::read(&bytes, &options).map_err(|error| {
        Failure::field(
            &name,
            "",
            error.to_string(),
            "a table of readings: CSV, TSV or a workbook",
        )
    })
}

/// A unit with everything that its log says.
struct Seen {
    unit: Unit,
    water: Option<Analysis>,
    records: Records,
    as_of: Timestamp,
    evaluation: Evaluation,
}

impl Seen {
    fn of(
        unit: Unit,
        water: Option<Analysis>,
        records: Records,
        as_of: Timestamp,
        others: &PastLives,
    ) -> Self {
        let history = History {
            unit: &unit,
            water: water.as_ref(),
            readings: &records.readings,
            events: &records.events,
        };
        let evaluation = Evaluation::of(&history, as_of, others);
        Self {
            unit,
            water,
            records,
            as_of,
            evaluation,
        }
    }

    fn history(&self) -> History<'_> {
        History {
            unit: &self.unit,
            water: self.water.as_ref(),
            readings: &self.records.readings,
            events: &self.records.events,
        }
    }

    /// Every doubt with its reading's place among the readings.
    fn doubts(&self) -> impl Iterator<Item = (usize, Timestamp, &Doubt)> {
        let readings = self
            .records
            .readings
            .iter()
            .zip(&self.evaluation.standardisation.readings);
        readings
            .enumerate()
            .flat_map(|(place, (_, one))| one.doubts.iter().map(move |doubt| (place, one.at, doubt)))
    }

    fn line(&self, reading: usize) -> Option<u32> {
        self.records.readings.get(reading)?.line
    }

    fn assumed(&self) -> Vec<String> {
        let mut assumed = self.records.assumed();
        assumed.extend_from_slice(&self.evaluation.standardisation.assumed);
        assumed
    }

    fn json(&self) -> Value {
        let set_aside: Vec<Value> = self
            .records
            .set_aside
            .iter()
            .map(|row| json!({"line": row.line, "text": row.text, "reason": row.reason}))
            .collect();
        let cells: Vec<Value> = self
            .records
            .cell_notes()
            .iter()
            .map(|cell| json!({"line": cell.line, "field": cell.field, "read": cell.text, "reason": cell.reason.to_string()}))
            .collect();
        let columns: Vec<Value> = self
            .records
            .columns()
            .iter()
            .map(|column| json!({"heading": column.heading, "field": column.field(), "unit": column.unit}))
            .collect();
        let ignored: Vec<Value> = self
            .records
            .ignored()
            .iter()
            .map(|column| json!({"heading": column.heading, "reason": column.reason.to_string()}))
            .collect();
        let doubts: Vec<Value> = self
            .doubts()
            .map(|(reading, at, doubt)| {
                let mut json = standardising::doubt_json(doubt);
                if let Some(fields) = json.as_object_mut() {
                    fields.insert("line".to_owned(), json!(self.line(reading)));
                    fields.insert("at".to_owned(), Value::from(at.to_string()));
                    fields.insert(
                        "as_written".to_owned(),
                        json!(self.records.as_written(reading, doubt.field)),
                    );
                }
                json
            })
            .collect();
        let last = self.evaluation.standardisation.last_sound();
        json!({
            "unit": self.unit.id,
            "as_of": self.as_of.to_string(),
            "sentence": self.evaluation.verdict.sentence,
            "rows": {
                "read": self.records.readings.len(),
                "set_aside": set_aside,
                "cells": cells,
                "events": self.records.events.len(),
            },
            "habits": self.records.habits(),
            "columns": columns,
            "ignored_columns": ignored,
            "events": self.records.events.iter().map(event_json).collect::<Vec<_>>(),
            "assumed": self.assumed(),
            "doubts": doubts,
            "standardised": last.map(|(_, one)| standardising::reading_json(one, &self.evaluation.standardisation)),
            "reference": standardising::reference_json(&self.evaluation.standardisation),
            "explain": self.evaluation.explanation.as_ref().map(|e| explaining::explanation_json(e, &self.evaluation.standardisation)),
            "forecast": forecasting::forecast_json(&self.evaluation.parts, self.as_of),
            "advice": self.evaluation.verdict.advice,
        })
    }

    fn text(&self, plot: Option<&Path>) -> String {
        let zone = casefile::time_zone(&self.unit);
        let bold = anstyle::Style::new().bold();
        let head = |text: &str| format!("\n{bold}{text}{bold:#}\n");
        let mut text = wrapped(&self.evaluation.verdict.sentence, "");
        text.push_str(&head("What to do"));
        for advice in &self.evaluation.verdict.advice {
            text.push_str(&wrapped(advice, "- "));
        }
        if let Some(explanation) = &self.evaluation.explanation {
            let at = |index: usize| {
                self.evaluation
                    .standardisation
                    .readings
                    .get(index)
                    .map_or_else(String::new, |one| day(one.at, &zone))
            };
            text.push_str(&head(&format!(
                "Where the litres went, from {} to {}",
                at(explanation.from),
                at(explanation.to)
            )));
            text.push_str(&explaining::table(explanation));
        }
        text.push_str(&head(&format!(
            "When each part is due, as of {}",
            day(self.as_of, &zone)
        )));
        text.push_str(&forecasting::table(&self.evaluation.parts, self.as_of));
        let doubts: Vec<String> = self
            .doubts()
            .map(|(reading, at, doubt)| self.doubt_words(reading, at, doubt))
            .collect();
        if !doubts.is_empty() {
            text.push_str(&head("Doubts (nothing was corrected)"));
            for doubt in &doubts {
                text.push_str(&wrapped(doubt, "- "));
            }
        }
        self.reading_text(&mut text, &head);
        for row in &self.records.set_aside {
            text.push_str(&wrapped(
                &format!(
                    "{} set aside: {} ({})",
                    row.line
                        .map_or_else(|| "Left out:".to_owned(), |line| format!("Line {line}")),
                    row.reason,
                    row.text.trim()
                ),
                "- ",
            ));
        }
        for cell in self.records.cell_notes() {
            let field = standardising::words(&cell.field);
            text.push_str(&wrapped(
                &format!(
                    "Line {}, {field}: read {:?}, {}",
                    cell.line, cell.text, cell.reason
                ),
                "- ",
            ));
        }
        for column in self.records.ignored() {
            text.push_str(&wrapped(
                &format!("Column {:?} not used: {}", column.heading, column.reason),
                "- ",
            ));
        }
        for sentence in self.assumed() {
            text.push_str(&wrapped(&format!("Assumed: {sentence}"), "- "));
        }
        if let Some(file) = plot {
            text.push_str(&format!("\nThe picture is in {}\n", file.display()));
        }
        text
    }

    /// How the readings were come by.
    fn reading_text(&self, text: &mut String, head: &impl Fn(&str) -> String) {
        let readings = counted(self.records.readings.len(), "reading", "readings");
        let events = counted(self.records.events.len(), "event", "events");
        if self.records.is_of_ledger() {
            text.push_str(&head("What it rests on"));
            text.push_str(&wrapped(&format!("{readings} and {events} of the ledger."), ""));
            return;
        }
        text.push_str(&head("How the log was read"));
        text.push_str(&wrapped(
            &format!(
                "{} and {} from {}. {}",
                readings,
                events,
                counted(
                    self.records.readings.len() + self.records.set_aside.len(),
                    "row",
                    "rows"
                ),
                self.records.habits().join(" ")
            ),
            "",
        ));
        let mut columns = Columns::new(&["heading", "read as", "in"]);
        for column in self.records.columns() {
            columns.row(vec![
                column.heading.clone(),
                standardising::words(&column.field()),
                column.unit.clone(),
            ]);
        }
        text.push_str(&columns.text());
    }

    fn doubt_words(&self, reading: usize, at: Timestamp, doubt: &Doubt) -> String {
        let zone = casefile::time_zone(&self.unit);
        let place = self.line(reading).map_or_else(
            || day(at, &zone),
            |line| format!("Line {line} ({})", day(at, &zone)),
        );
        let unit = quantity_unit(doubt);
        let written = self
            .records
            .as_written(reading, doubt.field)
            .map_or_else(String::new, |text| format!(" (written {text:?})"));
        let would = doubt.suggested.map_or_else(String::new, |suggested| {
            format!("; {} {unit} would fit", significant(suggested, 3))
        });
        format!(
            "{place}: {} reads {} {unit}{written}{would}: {}.",
            standardising::words(doubt.field.name()),
            significant(doubt.read, 3),
            doubt.reason
        )
    }
}

fn event_json(event: &reading::Event) -> Value {
    json!({
        "at": event.at.to_string(),
        "kind": event.kind.name(),
        "part": event.part,
        "note": event.note,
        "line": event.line,
    })
}

fn quantity_unit(doubt: &Doubt) -> &'static str {
    use reading::Dimension;
    match doubt.field.dimension() {
        Dimension::Flow => "L/h",
        Dimension::Volume => "L",
        Dimension::Pressure => "kPa",
        Dimension::Temperature => "C",
        Dimension::Concentration => "mg/L",
        Dimension::AsCaco3 => "mg/L as CaCO3",
        Dimension::Conductivity => "uS/cm",
        Dimension::RunningHours => "h",
        Dimension::RunningMinutes => "min",
    }
}
