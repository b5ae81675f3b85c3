//! Workbooks to grids: one per sheet.

use std::io::Cursor;

use calamine::{Data, DataRef, Dimensions, ExcelDateTime, Ods, Reader, Xls, Xlsb, Xlsx};

use crate::Error;
use crate::grid::{Full, Grid, Tag};

/// Columns beyond this are not looked at: no log has them, and a stray cell must not cost memory.
const MAX_COLUMNS: u32 = 512;
/// Cells that one merged region may fill.
const MAX_MERGED: u32 = 10_000;

/// One sheet that is not empty.
pub(crate) struct Sheet {
    pub(crate) name: String,
    pub(crate) grid: Grid,
}

/// A cell at its place.
struct Placed {
    row: u32,
    column: u32,
    tag: Tag,
    text: String,
}

/// Reads all sheets that hold anything.
pub(crate) fn parse(bytes: &[u8]) -> Result<Vec<Sheet>, Error> {
    // The workbook reader is a library that is fed whatever people send: should it panic on a damaged file,
    // that is a workbook that cannot be opened and not the end of the program.
    std::panic::catch_unwind(|| open(bytes)).unwrap_or_else(|_| {
        Err(Error::Workbook {
            why: "it is damaged".to_owned(),
        })
    })
}

fn open(bytes: &[u8]) -> Result<Vec<Sheet>, Error> {
    if bytes.starts_with(b"\xd0\xcf") {
        return match Xls::new(Cursor::new(bytes)) {
            Ok(mut book) => {
                let merged: Vec<_> = book
                    .sheet_names()
                    .iter()
                    .map(|name| book.merge_cells_by_sheet_name(name).unwrap_or_default())
                    .collect();
                dense(&mut book, &merged)
            }
            Err(error) => Err(failed(&error)),
        };
    }
    match Xlsx::new(Cursor::new(bytes)) {
        Ok(book) => xlsx(book),
        Err(first) => {
            if let Ok(mut book) = Ods::new(Cursor::new(bytes)) {
                return dense(&mut book, &[]);
            }
            if let Ok(mut book) = Xlsb::new(Cursor::new(bytes)) {
                return dense(&mut book, &[]);
            }
            Err(failed(&first))
        }
    }
}

fn failed(error: &impl std::fmt::Display) -> Error {
    Error::Workbook {
        why: error.to_string(),
    }
}

/// XLSX is streamed cell by cell: a stray cell in the last corner of a sheet costs nothing.
fn xlsx(mut book: Xlsx<Cursor<&[u8]>>) -> Result<Vec<Sheet>, Error> {
    let mut sheets = Vec::new();
    for name in book.sheet_names() {
        let merged = book.merge_cells_by_sheet_name(&name).unwrap_or_default();
        let mut cells = Vec::new();
        // A chart sheet has no cells to read.
        let Ok(mut reader) = book.worksheet_cells_reader(&name) else {
            continue;
        };
        while let Some(cell) = reader.next_cell_with_formula().map_err(|error| failed(&error))? {
            let (row, column) = cell.pos;
            if column >= MAX_COLUMNS {
                continue;
            }
            let (tag, text) = match cell.value {
                DataRef::SharedString(text) => (Tag::Text, text.to_owned()),
                DataRef::String(text) => (Tag::Text, text),
                value => of_data(&Data::from(value)),
            };
            if !text.is_empty() {
                cells.push(Placed {
                    row,
                    column,
                    tag,
                    text,
                });
            } else if cell.formula.is_some_and(|formula| !formula.is_empty()) {
                cells.push(Placed {
                    row,
                    column,
                    tag: Tag::Formula,
                    text: "formula".to_owned(),
                });
            }
        }
        push_sheet(&mut sheets, name, cells, &merged)?;
    }
    Ok(sheets)
}

/// The other formats come as whole ranges.
fn dense<'a, B>(book: &mut B, merged: &[Vec<Dimensions>]) -> Result<Vec<Sheet>, Error>
where
    B: Reader<Cursor<&'a [u8]>>,
    B::Error: std::fmt::Display,
{
    let mut sheets = Vec::new();
    for (index, name) in book.sheet_names().into_iter().enumerate() {
        let Ok(range) = book.worksheet_range(&name) else {
            continue;
        };
        let (top, left) = range.start().unwrap_or((0, 0));
        let mut cells = Vec::new();
        for (row, column, value) in range.used_cells() {
            let place = |offset: u32, n: usize| offset.saturating_add(u32::try_from(n).unwrap_or(u32::MAX));
            let (row, column) = (place(top, row), place(left, column));
            let (tag, text) = of_data(value);
            if column < MAX_COLUMNS && !text.is_empty() {
                cells.push(Placed {
                    row,
                    column,
                    tag,
                    text,
                });
            }
        }
        push_sheet(
            &mut sheets,
            name,
            cells,
            merged.get(index).map_or(&[], Vec::as_slice),
        )?;
    }
    Ok(sheets)
}

fn push_sheet(
    sheets: &mut Vec<Sheet>,
    name: String,
    mut cells: Vec<Placed>,
    merged: &[Dimensions],
) -> Result<(), Error> {
    fill_merged(&mut cells, merged);
    cells.sort_by_key(|cell| (cell.row, cell.column));
    let full = |Full| Error::TooLarge {
        why: "more than 4 GiB of text",
    };
    let mut grid = Grid::default();
    let mut current = None;
    let mut next_column = 0;
    for cell in &cells {
        if current != Some(cell.row) {
            grid.drop_blank_row();
            grid.begin_row(cell.row.saturating_add(1), 0, 0).map_err(full)?;
            current = Some(cell.row);
            next_column = 0;
        }
        while next_column < cell.column {
            grid.push(Tag::Text, "").map_err(full)?;
            next_column += 1;
        }
        if next_column == cell.column {
            grid.push(cell.tag, &cell.text).map_err(full)?;
            next_column += 1;
        }
    }
    grid.drop_blank_row();
    if grid.len() > 0 {
        sheets.push(Sheet { name, grid });
    }
    Ok(())
}

/// Repeats what stands in a merged cell: down its first column as the same value (one date for several rows),
/// across as a heading only.
fn fill_merged(cells: &mut Vec<Placed>, merged: &[Dimensions]) {
    if merged.is_empty() {
        return;
    }
    let last_row = cells.iter().map(|cell| cell.row).max().unwrap_or(0);
    let at: std::collections::BTreeMap<(u32, u32), usize> = cells
        .iter()
        .enumerate()
        .map(|(index, cell)| ((cell.row, cell.column), index))
        .collect();
    let mut budget = 1_000_000_u32;
    let mut added = Vec::new();
    for region in merged {
        let (top, left) = region.start;
        let (bottom, right) = (region.end.0.min(last_row), region.end.1.min(MAX_COLUMNS - 1));
        let Some(origin) = at.get(&(top, left)).and_then(|&index| cells.get(index)) else {
            continue;
        };
        let area = bottom
            .saturating_sub(top)
            .saturating_add(1)
            .saturating_mul(right.saturating_sub(left).saturating_add(1));
        if area > MAX_MERGED || area > budget {
            continue;
        }
        budget -= area;
        for row in top..=bottom {
            for column in left..=right {
                if (row, column) == (top, left) || at.contains_key(&(row, column)) {
                    continue;
                }
                let tag = if column == left { origin.tag } else { Tag::Across };
                added.push(Placed {
                    row,
                    column,
                    tag,
                    text: origin.text.clone(),
                });
            }
        }
    }
    cells.extend(added);
}

fn of_data(value: &Data) -> (Tag, String) {
    match value {
        Data::Empty => (Tag::Text, String::new()),
        Data::String(text) => (Tag::Text, text.clone()),
        Data::Int(number) => (Tag::Number, number.to_string()),
        Data::Float(number) => (Tag::Number, number.to_string()),
        Data::Bool(value) => (Tag::Text, value.to_string()),
        Data::DateTime(at) => of_date_time(*at),
        Data::DateTimeIso(text) => (
            if text.contains('-') {
                Tag::DateTime
            } else {
                Tag::Clock
            },
            text.clone(),
        ),
        Data::DurationIso(text) => of_duration(text),
        Data::Error(error) => (Tag::Text, error.to_string()),
    }
}

fn of_date_time(at: ExcelDateTime) -> (Tag, String) {
    let (year, month, day, hour, minute, second, milli) = at.to_ymd_hms_milli();
    // A serial below 1 has no date: a time of day, or a duration.
    if at.as_f64() < 1.0 || at.is_duration() {
        let whole_days = if at.as_f64() < 1.0 {
            0.0
        } else {
            at.as_f64().trunc().min(1e6)
        };
        let hours = whole_days * 24.0 + f64::from(hour);
        return (Tag::Clock, format!("{hours:02}:{minute:02}:{second:02}"));
    }
    // Serials carry rounding errors (09:29:59.9995 is half past nine): the milliseconds are kept for rounding.
    (
        Tag::DateTime,
        format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}.{milli:03}"),
    )
}

/// `PT09H30M00S`, as open-document sheets hold a time of day.
fn of_duration(text: &str) -> (Tag, String) {
    let mut rest = text.strip_prefix("PT").unwrap_or("");
    let mut parts = [0_u32; 3];
    for (part, sign) in parts.iter_mut().zip(['H', 'M', 'S']) {
        if let Some((number, after)) = rest.split_once(sign) {
            let whole = number.split(['.', ',']).next().unwrap_or("");
            let Ok(value) = whole.parse() else {
                return (Tag::Text, text.to_owned());
            };
            *part = value;
            rest = after;
        }
    }
    let [hours, minutes, seconds] = parts;
    if text.starts_with("PT") {
        (Tag::Clock, format!("{hours:02}:{minutes:02}:{seconds:02}"))
    } else {
        (Tag::Text, text.to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_of_open_document_sheets() {
        assert_eq!(of_duration("PT09H30M00S"), (Tag::Clock, "09:30:00".to_owned()));
        assert_eq!(of_duration("PT1M11.5S"), (Tag::Clock, "00:01:11".to_owned()));
        assert_eq!(of_duration("P1D"), (Tag::Text, "P1D".to_owned()));
        assert_eq!(of_duration("PTxHyM"), (Tag::Text, "PTxHyM".to_owned()));
    }
}
