//! The plan, row by row.

use std::collections::{HashMap, HashSet, VecDeque};
use std::hash::Hash;
use std::sync::Arc;

use jiff::Timestamp;

use super::known::{Elsewhere, Known};
use super::rows::{Item, RowHash, Says, first_time, items, own_time};
use super::{LogFile, LogRow, Preview, Writer};
use crate::entry::to_microsecond;
use crate::payload::{Correction, ImportBatch, Payload, Replacement};
use crate::{ContentHash, Encoded, Entry, EventId, State, Subject};

/// Gives the entries of an import one by one: those of the rows in the order of the file, and the import
/// itself last. Where nothing is new it gives none.
#[derive(Debug)]
pub struct Planner<'a> {
    unit: &'a str,
    subject: Subject,
    file: &'a LogFile,
    import: EventId,
    writer: &'a Writer,
    known: Known<'a>,
    next_row: usize,
    /// The time of a row without one: that of the row above, for the first ones that of the first below.
    row_at: Timestamp,
    /// How many rows of this hash there were, of those that stand in the file more than once.
    above: HashMap<u64, u64>,
    /// What the rows above said, of those times that are in the file more than once.
    said: HashMap<i64, HashSet<ContentHash>>,
    ready: VecDeque<Entry>,
    planned: u64,
    ended: bool,
    preview: Preview,
}

impl<'a> Planner<'a> {
    /// The import of a reading log of a unit. `import` is an id that nothing else has.
    pub fn new(
        state: &'a State,
        unit: &'a str,
        file: &'a LogFile,
        import: EventId,
        writer: &'a Writer,
    ) -> Self {
        Self {
            unit,
            subject: Subject::unit(unit),
            file,
            import,
            writer,
            known: Known::of(state, unit),
            next_row: 0,
            row_at: first_time(file).unwrap_or_else(|| to_microsecond(writer.now)),
            above: repeated(file.rows.iter().map(short_hash)),
            said: repeated(file.rows.iter().flat_map(times)),
            ready: VecDeque::new(),
            planned: 0,
            ended: false,
            preview: Preview::default(),
        }
    }

    /// What the entries given so far do; the whole import once all were given.
    pub fn preview(&self) -> &Preview {
        &self.preview
    }

    /// What the import does, once all entries were given.
    pub fn into_preview(self) -> Preview {
        self.preview
    }

    fn entry(&self, id: EventId, at: Timestamp, payload: Encoded) -> Entry {
        Entry {
            id,
            happened_at: at,
            written_at: to_microsecond(self.writer.now),
            by: Arc::clone(&self.writer.by),
            device: Arc::clone(&self.writer.device),
            payload,
        }
    }

    fn plan_row(&mut self, row: &'a LogRow) {
        self.row_at = own_time(row).unwrap_or(self.row_at);
        let hash = RowHash::of(self.unit, row);
        let above = self.above.get_mut(&short_hash(row)).map_or(0, |count| {
            *count += 1;
            *count - 1
        });
        for (item, n) in items(self.unit, row, self.row_at).zip(0..) {
            self.plan_item(hash.id(above, n, item.at), &item);
        }
    }

    fn plan_item(&mut self, id: EventId, item: &Item<'a>) {
        let (line, at) = (item.row.line, item.at);
        if let Says::Nothing(unread) = item.says {
            self.preview.set_aside.push((line, unread.reason.clone()));
        } else {
            // A row that says what a row above said adds nothing.
            let said = self.said.get_mut(&at.as_microsecond());
            if said.is_some_and(|said| !said.insert(ContentHash::of(item.content.as_bytes()))) {
                self.preview.repeated.push(line);
                return;
            }
            let (first, last) = self.preview.span.unwrap_or((at, at));
            self.preview.span = Some((first.min(at), last.max(at)));
        }
        if let Some(before) = self.known.row(id) {
            self.plan_again(before, item);
            return;
        }
        match self.known.elsewhere(item) {
            Elsewhere::Same(id) => {
                self.preview.same_as.push((line, id));
                return;
            }
            Elsewhere::Differs(id) => self.preview.differs_from.push((line, id)),
            Elsewhere::Nothing => {}
        }
        let count = match item.says {
            Says::Reading(_) => &mut self.preview.new.readings,
            Says::Event(_) => &mut self.preview.new.events,
            Says::Nothing(_) => &mut self.preview.new.set_aside,
        };
        *count += 1;
        let payload = item.payload(&self.subject, self.import);
        self.ready.push_back(self.entry(id, at, payload));
    }

    /// A row that was read in before.
    fn plan_again(&mut self, before: EventId, item: &Item<'_>) {
        let line = item.row.line;
        if self.known.says(before, item) {
            self.preview.already_there += 1;
        } else if self.known.is_corrected(before) {
            self.preview.left_as_corrected.push((line, before));
        } else if matches!(item.says, Says::Nothing(_)) {
            // Read worse than before: what was read stands.
            self.preview.already_there += 1;
        } else {
            self.preview.read_again.push((line, before));
            let payload = item.payload(&self.subject, self.import);
            let replacement = Some(Replacement {
                happened_at: Some(item.at),
                payload,
            });
            let reason = "the log was read in again".to_owned();
            let correction = Payload::Correction(Correction {
                corrects: before,
                replacement,
                reason,
            });
            let parts: [&[u8]; 3] = [b"row read again", before.as_bytes(), item.content.as_bytes()];
            let id = EventId::of_content(item.at, parts);
            self.ready.push_back(self.entry(id, item.at, correction.encode()));
        }
    }

    /// The import itself.
    fn batch(&self) -> Entry {
        let batch = ImportBatch {
            unit: self.unit.to_owned(),
            file_hash: self.file.hash,
            file_name: self.file.name.clone(),
            size: self.file.size,
            habit: self.file.habit.clone(),
            rows: self.preview.new,
        };
        let at = to_microsecond(self.writer.now);
        self.entry(self.import, at, Payload::Import(batch).encode())
    }
}

/// Enough of a row's hash to find equal rows by.
fn short_hash(row: &LogRow) -> u64 {
    let [a, b, c, d, e, f, g, h, ..] = *row.hash.as_bytes();
    u64::from_be_bytes([a, b, c, d, e, f, g, h])
}

/// The times of what a row says, microseconds since 1970.
fn times(row: &LogRow) -> impl Iterator<Item = i64> {
    let events = row.events.iter().map(|event| event.at);
    row.reading
        .iter()
        .map(|reading| reading.at)
        .chain(events)
        .map(Timestamp::as_microsecond)
}

/// A place for each key that comes more than once: in most files there is none, and rows need not be
/// remembered.
fn repeated<K: Ord + Hash, V: Default>(keys: impl Iterator<Item = K>) -> HashMap<K, V> {
    let mut keys: Vec<K> = keys.collect();
    keys.sort_unstable();
    let mut places = HashMap::new();
    let mut keys = keys.into_iter().peekable();
    while let Some(key) = keys.next() {
        if keys.peek() == Some(&key) {
            places.entry(key).or_default();
        }
    }
    places
}

impl Iterator for Planner<'_> {
    type Item = Entry;

    fn next(&mut self) -> Option<Entry> {
        loop {
            if let Some(entry) = self.ready.pop_front() {
                self.planned += 1;
                return Some(entry);
            }
            let file = self.file;
            if let Some(row) = file.rows.get(self.next_row) {
                self.next_row += 1;
                self.plan_row(row);
            } else if self.ended || self.planned == 0 {
                return None;
            } else {
                self.ended = true;
                return Some(self.batch());
            }
        }
    }
}
