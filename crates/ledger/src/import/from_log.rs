//! A log as `intake` reads it, row by row.

use std::collections::BTreeMap;

use intake::{Log, ReadColumn, Target};
use reading::Reading;
use serde_json::json;

use super::{LogFile, LogRow, Unread};
use crate::ContentHash;

/// The rows of a log that was read from these bytes.
pub fn log_file(name: &str, bytes: &[u8], log: Log) -> LogFile {
    let habit = json!({
        "sentences": log.habits.sentences(),
        "columns": log.columns.iter().map(|column| json!({
            "heading": column.heading, "field": column.field(), "unit": column.unit,
        })).collect::<Vec<_>>(),
        "ignored": log.ignored.iter().map(|column| json!({
            "heading": column.heading, "reason": column.reason,
        })).collect::<Vec<_>>(),
        "assumed": log.assumed,
    });
    LogFile {
        name: name.to_owned(),
        hash: ContentHash::of(bytes),
        size: bytes.len() as u64,
        habit,
        rows: rows(log),
    }
}

fn rows(mut log: Log) -> Vec<LogRow> {
    // Lines of the log, each once and in order, whatever they gave.
    let (readings, events) = (std::mem::take(&mut log.readings), std::mem::take(&mut log.events));
    let set_aside = std::mem::take(&mut log.set_aside);
    let columns: Vec<(&ReadColumn, String)> = log
        .columns
        .iter()
        .filter(|column| column.target.kind().is_some())
        .map(|c| (c, c.field()))
        .collect();
    let blank = |line| LogRow {
        line,
        hash: ContentHash::of_parts(log.cells(line).map(str::as_bytes)),
        reading: None,
        as_written: BTreeMap::new(),
        events: Vec::new(),
        set_aside: None,
    };
    let mut rows: BTreeMap<u32, LogRow> = BTreeMap::new();
    for reading in readings {
        let line = reading.line.unwrap_or_default();
        let row = rows.entry(line).or_insert_with(|| blank(line));
        row.as_written = as_written(&log, &columns, line, &reading);
        row.reading = Some(reading);
    }
    for event in events {
        let line = event.line.unwrap_or_default();
        rows.entry(line).or_insert_with(|| blank(line)).events.push(event);
    }
    for row in set_aside {
        let cells = log.cells(row.line).map(str::to_owned).collect();
        rows.entry(row.line).or_insert_with(|| blank(row.line)).set_aside = Some(Unread {
            cells,
            reason: row.reason,
        });
    }
    rows.into_values().collect()
}

/// What stands in the cells of a reading, with the unit of its column, where that is not the value itself.
fn as_written(
    log: &Log,
    columns: &[(&ReadColumn, String)],
    line: u32,
    reading: &Reading,
) -> BTreeMap<String, String> {
    let mut written = BTreeMap::new();
    for (column, field) in columns {
        let Some(text) = log.text(line, &column.target) else {
            continue;
        };
        let value = value(reading, &column.target);
        if text
            .parse::<f64>()
            .ok()
            .is_some_and(|number| Some(number) == value)
        {
            continue;
        }
        // A cell with letters in it names its own unit; one without a digit is no number.
        let bare = text.contains(|c: char| c.is_ascii_digit()) && !text.contains(char::is_alphabetic);
        let bare = bare && !column.unit.is_empty();
        let text = if bare {
            format!("{text} {}", column.unit)
        } else {
            text.to_owned()
        };
        written.insert(field.clone(), text);
    }
    written
}

fn value(reading: &Reading, target: &Target) -> Option<f64> {
    match target {
        Target::Field(field) => reading.get(*field),
        Target::PressureAfter(id) => reading.pressure_after_kpa.get(id).copied(),
        Target::ChlorineAfter(id) => reading.chlorine_after_mg_l.get(id).copied(),
        Target::ConductivityAfter(id) => reading.conductivity_after_us_cm.get(id).copied(),
        Target::ElementPermeate(id) => reading.element_permeate_us_cm.get(id).copied(),
        _ => None,
    }
}
