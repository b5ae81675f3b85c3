//! Reading logs as people keep them: bytes in; columns recognised, readings and events out, and every row and
//! cell that could not be read named with its line and the reason.
//!
//! Nothing is corrected and nothing is dropped without a word: what was taken for granted is in
//! [`Log::assumed`], what was left out in [`Log::set_aside`], [`Log::cell_notes`] and [`Log::ignored`].
//!
//! Architecture invariant: nothing here knows where files are kept, or what wear is. Nothing here panics on any
//! input.
#![deny(clippy::disallowed_methods)]

mod cells;
mod classify;
mod columns;
mod date;
mod date_order;
mod decimal;
mod delimited;
mod error;
mod grid;
mod habits;
mod header;
mod heading;
mod infer;
mod log;
mod mapping;
mod pressure;
mod remark;
mod remark_words;
mod rows;
mod settle;
mod sniff;
mod target;
mod told;
mod value;
mod words;
mod workbook;

use quantity::Decimal;

pub use date_order::{Order, Why};
pub use error::Error;
pub use habits::{Clock, Habits};
pub use log::{Both, CellNote, IgnoredColumn, Log, Options, ReadColumn, RowText, SetAside, in_turn};
pub use mapping::{MappedColumn, Mapping, MappingError};
pub use target::Target;
pub use told::{Taken, Told};

use crate::columns::Columns;
use crate::grid::Grid;
use crate::header::Header;
use crate::log::Places;
use crate::sniff::Content;

/// Reads a log.
///
/// # Errors
/// [`Error`] where there is no table, no heading, no date, or no row that could be read at all.
pub fn read(bytes: &[u8], options: &Options<'_>) -> Result<Log, Error> {
    match sniff::sniff(bytes)? {
        Content::Workbook => read_workbook(bytes, options),
        Content::Text { text, encoding } => read_text(&text, encoding, options),
    }
}

fn read_text(text: &str, encoding: &'static str, options: &Options<'_>) -> Result<Log, Error> {
    let mapping = options.mapping.as_ref();
    let stated = mapping
        .and_then(|mapping| mapping.delimiter)
        .or_else(|| delimited::stated(text));
    let delimiter = match stated {
        Some(delimiter) => delimiter,
        None => find_delimiter(delimited::sample(text), options)?,
    };
    let (grid, unquoted) = delimited::parse(text, delimiter)?;
    let mut habits = Habits {
        encoding: Some(encoding),
        delimiter: Some(delimited::name(delimiter)),
        ..Habits::default()
    };
    if unquoted {
        habits.remarks.push(Told::UnclosedMark);
    }
    read_grid(grid, Some(text), Some(delimiter), habits, options)
}

/// The delimiter that makes most sense of the headings; among equals the one that cuts most evenly.
fn find_delimiter(sample: &str, options: &Options<'_>) -> Result<u8, Error> {
    let mut best: Option<(u8, (usize, bool, f64, usize))> = None;
    for delimiter in delimited::DELIMITERS {
        let (grid, _) = delimited::parse(sample, delimiter)?;
        let score =
            header::find(&grid, options.unit, options.mapping.as_ref()).map_or(0, |header| header.score);
        let (evenness, width) = delimited::evenness(&grid);
        let key = (score, width > 1, evenness, width);
        if best.is_none_or(|(_, known)| key > known) {
            best = Some((delimiter, key));
        }
    }
    Ok(best.map_or(b',', |(delimiter, _)| delimiter))
}

fn read_workbook(bytes: &[u8], options: &Options<'_>) -> Result<Log, Error> {
    let sheets = workbook::parse(bytes)?;
    let wanted = options
        .sheet
        .as_deref()
        .or_else(|| options.mapping.as_ref().and_then(|m| m.sheet.as_deref()));
    let names: Vec<String> = sheets.iter().map(|sheet| sheet.name.clone()).collect();
    let mut habits = Habits::default();
    let chosen = if let Some(wanted) = wanted {
        sheets
            .into_iter()
            .find(|sheet| sheet.name.eq_ignore_ascii_case(wanted))
            .ok_or_else(|| Error::NoSheet {
                wanted: wanted.to_owned(),
                found: names.clone(),
            })?
    } else {
        let score = |sheet: &workbook::Sheet| {
            let header = header::find(&sheet.grid, options.unit, options.mapping.as_ref());
            header.map_or((0, 0), |header| (header.score, sheet.grid.len()))
        };
        let mut scored: Vec<_> = sheets.into_iter().map(|sheet| (score(&sheet), sheet)).collect();
        scored.sort_by_key(|(score, _)| std::cmp::Reverse(*score));
        let mut scored = scored.into_iter();
        let Some((first, chosen)) = scored.next() else {
            return Err(Error::Empty);
        };
        let others: Vec<String> = scored
            .filter(|((score, _), _)| *score >= 8 && *score * 2 > first.0)
            .map(|(_, sheet)| sheet.name)
            .collect();
        if !others.is_empty() {
            habits.remarks.push(Told::OtherSheets {
                others,
                chosen: chosen.name.clone(),
            });
        }
        chosen
    };
    habits.sheet = Some(chosen.name);
    read_grid(chosen.grid, None, None, habits, options)
}

fn read_grid(
    grid: Grid,
    source: Option<&str>,
    delimiter: Option<u8>,
    mut habits: Habits,
    options: &Options<'_>,
) -> Result<Log, Error> {
    let mapping = options.mapping.as_ref();
    let Some(header) = header::find(&grid, options.unit, mapping) else {
        return Err(no_headings(&grid));
    };
    let decimal = mapping
        .and_then(|m| m.decimal)
        .unwrap_or_else(|| decimal::of(&grid, &header, delimiter));
    let columns = columns::resolve(&grid, &header, options.unit, mapping, decimal)?;
    let measured = columns
        .read
        .iter()
        .any(|column| column.kind.is_some() || column.target == Target::Note);
    if !measured {
        return Err(no_headings(&grid));
    }
    let (order, why) = order_of(&grid, &header, &columns, decimal, &mut habits);
    let order = mapping
        .and_then(|m| m.date_order)
        .or(columns.date_order)
        .unwrap_or(order);
    let stated_order = mapping.is_some_and(|m| m.date_order.is_some()) || columns.date_order.is_some();
    habits.header_line = grid.line(header.row);
    habits.decimal = decimal;
    let mut tables = vec![(header, columns)];
    let mut assumed = Vec::new();
    add_tables(&grid, options, decimal, &mut tables, &mut assumed);
    let mut rows = rows::Rows::default();
    for (at, (header, columns)) in tables.iter().enumerate() {
        let end = tables.get(at + 1).map_or(grid.len(), |(next, _)| next.row);
        let reader = rows::Reader {
            grid: &grid,
            header,
            columns,
            unit: options.unit,
            zone: &options.time_zone,
            order,
            source,
            end,
        };
        reader.read(&mut rows, options.both);
    }
    if rows.readings.is_empty() && rows.events.is_empty() {
        let line = habits.header_line;
        return Err(match rows.set_aside.first() {
            Some(first) => Error::NoRows {
                line,
                first_line: first.line,
                reason: first.reason.to_string(),
            },
            None => Error::OnlyHeadings { line },
        });
    }
    let places = Places(
        tables
            .iter()
            .map(|(header, columns)| {
                (
                    header.row,
                    columns
                        .read
                        .iter()
                        .map(|column| (column.index, column.target.clone()))
                        .collect(),
                )
            })
            .collect(),
    );
    note_jumps(&mut rows, &grid, &places);
    for column in tables.iter().flat_map(|(_, columns)| &columns.read) {
        if let Some(factor) = column.context.meter_factor
            && column.factor_sd > 0.0
            && rows.meter_cells.remove(&column.heading)
        {
            assumed.push(columns::unstated_factor(&column.heading, factor));
        }
    }
    let mut read: Vec<ReadColumn> = Vec::new();
    let mut ignored: Vec<IgnoredColumn> = Vec::new();
    for (_, mut columns) in tables {
        for column in columns.read {
            let column = ReadColumn {
                heading: column.heading,
                target: column.target,
                unit: column.unit_text,
            };
            if !read.contains(&column) {
                read.push(column);
            }
        }
        columns.ignored.retain(|column| !ignored.contains(column));
        ignored.append(&mut columns.ignored);
        columns.assumed.retain(|sentence| !assumed.contains(sentence));
        assumed.append(&mut columns.assumed);
    }
    assumed.append(&mut habits.remarks);
    if habits.date_order.is_some() {
        habits.date_order = Some(order);
        if let Some(why) = why.filter(|_| !stated_order) {
            assumed.push(Told::Dates { order, why });
        }
    }
    say_rows(&mut rows, &mut assumed);
    rows.readings.sort_by_key(|reading| reading.at);
    rows.events.sort_by_key(|event| event.at);
    Ok(Log {
        habits,
        columns: read,
        ignored,
        readings: rows.readings,
        events: rows.events,
        set_aside: rows.set_aside,
        cell_notes: rows.cell_notes,
        assumed,
        grid,
        places,
    })
}

/// Finds the tables below the first: people change their headings in the middle of a file.
fn add_tables(
    grid: &Grid,
    options: &Options<'_>,
    decimal: Decimal,
    tables: &mut Vec<(Header, Columns)>,
    assumed: &mut Vec<Told>,
) {
    let Some(first) = tables.first().map(|(header, _)| header.data) else {
        return;
    };
    let mut row = first;
    while row < grid.len() {
        let current = tables.last().map(|(header, _)| header);
        if header::begins_another(grid, row, options.unit)
            && !current.is_some_and(|header| header::repeats(grid, row, header))
        {
            let header = header::at(grid, row);
            let line = grid.line(row);
            // Where the new headings cannot be settled, the rows below are set aside with their line.
            if let Ok(columns) =
                columns::resolve(grid, &header, options.unit, options.mapping.as_ref(), decimal)
            {
                assumed.push(Told::NewHeadings { line });
                row = header.data;
                tables.push((header, columns));
                continue;
            }
        }
        row += 1;
    }
}

fn no_headings(grid: &Grid) -> Error {
    let fullest = (0..grid.len().min(80)).max_by_key(|&row| {
        let words = grid
            .cells(row)
            .filter(|cell| !cell.text.is_empty() && !header::is_value(*cell))
            .count();
        (words, std::cmp::Reverse(row))
    });
    let row = fullest.unwrap_or(0);
    if !grid
        .cells(row)
        .any(|cell| !cell.is_blank() && !header::is_value(cell))
    {
        return Error::NoHeadingRow {
            first: grid.row_text(0).chars().take(100).collect(),
        };
    }
    let found: Vec<String> = grid
        .cells(row)
        .filter(|cell| !cell.is_blank())
        .take(24)
        .map(|cell| cell.text.chars().take(60).collect())
        .collect();
    Error::NoHeadings {
        line: grid.line(row),
        mapping: mapping::example(&found),
        found,
    }
}

/// The order of dates that are nothing but numbers; also notes in the habits how dates and clock are written.
fn order_of(
    grid: &Grid,
    header: &Header,
    columns: &Columns,
    decimal: Decimal,
    habits: &mut Habits,
) -> (Order, Option<Why>) {
    let index = |target: Target| {
        columns
            .read
            .iter()
            .find(|column| column.target == target)
            .map(|column| column.index)
    };
    let mut numbers = Vec::new();
    let mut hints = date_order::OrderHints {
        american_units: columns.family.is_american(),
        comma_or_foreign: decimal == Decimal::Comma || columns.foreign >= 2,
        ..date_order::OrderHints::default()
    };
    let (date, time) = (index(Target::Date), index(Target::Time));
    let mut clock = None;
    for row in header.data..grid.len() {
        let cell = date.map_or(grid::Cell::EMPTY, |date| grid.cell(row, date));
        if let Some((found, sign, _)) = date_order::numbers(cell.text).filter(|_| cell.tag == grid::Tag::Text)
        {
            hints.points |= sign == '.';
            numbers.push(found);
        }
        if clock.is_none() {
            let cell = time.map_or(cell, |time| grid.cell(row, time));
            if date::is_twelve_hour(cell.text) {
                clock = Some(Clock::Twelve);
            } else if cell.tag == grid::Tag::Clock || cell.text.contains(':') {
                clock = Some(Clock::TwentyFour);
            }
        }
    }
    hints.twelve_hour = clock == Some(Clock::Twelve);
    habits.clock = clock;
    if !numbers.is_empty() {
        habits.date_order = Some(Order::DayFirst);
    }
    date_order::order_of(&numbers, hints)
}

/// Names readings that stand out of the order of their neighbours: most often a slip in the year or the month.
fn note_jumps(rows: &mut rows::Rows, grid: &Grid, places: &Places) {
    let ascending = rows
        .readings
        .windows(2)
        .filter(|pair| matches!(pair, [a, b] if a.at <= b.at))
        .count();
    if ascending * 10 < rows.readings.len().saturating_sub(1) * 9 {
        return;
    }
    let mut notes = Vec::new();
    for triple in rows.readings.windows(3) {
        let [a, b, c] = triple else { continue };
        if a.at <= c.at && (b.at < a.at || b.at > c.at) {
            let line = b.line.unwrap_or(0);
            let text = places.text(grid, line, &Target::Date).unwrap_or("");
            notes.push(CellNote {
                line,
                field: "date".to_owned(),
                text: text.to_owned(),
                reason: Told::OutOfOrder,
            });
        }
    }
    rows.cell_notes.append(&mut notes);
    rows.cell_notes.sort_by_key(|note| note.line);
}

/// Says what was taken for granted in reading the rows.
fn say_rows(rows: &mut rows::Rows, assumed: &mut Vec<Told>) {
    if rows.without_time > 0 {
        assumed.push(if rows.with_time == 0 {
            Told::NoTimes
        } else {
            Told::WithoutTime(rows.without_time)
        });
    }
    if rows.same_day > 0 {
        assumed.push(Told::WithoutDay(rows.same_day));
    }
    if rows.minutes_for_hours {
        assumed.push(Told::FillsInHours);
    }
    rows.half_limits.sort_by_key(ToString::to_string);
    rows.half_limits.dedup();
    assumed.append(&mut rows.half_limits);
    assumed.append(&mut rows.undated_events);
}
