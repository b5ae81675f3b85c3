//! Delimited text to a grid.

use crate::Error;
use crate::grid::{Full, Grid, Tag};

/// Delimiters that people's programs write, the surest first.
pub(crate) const DELIMITERS: [u8; 4] = [b'\t', b';', b'|', b','];

/// What a delimiter is called.
pub(crate) fn name(delimiter: u8) -> &'static str {
    match delimiter {
        b'\t' => "tab",
        b';' => "semicolon",
        b'|' => "pipe",
        _ => "comma",
    }
}

/// `sep=;` in the first line, as spreadsheet programs write it.
pub(crate) fn stated(text: &str) -> Option<u8> {
    let first = text.lines().next()?.trim();
    let sign = first
        .get(..4)
        .filter(|head| head.eq_ignore_ascii_case("sep="))
        .and_then(|_| first.get(4..))?;
    DELIMITERS
        .into_iter()
        .find(|&d| sign.as_bytes() == [d] || (d == b'\t' && sign == "\\t"))
}

/// The beginning of a text, cut at a line's end: enough to tell its habits.
pub(crate) fn sample(text: &str) -> &str {
    let mut end = text.len().min(64 * 1024);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let head = text.get(..end).unwrap_or(text);
    if end == text.len() {
        return head;
    }
    head.rfind(['\n', '\r'])
        .and_then(|at| head.get(..at))
        .unwrap_or(head)
}

/// How evenly a delimiter cuts the lines: the share of rows that have as many cells as most have, and that
/// number.
pub(crate) fn evenness(grid: &Grid) -> (f64, usize) {
    let mut counts = std::collections::BTreeMap::new();
    for row in 0..grid.len() {
        *counts.entry(grid.width(row)).or_insert(0_usize) += 1;
    }
    let Some((&width, &rows)) = counts.iter().max_by_key(|&(&width, &rows)| (rows, width)) else {
        return (0.0, 0);
    };
    (rows as f64 / grid.len() as f64, width)
}

/// Cuts a text. A quotation mark that is never closed would swallow the lines behind it: where the marks of a
/// row are odd in number, or a cell runs over more than ten lines, its lines are cut one by one, and those with an
/// odd mark take it as an ordinary character. The second value says that it was so.
pub(crate) fn parse(text: &str, delimiter: u8) -> Result<(Grid, bool), Error> {
    // A data logger writes no quotation marks, and then a line is a row.
    if !text.as_bytes().contains(&b'"') && !text.starts_with('\u{feff}') {
        return Ok((parse_unquoted(text, delimiter)?, false));
    }
    let mut grid = Grid::default();
    let mut lines = LineCounter::new(text);
    let mut unclosed = false;
    let mut failed = None;
    cut(text, delimiter, true, |range, cells| {
        let raw = text.get(range.clone()).unwrap_or("");
        let marks = raw.bytes().filter(|&b| b == b'"').count();
        if marks.is_multiple_of(2) && (marks == 0 || raw.trim().lines().count() <= 10) {
            let line = lines.line_at(range.start);
            return push_row(&mut grid, line, range, cells);
        }
        unclosed = true;
        let mut at = range.start;
        for part in raw.split_inclusive(['\n', '\r']) {
            let (start, end) = (at, at + part.len());
            at = end;
            if part.trim().is_empty() {
                continue;
            }
            let line = lines.line_at(start);
            let quoting = part.bytes().filter(|&b| b == b'"').count().is_multiple_of(2);
            let cut_line = cut(part, delimiter, quoting, |_, cells| {
                push_row(&mut grid, line, start..end, cells)
            });
            if let Err(error) = cut_line {
                failed = Some(error);
            }
        }
        Ok(())
    })?;
    failed.map_or(Ok((grid, unclosed)), Err)
}

/// Cuts a text without a quotation mark: every byte is looked at once.
fn parse_unquoted(text: &str, delimiter: u8) -> Result<Grid, Error> {
    let mut grid = Grid::with_room_for(text.len());
    let (mut line, mut start) = (1_u32, 0);
    let bytes = text.as_bytes();
    while start < bytes.len() {
        grid.begin_row(line, start, start).map_err(full)?;
        let (mut cell, mut cells) = (start, 0_usize);
        let mut at = start;
        let end = loop {
            let byte = bytes.get(at).copied();
            let is_end = matches!(byte, None | Some(b'\n' | b'\r'));
            if is_end || byte == Some(delimiter) {
                // Delimiters and ends of lines are whole characters: the cut is at a boundary.
                grid.push(Tag::Text, text.get(cell..at).unwrap_or(""))
                    .map_err(full)?;
                cells += 1;
                if cells > MOST_CELLS {
                    return Err(too_wide());
                }
                cell = at + 1;
            }
            if is_end {
                break at;
            }
            at += 1;
        };
        grid.end_row(end).map_err(full)?;
        grid.drop_blank_row();
        let is_pair = bytes.get(end..end + 2) == Some(b"\r\n");
        start = end + if is_pair { 2 } else { 1 };
        line = line.saturating_add(1);
    }
    Ok(grid)
}

/// More cells in one row are no log.
const MOST_CELLS: usize = 1_000_000;

fn full(_: Full) -> Error {
    Error::TooLarge {
        why: "more than 4 GiB of text",
    }
}

fn too_wide() -> Error {
    Error::TooLarge {
        why: "more than a million cells in one row",
    }
}

fn push_row(
    grid: &mut Grid,
    line: u32,
    range: std::ops::Range<usize>,
    cells: &csv::StringRecord,
) -> Result<(), Error> {
    if cells.len() > MOST_CELLS {
        return Err(too_wide());
    }
    grid.begin_row(line, range.start, range.end).map_err(full)?;
    for cell in cells {
        grid.push(Tag::Text, cell).map_err(full)?;
    }
    grid.drop_blank_row();
    Ok(())
}

/// Hands every row of a text to `row`, with the range of bytes that it fills.
fn cut(
    text: &str,
    delimiter: u8,
    quoting: bool,
    mut row: impl FnMut(std::ops::Range<usize>, &csv::StringRecord) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .quoting(quoting)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    loop {
        let from = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => return Ok(()),
            // The text is valid UTF-8 and rows may differ in width: nothing is left to go wrong but the reader.
            Err(_) => return Err(Error::Binary { at: from }),
        }
        let to = usize::try_from(reader.position().byte())
            .unwrap_or(usize::MAX)
            .min(text.len());
        let raw = text.get(from..to).unwrap_or("");
        // The reader skips blank lines before a record.
        let start = from + (raw.len() - raw.trim_start_matches(['\r', '\n']).len());
        row(start..to, &record)?;
    }
}

/// Counts line ends (`\n`, `\r\n`, lone `\r`) up to ever later places.
struct LineCounter<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u32,
}

impl<'a> LineCounter<'a> {
    fn new(text: &'a str) -> Self {
        Self {
            bytes: text.as_bytes(),
            at: 0,
            line: 1,
        }
    }

    fn line_at(&mut self, offset: usize) -> u32 {
        while self.at < offset {
            let next = self.bytes.get(self.at + 1).copied();
            match self.bytes.get(self.at) {
                Some(b'\n') => self.line = self.line.saturating_add(1),
                Some(b'\r') if next != Some(b'\n') => self.line = self.line.saturating_add(1),
                Some(_) => {}
                None => break,
            }
            self.at += 1;
        }
        self.line
    }
}
