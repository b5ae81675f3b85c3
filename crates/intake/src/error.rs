//! Why a log could not be read at all.

/// Why nothing could be read. What is wrong with single rows and cells is no error: it stands in
/// [`crate::Log::set_aside`] and [`crate::Log::cell_notes`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// No bytes, or only space.
    #[error("the log is empty")]
    Empty,
    /// A picture, a document, an archive.
    #[error("this is {what}, not a table; accepted are CSV, TSV and other delimited text, XLSX, XLS and ODS")]
    NotATable {
        /// What it is.
        what: &'static str,
    },
    /// Bytes that are no text and nothing known.
    #[error(
        "these bytes are no text (first at byte {at}) and no workbook; accepted are CSV, TSV and other delimited text, XLSX, XLS and ODS"
    )]
    Binary {
        /// Where the first byte stands that no text has.
        at: usize,
    },
    /// A workbook that is damaged or protected.
    #[error("the workbook cannot be opened: {why}")]
    Workbook {
        /// What the reader says.
        why: String,
    },
    /// No sheet of that name.
    #[error("the workbook has no sheet `{wanted}`; it has {}", found.join(", "))]
    NoSheet {
        /// What was asked for.
        wanted: String,
        /// What there is.
        found: Vec<String>,
    },
    /// More than 4 GiB of text, or more than a million cells in one row.
    #[error("the log is too large: {why}")]
    TooLarge {
        /// What is too large.
        why: &'static str,
    },
    /// No row names anything that is read at a unit.
    #[error(
        "no heading is recognised; the fullest line ({line}) reads: {}. Name the columns in a mapping file: {}",
        found.join(" | "), mapping
    )]
    NoHeadings {
        /// The line that looks most like headings.
        line: u32,
        /// What stands in it.
        found: Vec<String>,
        /// The beginning of a mapping file.
        mapping: String,
    },
    /// Not even a row of words.
    #[error("there are no headings: the table begins with `{first}`. Write a line of headings above it")]
    NoHeadingRow {
        /// The first row.
        first: String,
    },
    /// Headings, but none for the date.
    #[error(
        "no column of dates among the headings in line {line}: {}. Name it in a mapping file: {}",
        found.join(" | "), mapping
    )]
    NoDate {
        /// The line of the headings.
        line: u32,
        /// The headings.
        found: Vec<String>,
        /// The beginning of a mapping file.
        mapping: String,
    },
    /// Two columns that cannot both be right.
    #[error(
        "line {line}: the columns `{first}` and `{second}` both read as {field}. Say which one is, in a mapping file: {mapping}"
    )]
    TwoColumns {
        /// The line of the headings.
        line: u32,
        /// The first heading.
        first: String,
        /// The second.
        second: String,
        /// What both seem to be.
        field: String,
        /// The beginning of a mapping file.
        mapping: String,
    },
    /// A table without a single row that could be read.
    #[error(
        "the headings are in line {line}, but no row below them could be read; the first: line {first_line}: {reason}"
    )]
    NoRows {
        /// The line of the headings.
        line: u32,
        /// The first row that was set aside.
        first_line: u32,
        /// Why.
        reason: String,
    },
    /// Headings and nothing below.
    #[error("the headings are in line {line}, and there is nothing below them")]
    OnlyHeadings {
        /// The line of the headings.
        line: u32,
    },
    /// A mapping file that cannot be followed.
    #[error("mapping: {0}")]
    Mapping(#[from] crate::MappingError),
}
