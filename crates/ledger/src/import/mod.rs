//! A reading log becomes entries: planned here, carried out by a store.
//!
//! A row is known again by its cells, as they stand: its entry's id is a hash of the unit, the cells, and how
//! many equal rows stand above it. So the same file read in twice, or on two devices, or grown by new rows,
//! adds each row once; and a row that is read better than last time (another order of day and month, a
//! program that understands more) becomes a correction of the entry that it gave before, unless someone has
//! corrected that by hand. Rows that were written in another form are known again by their time and values.

mod known;

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use jiff::Timestamp;
use reading::{Event, Reading};
use serde_json::Value;

use crate::entry::to_microsecond;
use crate::payload::{
    Correction, ImportBatch, PartEvent, Payload, ReadingTaken, Replacement, RowCounts, RowSetAside, Source,
    event_document,
};
use crate::{ContentHash, Entry, Error, EventId, State};

use known::Known;

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
    /// The cells, as they stand.
    pub cells: Vec<String>,
    /// The reading in it, if there is one.
    pub reading: Option<Reading>,
    /// What was written, by field name, where it was not a plain number in the base unit.
    pub as_written: BTreeMap<String, String>,
    /// What its remark says was done.
    pub events: Vec<Event>,
    /// Why it could not be read, where it gave neither reading nor event.
    pub set_aside: Option<String>,
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
    /// The entries to append, the import itself first; empty where nothing is new.
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

/// One entry that a row gives.
struct Item {
    line: u32,
    id: EventId,
    at: Timestamp,
    payload: Payload,
}

/// Plans the import of a reading log of a unit.
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
    let known = Known::of(state, unit);
    let mut plan = Planning {
        known,
        preview: Preview::default(),
        entries: Vec::new(),
        writer,
    };
    let times = row_times(file, writer.now);
    let mut above: HashMap<&[String], u64> = HashMap::with_capacity(file.rows.len());
    let mut seen = BTreeSet::new();
    for (row, row_at) in file.rows.iter().zip(times) {
        let occurrence = above.entry(&row.cells).or_default();
        let key = RowKey {
            unit,
            row,
            occurrence: *occurrence,
        };
        *occurrence += 1;
        for item in items(&key, row_at, import) {
            if repeats(&item, &mut seen) {
                plan.preview.repeated.push(item.line);
            } else {
                plan.take(item);
            }
        }
    }
    let Planning {
        preview, mut entries, ..
    } = plan;
    if !entries.is_empty() {
        let batch = ImportBatch {
            unit: unit.to_owned(),
            file_hash: file.hash,
            file_name: file.name.clone(),
            size: file.size,
            habit: file.habit.clone(),
            rows: preview.new,
        };
        entries.insert(0, entry(import, writer.now, writer, &Payload::Import(batch)));
    }
    Ok(ImportPlan { entries, preview })
}

fn entry(id: EventId, at: Timestamp, writer: &Writer, payload: &Payload) -> Entry {
    Entry::new(
        id,
        at,
        writer.now,
        Arc::clone(&writer.by),
        Arc::clone(&writer.device),
        payload,
    )
}

/// A time for each row: its own, else that of the row above, else of the first below that has one.
fn row_times(file: &LogFile, now: Timestamp) -> Vec<Timestamp> {
    let own = |row: &LogRow| {
        let event = || row.events.first().map(|event| event.at);
        row.reading
            .as_ref()
            .map(|reading| reading.at)
            .or_else(event)
            .map(to_microsecond)
    };
    let mut last = file
        .rows
        .iter()
        .find_map(own)
        .unwrap_or_else(|| to_microsecond(now));
    let time = |row| {
        last = own(row).unwrap_or(last);
        last
    };
    file.rows.iter().map(time).collect()
}

/// What a row is known by.
struct RowKey<'a> {
    unit: &'a str,
    row: &'a LogRow,
    occurrence: u64,
}

impl RowKey<'_> {
    /// The id of the n-th entry of the row.
    fn id(&self, n: u64, at: Timestamp) -> EventId {
        let numbers = [self.occurrence.to_be_bytes(), n.to_be_bytes()];
        let mut parts: Vec<&[u8]> = vec![b"row of a reading log", self.unit.as_bytes()];
        parts.extend(numbers.iter().map(<[u8; 8]>::as_slice));
        parts.extend(self.row.cells.iter().map(String::as_bytes));
        EventId::of_content(at, &parts)
    }
}

/// The entries of a row: the reading first, then what was done; where there is neither, the row itself.
fn items<'a>(key: &'a RowKey<'a>, row_at: Timestamp, import: EventId) -> impl Iterator<Item = Item> + 'a {
    let row = key.row;
    let from = Some(Source {
        import,
        line: row.line,
    });
    let unit = key.unit;
    let reading = row.reading.iter().map(move |reading| {
        let mut reading = reading.clone();
        let at = to_microsecond(reading.at);
        (reading.at, reading.line) = (Timestamp::UNIX_EPOCH, None);
        let as_written = row.as_written.clone();
        (
            at,
            Payload::Reading(Box::new(ReadingTaken {
                unit: unit.to_owned(),
                reading,
                as_written,
                from,
            })),
        )
    });
    let events = row.events.iter().map(move |event| {
        let document = event_document(event);
        (
            to_microsecond(event.at),
            Payload::Event(PartEvent {
                unit: unit.to_owned(),
                document,
                from,
            }),
        )
    });
    let empty = row.reading.is_none() && row.events.is_empty();
    let reason = row
        .set_aside
        .clone()
        .or_else(|| Some("nothing in it could be read".to_owned()));
    let kept = reason.filter(|_| empty).map(move |reason| {
        let kept = RowSetAside {
            unit: unit.to_owned(),
            cells: row.cells.clone(),
            reason,
            from,
        };
        (row_at, Payload::SetAside(kept))
    });
    let all = reading.chain(events).chain(kept);
    all.zip(0..).map(|((at, payload), n)| Item {
        line: row.line,
        id: key.id(n, at),
        at,
        payload,
    })
}

struct Planning<'a> {
    known: Known<'a>,
    preview: Preview,
    entries: Vec<Entry>,
    writer: &'a Writer,
}

/// Whether a line above said the same; a row that could not be read repeats nothing.
fn repeats(item: &Item, seen: &mut BTreeSet<(Timestamp, ContentHash)>) -> bool {
    let content = match &item.payload {
        Payload::SetAside(_) => return false,
        payload => known::content(payload),
    };
    !seen.insert((item.at, ContentHash::of(content.encode().json().as_bytes())))
}

impl Planning<'_> {
    fn take(&mut self, item: Item) {
        let Item { line, at, .. } = item;
        if let Payload::SetAside(row) = &item.payload {
            self.preview.set_aside.push((line, row.reason.clone()));
        } else {
            let (first, last) = self.preview.span.unwrap_or((at, at));
            self.preview.span = Some((first.min(at), last.max(at)));
        }
        if let Some(before) = self.known.row(item.id) {
            self.again(item, before);
            return;
        }
        match self.known.elsewhere(at, &item.payload) {
            known::Elsewhere::Same(id) => {
                self.preview.same_as.push((line, id));
                return;
            }
            known::Elsewhere::Differs(id) => self.preview.differs_from.push((line, id)),
            known::Elsewhere::Nothing => {}
        }
        let count = match &item.payload {
            Payload::Reading(_) => &mut self.preview.new.readings,
            Payload::SetAside(_) => &mut self.preview.new.set_aside,
            _ => &mut self.preview.new.events,
        };
        *count += 1;
        self.entries.push(entry(item.id, at, self.writer, &item.payload));
    }

    /// A row that was read in before.
    fn again(&mut self, item: Item, before: EventId) {
        let Item {
            line, at, payload, ..
        } = item;
        if self.known.says(before, at, &payload) {
            self.preview.already_there += 1;
            return;
        }
        if self.known.is_corrected(before) {
            self.preview.left_as_corrected.push((line, before));
            return;
        }
        // Read worse than before: what was read stands.
        if matches!(payload, Payload::SetAside(_)) {
            self.preview.already_there += 1;
            return;
        }
        self.preview.read_again.push((line, before));
        let replacement = Replacement {
            happened_at: Some(at),
            payload: payload.encode(),
        };
        let content = known::content(&payload).encode();
        let parts: [&[u8]; 3] = [b"row read again", before.as_bytes(), content.json().as_bytes()];
        let id = EventId::of_content(at, &parts);
        let reason = "the log was read in again".to_owned();
        let correction = Correction {
            corrects: before,
            replacement: Some(replacement),
            reason,
        };
        self.entries
            .push(entry(id, at, self.writer, &Payload::Correction(correction)));
    }
}
