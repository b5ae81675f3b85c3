//! What a log is read with, and what comes of it.

use jiff::tz::TimeZone;
use reading::{Event, Reading};
use unit::Unit;

use crate::grid::Grid;
use crate::{Habits, Mapping, Target, Told};

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
    /// How two halves of a long log are read: on two threads, where who asks has them.
    pub both: Both,
}

/// Carries out two works that do not touch each other, both of them, before it comes back.
///
/// Nothing here starts a thread: who has one more gives [`Options::both`] what uses it.
pub type Both = fn(&mut (dyn FnMut() + Send), &mut (dyn FnMut() + Send));

/// One after the other.
pub fn in_turn(first: &mut (dyn FnMut() + Send), second: &mut (dyn FnMut() + Send)) {
    first();
    second();
}

impl<'a> Options<'a> {
    /// Options without a mapping, in the unit's own zone (UTC where its name is not known).
    pub fn new(unit: &'a Unit) -> Self {
        Self {
            unit,
            time_zone: TimeZone::get(&unit.time_zone).unwrap_or(TimeZone::UTC),
            mapping: None,
            sheet: None,
            both: in_turn,
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
    /// What was taken for granted.
    pub assumed: Vec<Told>,
    pub(crate) grid: Grid,
    pub(crate) places: Places,
}

impl Log {
    /// What stands in the file for this field in this line.
    pub fn text(&self, line: u32, target: &Target) -> Option<&str> {
        self.places.text(&self.grid, line, target)
    }

    /// A line of the file as it stands; none where the file has no such line.
    pub fn row(&self, line: u32) -> Option<RowText<'_>> {
        let row = self.grid.row_of_line(line)?;
        let columns = self.places.of_row(row).unwrap_or_default();
        let grid = &self.grid;
        Some(RowText { grid, row, columns })
    }

    /// The cells of this line as they stand, those of columns that were not read among them; none where the
    /// file has no such line.
    pub fn cells(&self, line: u32) -> impl Iterator<Item = &str> {
        self.row(line).into_iter().flat_map(RowText::cells)
    }
}

/// A line of a file as it stands.
#[derive(Clone, Copy, Debug)]
pub struct RowText<'a> {
    grid: &'a Grid,
    row: usize,
    /// Where the columns stand, with what each holds.
    columns: &'a [(usize, Target)],
}

impl<'a> RowText<'a> {
    /// Its cells, those of columns that were not read among them.
    pub fn cells(self) -> impl Iterator<Item = &'a str> {
        self.grid.cells(self.row).map(|cell| cell.text)
    }

    /// What stands in it for the columns that are read, from left to right; blank cells are left out.
    pub fn read(self) -> impl Iterator<Item = (&'a Target, &'a str)> {
        let columns = self.columns.iter();
        columns
            .map(move |(column, target)| (target, self.grid.cell(self.row, *column).text))
            .filter(|(_, text)| !text.is_empty())
    }

    /// What stands in it for this field; none where nothing does.
    pub fn text(self, target: &Target) -> Option<&'a str> {
        let (column, _) = self.columns.iter().find(|(_, known)| known == target)?;
        Some(self.grid.cell(self.row, *column).text).filter(|text| !text.is_empty())
    }
}

/// Which column holds what, from which row on.
#[derive(Clone, Debug, Default)]
pub(crate) struct Places(pub(crate) Vec<(usize, Vec<(usize, Target)>)>);

impl Places {
    /// The columns of the table that a row is in.
    fn of_row(&self, row: usize) -> Option<&[(usize, Target)]> {
        let (_, columns) = self.0.iter().rev().find(|(first, _)| *first <= row)?;
        Some(columns)
    }

    /// What stands in a line for a target.
    pub(crate) fn text<'a>(&'a self, grid: &'a Grid, line: u32, target: &Target) -> Option<&'a str> {
        let row = grid.row_of_line(line)?;
        let columns = self.of_row(row)?;
        RowText { grid, row, columns }.text(target)
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
#[derive(Clone, Debug, PartialEq)]
pub struct IgnoredColumn {
    /// As it stands in the file.
    pub heading: String,
    /// Why.
    pub reason: Told,
}

/// A row that is no reading.
#[derive(Clone, Debug, PartialEq)]
pub struct SetAside {
    /// Line of the file or row of the sheet, counted from 1.
    pub line: u32,
    /// As it stands; the cells of a sheet joined by ` | `.
    pub text: String,
    /// Why.
    pub reason: Told,
}

/// Something about a cell that was not taken as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct CellNote {
    /// Line of the file or row of the sheet, counted from 1.
    pub line: u32,
    /// Field, or `date`, `time`, `note`.
    pub field: String,
    /// What was read.
    pub text: String,
    /// Why it was not taken.
    pub reason: Told,
}
