//! The plan, row by row.

use std::collections::{HashMap, HashSet, VecDeque};
use std::hash::{BuildHasherDefault, DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use jiff::Timestamp;

use super::known::{Elsewhere, Known};
use super::rows::{Item, RowHash, Says, first_time, items, own_time};
use super::{LogFile, Preview, Writer};
use crate::entry::to_microsecond;
use crate::payload::{Correction, ImportBatch, Payload, Replacement};
use crate::{Encoded, Entry, EventId, State, Subject};

/// For keys that are hashes already.
type Hashed = BuildHasherDefault<AsItIs>;

#[derive(Debug, Default)]
struct AsItIs(u64);

impl Hasher for AsItIs {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = self.0.rotate_left(8) ^ u64::from(*byte);
        }
    }

    fn write_u64(&mut self, hash: u64) {
        self.0 ^= hash;
    }

    fn write_i64(&mut self, time: i64) {
        self.0 ^= time.unsigned_abs();
    }
}

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
    /// How many rows of this hash there were.
    above: HashMap<u64, u64, Hashed>,
    /// Hashes of what the rows above said, each at its time.
    seen: HashSet<(i64, u64), Hashed>,
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
        let rows = file.rows.len();
        Self {
            unit,
            subject: Subject::unit(unit),
            file,
            import,
            writer,
            known: Known::of(state, unit),
            next_row: 0,
            row_at: first_time(file).unwrap_or_else(|| to_microsecond(writer.now)),
            above: HashMap::with_capacity_and_hasher(rows, Hashed::default()),
            seen: HashSet::with_capacity_and_hasher(rows, Hashed::default()),
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

    fn plan_row(&mut self, row: &'a super::LogRow) {
        self.row_at = own_time(row).unwrap_or(self.row_at);
        let hash = RowHash::of(self.unit, row);
        let counted = self.above.entry(hash.short()).or_default();
        let above = *counted;
        *counted += 1;
        for (item, n) in items(self.unit, row, self.row_at).zip(0..) {
            self.plan_item(hash.id(above, n, item.at), &item);
        }
    }

    fn plan_item(&mut self, id: EventId, item: &Item<'a>) {
        let (line, at) = (item.row.line, item.at);
        if let Says::Nothing(unread) = item.says {
            self.preview.set_aside.push((line, unread.reason.clone()));
        } else {
            let mut hasher = DefaultHasher::new();
            item.content.hash(&mut hasher);
            // A row that could not be read repeats nothing; one that says what a row above said adds nothing.
            if !self.seen.insert((at.as_microsecond(), hasher.finish())) {
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
