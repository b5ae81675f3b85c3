//! A reading log becomes entries: planned here, carried out by a store.
//!
//! A row is known again by its cells, as they stand: its entry's id is a hash of the unit, the cells, and how
//! many equal rows stand above it. So the same file read in twice, or on two devices, or grown by new rows,
//! adds each row once; and a row that is read better than last time (another order of day and month, a
//! program that understands more) becomes a correction of the entry that it gave before, unless someone has
//! corrected that by hand. Rows that were written in another form are known again by their time and values.

mod from_log;
mod known;
mod planner;
mod rows;

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::Timestamp;
use reading::{Event, Reading};
use serde_json::Value;

use crate::payload::RowCounts;
use crate::{ContentHash, Entry, Error, EventId, State};

pub use from_log::{log_file, log_file_by};
pub use planner::Planner;

/// A reading log as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct LogFile {
    /// File name.
    pub name: String,
    /// Hash of its bytes.
    pub hash: ContentHash,
    /// How many bytes.
    pub size: u64,
    /// How it was read: columns, units, what was assumed.
    pub habit: Value,
    /// Its rows below the headings, in the order of the file.
    pub rows: Vec<LogRow>,
}

/// One row of a reading log.
#[derive(Clone, Debug, PartialEq)]
pub struct LogRow {
    /// Line of the file (row of the sheet), counted from 1.
    pub line: u32,
    /// What the row is known again by: the hash of all its cells as they stand ([`ContentHash::of_parts`]).
    pub hash: ContentHash,
    /// The reading in it, if there is one.
    pub reading: Option<Reading>,
    /// What was written, by field name, where it was not a plain number in the base unit.
    pub as_written: BTreeMap<String, String>,
    /// What its remark says was done.
    pub events: Vec<Event>,
    /// The row itself, where it gave neither reading nor event.
    pub set_aside: Option<Unread>,
}

/// A row that could not be read.
#[derive(Clone, Debug, PartialEq)]
pub struct Unread {
    /// Its cells, as they stand.
    pub cells: Vec<String>,
    /// Why.
    pub reason: String,
}

/// Who reads a log in.
#[derive(Clone, Debug, PartialEq)]
pub struct Writer {
    /// When.
    pub now: Timestamp,
    /// Who.
    pub by: Arc<str>,
    /// On which device.
    pub device: Arc<str>,
}

/// What an import would do. Nothing is done until its entries are appended.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ImportPlan {
    /// The entries to append, the import itself last; empty where nothing is new.
    pub entries: Vec<Entry>,
    /// What to tell before it is done.
    pub preview: Preview,
}

/// What an import would do, for a person to look at. Lines are the file's, counted from 1.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Preview {
    /// New entries.
    pub new: RowCounts,
    /// Rows set aside, with the reason, whether they are new or were there.
    pub set_aside: Vec<(u32, String)>,
    /// How many readings, events and rows set aside were read in before.
    pub already_there: usize,
    /// Lines that say what the ledger has from elsewhere: not added.
    pub same_as: Vec<(u32, EventId)>,
    /// Lines that repeat a line above them: not added.
    pub repeated: Vec<u32>,
    /// Lines that were read in before and are read differently now: a correction is added.
    pub read_again: Vec<(u32, EventId)>,
    /// Lines that were read in before and were corrected by hand since: left as corrected.
    pub left_as_corrected: Vec<(u32, EventId)>,
    /// Lines with the time of a reading of the ledger and other values: added, both stay.
    pub differs_from: Vec<(u32, EventId)>,
    /// The time of the first and of the last reading or event of the file.
    pub span: Option<(Timestamp, Timestamp)>,
}

/// Plans the import of a reading log of a unit. For logs of many thousand rows [`Planner`] gives the entries
/// one by one, so that they need not be held all at once.
///
/// `ids` gives ids that nothing else has; one is taken, for the import itself. The rest are of the rows.
///
/// # Errors
/// [`Error::NoId`] where `ids` is empty.
pub fn plan_import(
    state: &State,
    unit: &str,
    file: &LogFile,
    ids: &mut impl Iterator<Item = EventId>,
    writer: &Writer,
) -> Result<ImportPlan, Error> {
    let import = ids.next().ok_or(Error::NoId)?;
    let mut planner = Planner::new(state, unit, file, import, writer);
    let entries = planner.by_ref().collect();
    Ok(ImportPlan {
        entries,
        preview: planner.into_preview(),
    })
}
