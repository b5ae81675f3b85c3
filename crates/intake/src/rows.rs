//! From rows to readings and events.

use std::ops::Range;

use jiff::Timestamp;
use jiff::civil::{DateTime, Time};
use jiff::tz::TimeZone;
use reading::{Event, Reading};
use unit::Unit;

use crate::columns::Columns;
use crate::date::{self, When};
use crate::date_order::Order;
use crate::grid::{Cell, Grid, Tag};
use crate::header::{Header, begins_another, repeats};
use crate::target::Target;
use crate::value::{Value, is_no_reading, value};
use crate::{Both, CellNote, SetAside, Told, remark};

/// Everything the rows gave.
#[derive(Debug, Default)]
pub(crate) struct Rows {
    pub(crate) readings: Vec<Reading>,
    pub(crate) events: Vec<Event>,
    pub(crate) set_aside: Vec<SetAside>,
    pub(crate) cell_notes: Vec<CellNote>,
    pub(crate) without_time: usize,
    pub(crate) with_time: usize,
    pub(crate) half_limits: Vec<Told>,
    pub(crate) minutes_for_hours: bool,
    /// Columns in whose cells a meter's ppm stands without its factor.
    pub(crate) meter_cells: std::collections::BTreeSet<String>,
    /// Rows that name a time but no day.
    pub(crate) same_day: usize,
    pub(crate) undated_events: Vec<Told>,
}

impl Rows {
    /// Adds what the rows below gave.
    fn append(&mut self, mut below: Self) {
        self.readings.append(&mut below.readings);
        self.events.append(&mut below.events);
        self.set_aside.append(&mut below.set_aside);
        self.cell_notes.append(&mut below.cell_notes);
        self.without_time += below.without_time;
        self.with_time += below.with_time;
        self.half_limits.append(&mut below.half_limits);
        self.minutes_for_hours |= below.minutes_for_hours;
        self.meter_cells.append(&mut below.meter_cells);
        self.same_day += below.same_day;
        self.undated_events.append(&mut below.undated_events);
    }
}

/// What the rows above tell of how a row is read.
#[derive(Clone, Copy, Debug, Default)]
struct Above {
    /// The last visit.
    before: Option<Timestamp>,
    /// The line of the headings of another table, where they stand below such.
    another: Option<u32>,
    /// The day that ditto marks repeat.
    day: Option<When>,
}

/// Rows from which on a table is read in two halves.
const LONG: usize = 10_000;

/// What the rows are read with.
pub(crate) struct Reader<'a> {
    pub(crate) grid: &'a Grid,
    pub(crate) header: &'a Header,
    pub(crate) columns: &'a Columns,
    pub(crate) unit: &'a Unit,
    pub(crate) zone: &'a TimeZone,
    pub(crate) order: Order,
    /// The text the grid was cut from, for rows that are set aside.
    pub(crate) source: Option<&'a str>,
    /// The row before which this table ends.
    pub(crate) end: usize,
}

impl Reader<'_> {
    pub(crate) fn read(&self, rows: &mut Rows, both: Both) {
        let (start, end) = (self.header.data, self.end);
        rows.readings.reserve(end.saturating_sub(start));
        let Some(middle) = self.middle(start, end) else {
            self.part(rows, start..end, Above::default());
            return;
        };
        let (mut above, mut below) = (Above::default(), Rows::default());
        both(
            &mut || above = self.part(rows, start..middle, Above::default()),
            &mut || {
                self.part(&mut below, middle..end, Above::default());
            },
        );
        if above.another.is_some() {
            // The lower half is, to begin with, another table's.
            self.part(rows, middle..end, above);
        } else {
            rows.append(below);
        }
    }

    /// A row in the middle of many that says its own day: nothing above it but other headings tells how it is read.
    fn middle(&self, start: usize, end: usize) -> Option<usize> {
        if end.saturating_sub(start) < LONG {
            return None;
        }
        let date = self.index(&Target::Date)?;
        let is_dated = |row: &usize| {
            matches!(
                date::parse(self.grid.cell(*row, date), self.order),
                Some(When::Day(_) | When::Moment(_) | When::Instant(_))
            )
        };
        (start + (end - start) / 2..end).find(is_dated)
    }

    fn index(&self, target: &Target) -> Option<usize> {
        let column = self.columns.read.iter().find(|column| column.target == *target);
        column.map(|column| column.index)
    }

    /// Reads some rows that stand below others, and says what they are to those below them.
    fn part(&self, rows: &mut Rows, part: Range<usize>, above: Above) -> Above {
        let Above {
            mut before,
            mut another,
            mut day,
        } = above;
        let date = self.index(&Target::Date).unwrap_or(usize::MAX);
        let time = self.index(&Target::Time);
        for row in part {
            let line = self.grid.line(row);
            if self.grid.cells(row).all(|cell| cell.is_blank()) {
                continue;
            }
            let cell = self.grid.cell(row, date);
            let mut when = if cell.is_blank() {
                None
            } else {
                date::parse(cell, self.order)
            };
            // Ditto marks repeat the day above.
            if matches!(
                cell.text,
                "\"" | "''" | "\u{201d}" | "\u{3003}" | "do." | "dto" | "dto." | "ditto" | "id." | "idem"
            ) {
                when = day;
            }
            // The day is written once for several visits: the time of day alone names the next.
            let timed = || {
                time.is_some_and(|time| {
                    matches!(
                        date::parse(self.grid.cell(row, time), self.order),
                        Some(When::Clock(_))
                    )
                })
            };
            if cell.is_blank() && day.is_some() && timed() {
                when = day;
                rows.same_day += 1;
            }
            if !matches!(when, Some(When::Day(_) | When::Moment(_) | When::Instant(_))) {
                if repeats(self.grid, row, self.header) {
                    another = None;
                    self.set_aside(rows, row, Told::HeadingsAgain);
                } else if begins_another(self.grid, row, self.unit) {
                    another = Some(line);
                    self.set_aside(rows, row, Told::OtherHeadings);
                } else {
                    self.undated(rows, row, date, before);
                }
                continue;
            }
            if let Some(heading) = another {
                self.set_aside(rows, row, Told::OfAnotherTable { line: heading });
                continue;
            }
            day = when;
            let Some(moment) = self.moment(rows, row, when, time) else {
                self.set_aside(rows, row, no_such_date(cell.text));
                continue;
            };
            before = Some(moment);
            self.row(rows, row, moment);
        }
        Above { before, another, day }
    }

    fn raw(&self, row: usize) -> String {
        match self.source.and_then(|text| text.get(self.grid.source_range(row))) {
            Some(text) if !text.is_empty() => text.trim_end_matches(['\r', '\n']).to_owned(),
            _ => self.grid.row_text(row),
        }
    }

    fn set_aside(&self, rows: &mut Rows, row: usize, reason: Told) {
        rows.set_aside.push(SetAside {
            line: self.grid.line(row),
            text: self.raw(row),
            reason,
        });
    }

    /// The instant of a row.
    fn moment(
        &self,
        rows: &mut Rows,
        row: usize,
        when: Option<When>,
        time: Option<usize>,
    ) -> Option<Timestamp> {
        let (date, clock) = match when? {
            When::Instant(at) => {
                rows.with_time += 1;
                return Some(at);
            }
            When::Moment(moment) => (moment.date(), Some(moment.time())),
            When::Day(date) => (date, None),
            When::Clock(_) => return None,
        };
        let cell = time.map_or(Cell::EMPTY, |index| self.grid.cell(row, index));
        let own = match (date::parse(cell, self.order), cell.is_blank()) {
            (_, true) => None,
            (Some(When::Clock(time)), _) => Some(time),
            (Some(When::Moment(moment)), _) => Some(moment.time()),
            // Midnight, in a workbook whose time cells hold whole days.
            (Some(When::Day(_)), _) if cell.tag == Tag::DateTime => Some(Time::midnight()),
            _ => date::clock(cell.text).or_else(|| {
                rows.cell_notes.push(CellNote {
                    line: self.grid.line(row),
                    field: "time".to_owned(),
                    text: cell.text.to_owned(),
                    reason: Told::NotAClock,
                });
                None
            }),
        };
        let clock = own.or(clock);
        if clock.is_some() {
            rows.with_time += 1;
        } else {
            rows.without_time += 1;
        }
        let moment = DateTime::from_parts(date, clock.unwrap_or_else(|| Time::constant(12, 0, 0, 0)));
        date::instant(moment, self.zone)
    }

    /// A row with its date.
    fn row(&self, rows: &mut Rows, row: usize, at: Timestamp) {
        let line = self.grid.line(row);
        let mut reading = Reading::new(at);
        reading.line = Some(line);
        let mut ticks = 0;
        for column in &self.columns.read {
            let cell = self.grid.cell(row, column.index);
            if cell.is_blank() {
                continue;
            }
            match &column.target {
                Target::Date | Target::Time | Target::Ignored => {}
                Target::Note if !column.done.is_empty() && is_tick(cell.text) => {
                    for (kind, part) in &column.done {
                        let mut event = Event::new(at, *kind, Some(part));
                        column.heading.clone_into(&mut event.note);
                        event.line = Some(line);
                        rows.events.push(event);
                        ticks += 1;
                    }
                }
                Target::Note if !column.done.is_empty() && is_no(cell.text) => {}
                Target::Note => {
                    if !reading.note.is_empty() {
                        reading.note.push_str("; ");
                    }
                    reading.note.push_str(cell.text);
                }
                Target::By => cell.text.clone_into(&mut reading.by),
                target => match value(column, cell, rows) {
                    Value::None => {}
                    Value::Number {
                        value,
                        conductivity,
                        meter,
                    } => {
                        let factor_sd = if meter { column.factor_sd } else { 0.0 };
                        put(&mut reading, target, value, conductivity, factor_sd);
                    }
                    Value::Unreadable(reason) => rows.cell_notes.push(CellNote {
                        line,
                        field: target.name(),
                        text: cell.text.to_owned(),
                        reason,
                    }),
                },
            }
        }
        let events = ticks + self.events(rows, line, at, &reading.note);
        if reading.is_empty() {
            if events == 0 {
                let reason = if reading.note.is_empty() {
                    Told::OnlyDate
                } else {
                    Told::OnlyRemark
                };
                self.set_aside(rows, row, reason);
            }
            return;
        }
        rows.readings.push(reading);
    }

    fn events(&self, rows: &mut Rows, line: u32, at: Timestamp, note: &str) -> usize {
        if note.is_empty() {
            return 0;
        }
        let done = remark::events(note, self.unit);
        if let Some(unclear) = done.unclear {
            rows.cell_notes.push(CellNote {
                line,
                field: "note".to_owned(),
                text: note.to_owned(),
                reason: unclear,
            });
        }
        let count = done.events.len();
        for (kind, part) in done.events {
            let mut event = Event::new(at, kind, Some(&part));
            note.clone_into(&mut event.note);
            event.line = Some(line);
            rows.events.push(event);
        }
        count
    }

    /// A row without a date: a remark, a summary, or something to set aside.
    fn undated(&self, rows: &mut Rows, row: usize, date: usize, before: Option<Timestamp>) {
        let line = self.grid.line(row);
        let cell = self.grid.cell(row, date);
        let mut numbers = 0;
        let mut words: Vec<&str> = Vec::new();
        for (index, cell) in self
            .grid
            .cells(row)
            .enumerate()
            .filter(|(_, cell)| !cell.is_blank())
        {
            let is_text = self
                .columns
                .read
                .iter()
                .any(|c| c.index == index && matches!(c.target, Target::Note | Target::By));
            if !is_text
                && (cell.tag != Tag::Text || cell.text.starts_with(|c: char| c.is_ascii_digit() || c == '-'))
            {
                numbers += 1;
            } else {
                words.push(cell.text);
            }
        }
        if words.iter().any(|word| is_summary(word)) {
            return self.set_aside(rows, row, Told::Summary);
        }
        if numbers == 0 && !words.is_empty() {
            let text = words.join("; ");
            // It stands between two visits: what was done was done after the one before.
            let found = before.map_or(0, |before| {
                let after = before
                    .checked_add(jiff::SignedDuration::from_secs(1))
                    .unwrap_or(before);
                self.events(rows, line, after, &text)
            });
            if found > 0 {
                rows.undated_events.push(Told::Undated { line, text });
            } else {
                self.set_aside(rows, row, Told::OnlyRemark);
            }
            return;
        }
        if cell.is_blank() {
            return self.set_aside(rows, row, Told::NoDate);
        }
        self.set_aside(rows, row, no_such_date(cell.text));
    }
}

fn no_such_date(text: &str) -> Told {
    Told::NoSuchDate {
        text: text.to_owned(),
    }
}

fn put(reading: &mut Reading, target: &Target, value: f64, conductivity: bool, factor_sd: f64) {
    use reading::Field;
    if factor_sd > 0.0 {
        reading.meter_factor_sd = reading.meter_factor_sd.max(factor_sd);
    }
    match target {
        Target::Field(field) => {
            let field = match (field, conductivity) {
                (Field::FeedTds, true) => Field::FeedConductivity,
                (Field::PermeateTds, true) => Field::PermeateConductivity,
                _ => *field,
            };
            reading.set(field, Some(value));
        }
        Target::PressureAfter(id) => {
            reading.pressure_after_kpa.insert(id.clone(), value);
        }
        Target::ChlorineAfter(id) => {
            reading.chlorine_after_mg_l.insert(id.clone(), value);
        }
        Target::ConductivityAfter(id) => {
            reading.conductivity_after_us_cm.insert(id.clone(), value);
        }
        Target::ElementPermeate(id) => {
            reading.element_permeate_us_cm.insert(id.clone(), value);
        }
        Target::Date | Target::Time | Target::Note | Target::By | Target::Ignored => {}
    }
}

/// Marks by which people say that what a column is headed with was done.
fn is_tick(text: &str) -> bool {
    matches!(
        crate::words::fold(text).as_str(),
        "x" | "y"
            | "yes"
            | "ja"
            | "j"
            | "si"
            | "s"
            | "oui"
            | "o"
            | "1"
            | "done"
            | "ok"
            | "true"
            | "\u{2713}"
            | "\u{2714}"
            | "\u{2611}"
            | "*"
    )
}

/// Marks by which people say that it was not.
fn is_no(text: &str) -> bool {
    is_no_reading(text)
        || matches!(
            crate::words::fold(text).as_str(),
            "n" | "no" | "nein" | "non" | "0" | "false"
        )
}

/// Whether a row is a footer: average, total, minimum.
fn is_summary(text: &str) -> bool {
    let folded = crate::words::fold(text);
    let first = folded
        .split(|c: char| !c.is_alphanumeric())
        .find(|word| !word.is_empty())
        .unwrap_or("");
    folded.len() < 40
        && matches!(
            first,
            "average"
                | "averages"
                | "avg"
                | "mean"
                | "median"
                | "min"
                | "max"
                | "minimum"
                | "maximum"
                | "total"
                | "totals"
                | "sum"
                | "count"
                | "stdev"
                | "std"
                | "mittelwert"
                | "mittel"
                | "durchschnitt"
                | "summe"
                | "gesamt"
                | "schnitt"
                | "media"
                | "promedio"
                | "suma"
                | "minimo"
                | "maximo"
                | "moyenne"
                | "somme"
                | "range"
                | "o"
        )
}
