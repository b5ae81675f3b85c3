//! Records as files for other programs: CSV tables, a workbook, and the log itself as JSON lines.
//!
//! The tables are for people and their spreadsheets: today's state, corrections applied, every number in its
//! base unit with the unit in the heading. The JSON lines are the log as it is: whoever reads them in again
//! has the same ledger.
//!
//! Architecture invariant: a state in, bytes out. Nothing here opens a file or asks the time.
#![deny(clippy::disallowed_methods)]

mod lines;
mod sheet;
mod tables;
mod workbook;

use std::io::Write;

use ledger::State;

pub use lines::{LineFault, json_lines, read_json_lines};
pub use sheet::Cell;
pub use tables::Table;
pub use workbook::workbook;

/// What could not be written.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The place it was written to gave up.
    #[error("the export could not be written")]
    Write(#[from] std::io::Error),
    /// More rows than a workbook holds.
    #[error("{rows} rows do not fit into a sheet of a workbook, which holds {most}; export {sheet} as CSV")]
    TooManyRows {
        /// The sheet.
        sheet: &'static str,
        /// Its rows.
        rows: usize,
        /// The rows that fit.
        most: usize,
    },
    /// Anything else that the workbook's writer says.
    #[error("the workbook could not be made")]
    Workbook(#[from] rust_xlsxwriter::XlsxError),
}

/// Writes a table of these units as CSV (RFC 4180: commas, a line of headings, CR LF), in UTF-8.
///
/// Texts are written as they stand, also those that a spreadsheet would take for a formula.
///
/// # Errors
/// [`Error::Write`].
pub fn csv(state: &State, units: &[&str], table: Table, out: &mut dyn Write) -> Result<(), Error> {
    let sheet = table.of(state, units);
    let mut writer = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .from_writer(out);
    writer.write_record(&sheet.headings).map_err(into_io)?;
    for row in &sheet.rows {
        writer.write_record(row.iter().map(Cell::text)).map_err(into_io)?;
    }
    writer.flush()?;
    Ok(())
}

fn into_io(error: ::csv::Error) -> std::io::Error {
    match error.into_kind() {
        ::csv::ErrorKind::Io(error) => error,
        other => std::io::Error::other(format!("{other:?}")),
    }
}
