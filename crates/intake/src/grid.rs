//! A table of cells, kept compactly: a million rows must fit.

/// What a cell is, as far as the file says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tag {
    /// Text, in which a number may stand.
    Text,
    /// A number of a workbook, written with a point.
    Number,
    /// A date with its time, written `2024-01-08T09:30:00`.
    DateTime,
    /// A time of day or a duration, written `hh:mm:ss`.
    Clock,
    /// A formula whose result is not stored in the file.
    Formula,
    /// The continuation of a cell merged over several columns; its text is a heading's only.
    Across,
}

/// One cell.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cell<'a> {
    pub(crate) tag: Tag,
    pub(crate) text: &'a str,
}

impl Cell<'_> {
    pub(crate) const EMPTY: Cell<'static> = Cell {
        tag: Tag::Text,
        text: "",
    };

    /// Whether nothing stands in it, or only the continuation of its neighbour.
    pub(crate) fn is_blank(&self) -> bool {
        self.text.is_empty() || self.tag == Tag::Across
    }
}

#[derive(Clone, Copy, Debug)]
struct Row {
    first_cell: u32,
    /// Line of the file or row of the sheet, counted from 1.
    line: u32,
    /// Where the row stands in the text it was read from.
    start: u32,
    end: u32,
}

/// Rows of cells. Blank rows are not kept; every row knows its line.
#[derive(Clone, Debug, Default)]
pub(crate) struct Grid {
    text: String,
    ends: Vec<u32>,
    tags: Vec<Tag>,
    rows: Vec<Row>,
}

/// The table does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Full;

impl Grid {
    /// An empty table, with room for text of this many bytes.
    pub(crate) fn with_room_for(bytes: usize) -> Self {
        Self {
            text: String::with_capacity(bytes),
            ..Self::default()
        }
    }

    /// Begins a row.
    pub(crate) fn begin_row(&mut self, line: u32, start: usize, end: usize) -> Result<(), Full> {
        let fit = |n: usize| u32::try_from(n).map_err(|_| Full);
        self.rows.push(Row {
            first_cell: fit(self.ends.len())?,
            line,
            start: fit(start)?,
            end: fit(end)?,
        });
        Ok(())
    }

    /// Says where the last row ends in the text it was read from.
    pub(crate) fn end_row(&mut self, end: usize) -> Result<(), Full> {
        let end = u32::try_from(end).map_err(|_| Full)?;
        if let Some(row) = self.rows.last_mut() {
            row.end = end;
        }
        Ok(())
    }

    /// Adds a cell to the last row.
    pub(crate) fn push(&mut self, tag: Tag, text: &str) -> Result<(), Full> {
        self.text.push_str(text.trim());
        self.ends.push(u32::try_from(self.text.len()).map_err(|_| Full)?);
        self.tags.push(tag);
        Ok(())
    }

    /// Takes the last row back where nothing stands in it.
    pub(crate) fn drop_blank_row(&mut self) {
        if let Some(row) = self.rows.last() {
            let first = row.first_cell as usize;
            let start = first
                .checked_sub(1)
                .and_then(|i| self.ends.get(i))
                .map_or(0, |&end| end as usize);
            if start == self.text.len() {
                self.ends.truncate(first);
                self.tags.truncate(first);
                self.rows.pop();
            }
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.rows.len()
    }

    /// The line of a row, counted from 1.
    pub(crate) fn line(&self, row: usize) -> u32 {
        self.rows.get(row).map_or(0, |row| row.line)
    }

    /// The row of a line, if one is kept.
    pub(crate) fn row_of_line(&self, line: u32) -> Option<usize> {
        // In most files no line is blank.
        let first = self.rows.first()?.line;
        let guess = line.checked_sub(first)? as usize;
        if self.rows.get(guess).is_some_and(|row| row.line == line) {
            return Some(guess);
        }
        self.rows.binary_search_by_key(&line, |row| row.line).ok()
    }

    pub(crate) fn source_range(&self, row: usize) -> std::ops::Range<usize> {
        self.rows
            .get(row)
            .map_or(0..0, |row| row.start as usize..row.end as usize)
    }

    pub(crate) fn width(&self, row: usize) -> usize {
        let first = self.rows.get(row).map_or(0, |row| row.first_cell as usize);
        let next = self
            .rows
            .get(row + 1)
            .map_or(self.ends.len(), |row| row.first_cell as usize);
        next.saturating_sub(first)
    }

    /// A cell; beyond the row's end it is empty.
    pub(crate) fn cell(&self, row: usize, column: usize) -> Cell<'_> {
        if column >= self.width(row) {
            return Cell::EMPTY;
        }
        self.rows
            .get(row)
            .map_or(Cell::EMPTY, |row| self.nth(row.first_cell as usize + column))
    }

    /// A cell by its place among all cells.
    fn nth(&self, index: usize) -> Cell<'_> {
        let end = self.ends.get(index).map_or(0, |&end| end as usize);
        let start = index
            .checked_sub(1)
            .and_then(|i| self.ends.get(i))
            .map_or(0, |&end| end as usize);
        Cell {
            tag: self.tags.get(index).copied().unwrap_or(Tag::Text),
            text: self.text.get(start..end).unwrap_or(""),
        }
    }

    /// The cells of a row.
    pub(crate) fn cells(&self, row: usize) -> impl Iterator<Item = Cell<'_>> {
        let first = self.rows.get(row).map_or(0, |row| row.first_cell as usize);
        (first..first + self.width(row)).map(|index| self.nth(index))
    }

    /// The widest of the first rows.
    pub(crate) fn columns(&self) -> usize {
        (0..self.len().min(2000))
            .map(|row| self.width(row))
            .max()
            .unwrap_or(0)
    }

    /// What stands in a row, for a person.
    pub(crate) fn row_text(&self, row: usize) -> String {
        let mut text = String::new();
        for cell in self.cells(row).filter(|cell| !cell.is_blank()) {
            if !text.is_empty() {
                text.push_str(" | ");
            }
            text.push_str(cell.text);
        }
        text
    }
}
