//! Reading logs as people keep them: bytes in; columns recognised, readings and events out, and every row and
//! cell that could not be read named with its line and the reason.
//!
//! Nothing is corrected and nothing is dropped without a word: what was taken for granted is in
//! [`Log::assumed`], what was left out in [`Log::set_aside`], [`Log::cell_notes`] and [`Log::ignored`].
//!
//! Architecture invariant: nothing here knows where files are kept, or what wear is. Nothing here panics on any
//! input.
#![deny(clippy::disallowed_methods)]

mod classify;
mod columns;
mod date;
mod decimal;
mod delimited;
mod error;
mod grid;
mod habits;
mod header;
mod heading;
mod infer;
mod mapping;
mod remark;
mod rows;
mod sniff;
mod target;
mod words;
mod workbook;

use jiff::tz::TimeZone;
use quantity::Decimal;
use reading::{Event, Reading};
use unit::Unit;

pub use date::Order;
pub use error::Error;
pub use habits::{Clock, Habits};
pub use mapping::{MappedColumn, Mapping, MappingError};
pub use target::Target;

use crate::columns::Columns;
use crate::grid::Grid;
use crate::header::Header;
use crate::sniff::Content;

/// What a log is read with.
#[derive(Clone, Debug)]
pub struct Options<'a> {
    /// The unit: its parts are looked for in headings and remarks, its meters' factors are used.
    pub unit: &'a Unit,
    /// Zone of times that name none.
    pub time_zone: TimeZone,
    /// What the columns are, where their headings do not say.
    pub mapping: Option<Mapping>,
    /// The sheet of a workbook; the one that looks most like a log where none is named.
    pub sheet: Option<String>,
}

impl<'a> Options<'a> {
    /// Options without a mapping, in the unit's own zone (UTC where its name is not known).
    pub fn new(unit: &'a Unit) -> Self {
        Self {
            unit,
            time_zone: TimeZone::get(&unit.time_zone).unwrap_or(TimeZone::UTC),
            mapping: None,
            sheet: None,
        }
    }
}

/// A log that was read.
#[derive(Clone, Debug)]
pub struct Log {
    /// How it is written.
    pub habits: Habits,
    /// The columns that were read, from left to right.
    pub columns: Vec<ReadColumn>,
    /// The columns that were not, and why.
    pub ignored: Vec<IgnoredColumn>,
    /// The readings, in the order of their time.
    pub readings: Vec<Reading>,
    /// What remarks plainly say was done, in the order of its time.
    pub events: Vec<Event>,
    /// Rows that are no readings, as they stand.
    pub set_aside: Vec<SetAside>,
    /// Cells that could not be read, remarks that are not plain, and dates that look wrong; the rest of their rows
    /// counts.
    pub cell_notes: Vec<CellNote>,
    /// What was taken for granted, a sentence each.
    pub assumed: Vec<String>,
    grid: Grid,
    targets: Vec<(usize, Target)>,
}

impl Log {
    /// What stands in the file for this field in this line.
    pub fn text(&self, line: u32, target: &Target) -> Option<&str> {
        let row = self.grid.row_of_line(line)?;
        let (column, _) = self.targets.iter().find(|(_, known)| known == target)?;
        Some(self.grid.cell(row, *column).text).filter(|text| !text.is_empty())
    }
}

/// A column that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadColumn {
    /// As it stands in the file; a units row beneath in brackets.
    pub heading: String,
    /// What it holds.
    pub target: Target,
    /// The unit of its bare numbers; empty for dates and words, and where every cell names its own.
    pub unit: String,
}

impl ReadColumn {
    /// Name of the field, as in a mapping file and in answers.
    pub fn field(&self) -> String {
        self.target.name()
    }
}

/// A column that was not read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IgnoredColumn {
    /// As it stands in the file.
    pub heading: String,
    /// Why.
    pub reason: String,
}

/// A row that is no reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    /// Line of the file or row of the sheet, counted from 1.
    pub line: u32,
    /// As it stands; the cells of a sheet joined by ` | `.
    pub text: String,
    /// Why.
    pub reason: String,
}

/// Something about a cell that was not taken as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellNote {
    /// Line of the file or row of the sheet, counted from 1.
    pub line: u32,
    /// Field, or `date`, `time`, `note`.
    pub field: String,
    /// What was read.
    pub text: String,
    /// Why it was not taken.
    pub reason: String,
}

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
        habits
            .remarks
            .push("a quotation mark is never closed: the marks are read as ordinary characters".to_owned());
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
            .map(|(_, sheet)| format!("`{}`", sheet.name))
            .collect();
        if !others.is_empty() {
            habits.remarks.push(format!(
                "the sheets {} look like logs too; only `{}` is read (name the sheet to read another)",
                others.join(", "),
                chosen.name
            ));
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
    let reader = rows::Reader {
        grid: &grid,
        header: &header,
        columns: &columns,
        unit: options.unit,
        zone: &options.time_zone,
        order,
        source,
    };
    let mut rows = reader.read();
    if rows.readings.is_empty() && rows.events.is_empty() {
        let line = grid.line(header.row);
        return Err(match rows.set_aside.first() {
            Some(first) => Error::NoRows {
                line,
                first_line: first.line,
                reason: first.reason.clone(),
            },
            None => Error::OnlyHeadings { line },
        });
    }
    note_jumps(&mut rows, &grid, &columns);
    let mut assumed = columns.assumed.clone();
    assumed.append(&mut habits.remarks);
    if habits.date_order.is_some() {
        habits.date_order = Some(order);
        if let Some(why) = why.filter(|_| !stated_order) {
            assumed.push(format!("dates are read {}: {why}", order.name()));
        }
    }
    say_rows(&mut rows, &mut assumed);
    rows.readings.sort_by_key(|reading| reading.at);
    rows.events.sort_by_key(|event| event.at);
    let targets = columns
        .read
        .iter()
        .map(|column| (column.index, column.target.clone()))
        .collect();
    Ok(Log {
        habits,
        columns: columns
            .read
            .into_iter()
            .map(|column| ReadColumn {
                heading: column.heading,
                target: column.target,
                unit: column.unit_text,
            })
            .collect(),
        ignored: columns.ignored,
        readings: rows.readings,
        events: rows.events,
        set_aside: rows.set_aside,
        cell_notes: rows.cell_notes,
        assumed,
        grid,
        targets,
    })
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
) -> (Order, Option<&'static str>) {
    let index = |target: Target| {
        columns
            .read
            .iter()
            .find(|column| column.target == target)
            .map(|column| column.index)
    };
    let mut numbers = Vec::new();
    let mut hints = date::OrderHints {
        american_units: columns.family.is_american(),
        comma_or_foreign: decimal == Decimal::Comma || columns.foreign >= 2,
        ..date::OrderHints::default()
    };
    let (date, time) = (index(Target::Date), index(Target::Time));
    let mut clock = None;
    for row in header.data..grid.len() {
        let cell = date.map_or(grid::Cell::EMPTY, |date| grid.cell(row, date));
        if let Some((found, sign, _)) = date::numbers(cell.text).filter(|_| cell.tag == grid::Tag::Text) {
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
    date::order_of(&numbers, hints)
}

/// Names readings that stand out of the order of their neighbours: most often a slip in the year or the month.
fn note_jumps(rows: &mut rows::Rows, grid: &Grid, columns: &Columns) {
    let ascending = rows
        .readings
        .windows(2)
        .filter(|pair| matches!(pair, [a, b] if a.at <= b.at))
        .count();
    if ascending * 10 < rows.readings.len().saturating_sub(1) * 9 {
        return;
    }
    let date = columns
        .read
        .iter()
        .find(|column| column.target == Target::Date)
        .map_or(0, |column| column.index);
    let mut notes = Vec::new();
    for triple in rows.readings.windows(3) {
        let [a, b, c] = triple else { continue };
        if a.at <= c.at && (b.at < a.at || b.at > c.at) {
            let line = b.line.unwrap_or(0);
            let text = grid.row_of_line(line).map_or("", |row| grid.cell(row, date).text);
            notes.push(CellNote {
                line,
                field: "date".to_owned(),
                text: text.to_owned(),
                reason:
                    "out of order: not between the dates of the lines above and below; taken as it stands"
                        .to_owned(),
            });
        }
    }
    rows.cell_notes.append(&mut notes);
    rows.cell_notes.sort_by_key(|note| note.line);
}

/// Says what was taken for granted in reading the rows.
fn say_rows(rows: &mut rows::Rows, assumed: &mut Vec<String>) {
    if rows.without_time > 0 {
        assumed.push(if rows.with_time == 0 {
            "the log names no times of day: noon is taken".to_owned()
        } else {
            let rows = if rows.without_time == 1 {
                "one row names".to_owned()
            } else {
                format!("{} rows name", rows.without_time)
            };
            format!("{rows} no time of day: noon is taken")
        });
    }
    if rows.minutes_for_hours {
        assumed.push(
            "times of fills that the workbook holds as hours and minutes are read as minutes and seconds"
                .to_owned(),
        );
    }
    rows.half_limits.sort();
    rows.half_limits.dedup();
    assumed.append(&mut rows.half_limits);
    assumed.append(&mut rows.undated_events);
}
