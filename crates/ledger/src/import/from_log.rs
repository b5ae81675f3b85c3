//! A log as `intake` reads it, row by row.

use std::collections::BTreeMap;

use intake::{Both, Log, ReadColumn, RowText, Target};
use reading::Reading;
use serde_json::json;

use super::{LogFile, LogRow, Unread};
use crate::ContentHash;

/// The rows of a log that was read from these bytes.
pub fn log_file(name: &str, bytes: &[u8], log: Log) -> LogFile {
    log_file_by(name, bytes, log, intake::in_turn)
}

/// The same, in two halves, as [`intake::Options::both`] has it.
pub fn log_file_by(name: &str, bytes: &[u8], log: Log, both: Both) -> LogFile {
    let habit = json!({
        "sentences": log.habits.sentences(),
        "columns": log.columns.iter().map(|column| json!({
            "heading": column.heading, "field": column.field(), "unit": column.unit,
        })).collect::<Vec<_>>(),
        "ignored": log.ignored.iter().map(|column| json!({
            "heading": column.heading, "reason": column.reason.to_string(),
        })).collect::<Vec<_>>(),
        "assumed": log.assumed.iter().map(ToString::to_string).collect::<Vec<_>>(),
    });
    LogFile {
        name: name.to_owned(),
        hash: ContentHash::of(bytes),
        size: bytes.len() as u64,
        habit,
        rows: rows(log, both),
    }
}

fn rows(mut log: Log, both: Both) -> Vec<LogRow> {
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
        hash: hash_of(log.row(line)),
        reading: None,
        as_written: BTreeMap::new(),
        events: Vec::new(),
        set_aside: None,
    };
    // Nearly every line of a long log is a reading: its rows are made in one go, and the few others put among
    // them.
    let mut rows: Vec<LogRow> = Vec::with_capacity(readings.len() + events.len() + set_aside.len());
    rows.extend(readings.into_iter().map(|reading| LogRow {
        line: reading.line.unwrap_or_default(),
        hash: ContentHash::from_bytes([0; 32]),
        reading: Some(reading),
        as_written: BTreeMap::new(),
        events: Vec::new(),
        set_aside: None,
    }));
    let fill = |rows: &mut [LogRow]| {
        for row in rows {
            let text = log.row(row.line);
            row.hash = hash_of(text);
            if let (Some(text), Some(reading)) = (text, &row.reading) {
                row.as_written = as_written(text, &columns, reading);
            }
        }
    };
    let middle = rows.len() / 2;
    let (upper, lower) = rows.split_at_mut(middle);
    both(&mut || fill(upper), &mut || fill(lower));
    // A line gives one reading; should it ever give two, the later one in time stands.
    rows.sort_by_key(|row| row.line);
    rows.dedup_by(|later, row| {
        let same = later.line == row.line;
        if same {
            std::mem::swap(later, row);
        }
        same
    });
    let mut others: BTreeMap<u32, LogRow> = BTreeMap::new();
    let mut row_of = |line: u32, rows: &mut Vec<LogRow>, change: &mut dyn FnMut(&mut LogRow)| match rows
        .binary_search_by_key(&line, |row| row.line)
    {
        Ok(at) => rows.get_mut(at).into_iter().for_each(change),
        Err(_) => change(others.entry(line).or_insert_with(|| blank(line))),
    };
    for event in events {
        let line = event.line.unwrap_or_default();
        row_of(line, &mut rows, &mut |row| row.events.push(event.clone()));
    }
    for row in set_aside {
        let cells: Vec<String> = log.cells(row.line).map(str::to_owned).collect();
        row_of(row.line, &mut rows, &mut |kept| {
            kept.set_aside = Some(Unread {
                cells: cells.clone(),
                reason: row.reason.to_string(),
            });
        });
    }
    rows.extend(others.into_values());
    rows.sort_by_key(|row| row.line);
    rows
}

/// What a row is known again by: the hash of its cells.
fn hash_of(row: Option<RowText<'_>>) -> ContentHash {
    ContentHash::of_parts(row.into_iter().flat_map(RowText::cells).map(str::as_bytes))
}

/// What stands in the cells of a reading, with the unit of its column, where that is not the value itself.
fn as_written(
    row: RowText<'_>,
    columns: &[(&ReadColumn, String)],
    reading: &Reading,
) -> BTreeMap<String, String> {
    let mut written = BTreeMap::new();
    // Nearly always the next column is the next of the row too.
    let mut next = 0;
    for (target, text) in row.read().filter(|(target, _)| target.kind().is_some()) {
        let is = |place: usize| {
            columns
                .get(place)
                .is_some_and(|(column, _)| column.target == *target)
        };
        let place = if is(next) {
            Some(next)
        } else {
            (0..columns.len()).find(|place| is(*place))
        };
        let Some((column, field)) = place.and_then(|place| columns.get(place)) else {
            continue;
        };
        next = place.map_or(next, |place| place + 1);
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
