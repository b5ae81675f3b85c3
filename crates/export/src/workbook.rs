//! A workbook with a sheet for each table.

use std::io::Write;

use jiff::Timestamp;
use jiff::civil::DateTime;
use ledger::State;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};

use crate::sheet::{Cell, Sheet};
use crate::{Error, Table};

/// Rows of a sheet, that of the headings among them.
const MOST_ROWS: usize = 1_048_576;
/// Characters of a cell.
const MOST_CHARACTERS: usize = 32_767;
/// What ends a text that is longer.
const CUT: &str = " [cut off here; whole in the CSV]";

/// Writes the tables of these units as a workbook (XLSX). `now` is the time that it says it was made at.
///
/// Local times are date cells; times in UTC are texts, since a workbook knows no zones.
///
/// # Errors
/// [`Error::TooManyRows`]; what the writer says.
pub fn workbook(state: &State, units: &[&str], now: Timestamp, out: &mut dyn Write) -> Result<(), Error> {
    let mut book = Workbook::new();
    let made = jiff::tz::TimeZone::UTC.to_datetime(now);
    if let Some(made) = date_cell(made)? {
        book.set_properties(
            &DocProperties::new()
                .set_title("Saltmark")
                .set_creation_datetime(&made),
        );
    }
    let formats = Formats {
        heading: Format::new().set_bold().set_text_wrap(),
        time: Format::new().set_num_format("yyyy-mm-dd hh:mm:ss"),
    };
    for table in Table::ALL {
        let sheet = table.of(state, units);
        let rows = sheet.rows.len() + 1;
        if rows > MOST_ROWS {
            return Err(Error::TooManyRows {
                sheet: sheet.name,
                rows,
                most: MOST_ROWS,
            });
        }
        write_sheet(book.add_worksheet(), &sheet, &formats)?;
    }
    out.write_all(&book.save_to_buffer()?)?;
    Ok(())
}

struct Formats {
    heading: Format,
    time: Format,
}

fn write_sheet(page: &mut Worksheet, sheet: &Sheet, formats: &Formats) -> Result<(), XlsxError> {
    page.set_name(sheet.name)?;
    page.set_freeze_panes(1, 0)?;
    for (heading, column) in sheet.headings.iter().zip(0_u16..) {
        page.set_column_width(column, 18)?;
        page.write_string_with_format(0, column, heading, &formats.heading)?;
    }
    for (row, line) in sheet.rows.iter().zip(1_u32..) {
        for (cell, column) in row.iter().zip(0_u16..) {
            write_cell(page, (line, column), cell, formats)?;
        }
    }
    Ok(())
}

fn write_cell(
    page: &mut Worksheet,
    (row, column): (u32, u16),
    cell: &Cell,
    formats: &Formats,
) -> Result<(), XlsxError> {
    match cell {
        Cell::Empty => {}
        Cell::Number(number) => {
            page.write_number(row, column, *number)?;
        }
        Cell::Local(local) => match date_cell(*local)? {
            Some(date) => {
                page.write_datetime_with_format(row, column, &date, &formats.time)?;
            }
            None => {
                page.write_string(row, column, cell.text())?;
            }
        },
        Cell::Text(_) | Cell::At(_) => {
            page.write_string(row, column, fitting(cell.text()))?;
        }
    }
    Ok(())
}

/// A workbook's date cells begin with 1900.
fn date_cell(at: DateTime) -> Result<Option<ExcelDateTime>, XlsxError> {
    let (Ok(year), Ok(month), Ok(day)) = (
        u16::try_from(at.year()),
        u8::try_from(at.month()),
        u8::try_from(at.day()),
    ) else {
        return Ok(None);
    };
    if year < 1900 {
        return Ok(None);
    }
    let part = |part: i8| u8::try_from(part).unwrap_or_default();
    let hour = u16::from(part(at.hour()));
    let seconds = f64::from(at.second()) + f64::from(at.millisecond()) / 1000.0;
    let date = ExcelDateTime::from_ymd(year, month, day)?.and_hms(hour, part(at.minute()), seconds)?;
    Ok(Some(date))
}

/// The text, or as much of it as fits into a cell, with a word that it is cut off.
fn fitting(text: String) -> String {
    if text.chars().map(char::len_utf16).sum::<usize>() <= MOST_CHARACTERS {
        return text;
    }
    let mut left = MOST_CHARACTERS - CUT.len();
    let kept = text.chars().take_while(|c| {
        let fits = c.len_utf16() <= left;
        left = left.saturating_sub(c.len_utf16());
        fits
    });
    kept.chain(CUT.chars()).collect()
}
