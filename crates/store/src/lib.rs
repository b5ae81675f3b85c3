//! Where a ledger is kept: one contract, and the databases that fulfil it.
//!
//! [`Store`] is an append-only log with a cursor, and contents by their hash. [`SqliteStore`] keeps it in one
//! file; [`MemoryStore`] keeps it nowhere, for tests and for trying things out. What the entries mean is the
//! business of the `ledger` crate; [`load`] hands them over.
//!
//! Architecture invariant: a store appends all of what it is given or nothing, and what it has said it has
//! kept it has kept.
//! Architecture invariant: no rule of the trade. A store knows an entry's kind and subject, and no more.

mod error;
mod memory;
mod partial;
mod sqlite;

use std::path::Path;
use std::sync::mpsc::sync_channel;

use ledger::{ContentHash, Entry, EventId, State, Subject};

pub use error::Error;
pub use memory::MemoryStore;
pub use partial::{load_outline, load_unit, touched_since};
pub use sqlite::{Options, Restored, SqliteStore, restore};

/// A place in the order in which entries came into a log; 0 is before the first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cursor(pub u64);

/// What became of the entries that were appended.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Appended {
    /// They were not there.
    pub new: u64,
    /// They were there already, as they are or first written earlier.
    pub known: u64,
    /// They were there, first written later; the earlier ones stand now.
    pub replaced: u64,
}

/// Something that was computed from the log up to a cursor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remembered {
    /// Up to where the log had been read.
    pub cursor: Cursor,
    /// What was computed.
    pub bytes: Vec<u8>,
}

/// A ledger's place. Implementations pass one suite of contract tests (`tests/it/contract.rs`).
pub trait Store {
    /// Which log this is. It changes when a backup takes the log's place.
    fn identity(&self) -> Result<EventId, Error>;

    /// Appends entries: all of them durably, or, on an error, none. Those that are there already change
    /// nothing; of two with one id the first written stands ([`Entry::precedence`]).
    fn append(&mut self, entries: &mut dyn Iterator<Item = Entry>) -> Result<Appended, Error>;

    /// Reads at most `limit` entries that came after `after`, in the order in which they came, and says where
    /// it ended. Nothing more came where it ends at `after`.
    fn read(&self, after: Cursor, limit: usize, each: &mut dyn FnMut(Entry)) -> Result<Cursor, Error>;

    /// The entry of this id.
    fn entry(&self, id: EventId) -> Result<Option<Entry>, Error>;

    /// The entries that were written about a subject, in the order in which they came; corrections are about
    /// no subject.
    fn about(&self, subject: &Subject) -> Result<Vec<Entry>, Error>;

    /// The entries about no subject, in the order in which they came: corrections, and what is not understood.
    fn without_subject(&self) -> Result<Vec<Entry>, Error>;

    /// Reads the entries that are no readings and no rows set aside, in the order in which they came, and says
    /// up to where the whole log was read for it.
    fn outline(&self, each: &mut dyn FnMut(Entry)) -> Result<Cursor, Error>;

    /// How many entries there are.
    fn count(&self) -> Result<u64, Error>;

    /// Keeps a content durably and says under which hash. Keeping it again changes nothing.
    fn attach(&mut self, bytes: &[u8]) -> Result<ContentHash, Error>;

    /// The content of this hash.
    fn attachment(&self, hash: ContentHash) -> Result<Option<Vec<u8>>, Error>;

    /// The hashes of all contents, in order.
    fn attachments(&self) -> Result<Vec<ContentHash>, Error>;

    /// Keeps something that can be computed again, in the place of what was kept under this name.
    fn remember(&mut self, name: &str, what: &Remembered) -> Result<(), Error>;

    /// What was kept under this name.
    fn remembered(&self, name: &str) -> Result<Option<Remembered>, Error>;

    /// Writes a backup, one file that [`restore`] takes and [`SqliteStore::open`] opens, while the store goes
    /// on being used, and says how many entries are in it. Where there is a file of this name it is left alone.
    /// `progress` is told the share done.
    fn back_up(&self, to: &Path, progress: &mut dyn FnMut(f64)) -> Result<u64, Error>;

    /// Looks at every byte, and says what is wrong in sentences; none where all is well.
    fn check(&self) -> Result<Vec<String>, Error>;
}

/// Entries that are read at once while a whole log is read.
const AT_ONCE: usize = 50_000;

/// Everything in the log as a state, with the cursor up to which it was read.
///
/// # Errors
/// What the store says.
pub fn load(store: &dyn Store) -> Result<(State, Cursor), Error> {
    let mut state = State::new();
    let cursor = catch_up(store, &mut state, Cursor::default())?;
    Ok((state, cursor))
}

/// Adds to a state what came after `after`, and says up to where it was read.
///
/// # Errors
/// What the store says; the state then holds a part of what came, and may be caught up again.
pub fn catch_up(store: &dyn Store, state: &mut State, after: Cursor) -> Result<Cursor, Error> {
    let mut cursor = after;
    loop {
        let end = store.read(cursor, AT_ONCE, &mut |entry| {
            state.insert(entry);
        })?;
        if end == cursor {
            return Ok(cursor);
        }
        cursor = end;
    }
}

/// Entries that are handed from one thread to another together.
const HANDED_OVER: usize = 1_024;

/// Appends entries as [`Store::append`] does, while another thread makes the next ones: for imports of many
/// thousand rows, whose entries take about as long to make as to keep.
///
/// # Errors
/// What the store says.
pub fn append_alongside(
    store: &mut dyn Store,
    entries: &mut (dyn Iterator<Item = Entry> + Send),
) -> Result<Appended, Error> {
    let (sender, receiver) = sync_channel::<Vec<Entry>>(4);
    std::thread::scope(|scope| {
        scope.spawn(move || {
            loop {
                let made: Vec<Entry> = (&mut *entries).take(HANDED_OVER).collect();
                // Nobody takes them any more where the store has given up.
                if made.is_empty() || sender.send(made).is_err() {
                    break;
                }
            }
        });
        store.append(&mut receiver.into_iter().flatten())
    })
}

/// Carries out two works at once, each on a thread of its own (`intake::Options::both`).
pub fn on_two_threads(first: &mut (dyn FnMut() + Send), second: &mut (dyn FnMut() + Send)) {
    std::thread::scope(|scope| {
        scope.spawn(second);
        first();
    });
}

/// Copies all entries and contents of one store into another. What is there stays.
///
/// # Errors
/// What either store says; what was copied by then stays copied.
pub fn copy(from: &dyn Store, into: &mut dyn Store, progress: &mut dyn FnMut(f64)) -> Result<(), Error> {
    let (count, mut copied, mut cursor) = (from.count()?, 0_u64, Cursor::default());
    loop {
        let mut entries = Vec::new();
        let end = from.read(cursor, AT_ONCE, &mut |entry| entries.push(entry))?;
        if end == cursor {
            break;
        }
        copied += entries.len() as u64;
        into.append(&mut entries.into_iter())?;
        cursor = end;
        progress(copied as f64 / count.max(1) as f64);
    }
    for hash in from.attachments()? {
        if let Some(bytes) = from.attachment(hash)? {
            into.attach(&bytes)?;
        }
    }
    Ok(())
}
