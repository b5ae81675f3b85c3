//! The state in memory, and the store that it is caught up from.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError, RwLock, RwLockReadGuard};
use std::time::{Duration, Instant};

use jiff::Timestamp;
use ledger::{ContentHash, Entry, EventId, State};
use pages::{Memo, Response};
use store::{Cursor, Options, SqliteStore, Store, catch_up};

/// How old the look may be that a page is answered from: another program may write to the ledger too.
const LOOK_AGAIN: Duration = Duration::from_millis(500);

/// How long the rest of a ledger may take to be read: some ten million readings.
pub(crate) const LONGEST_LOAD: Duration = Duration::from_mins(2);

/// Entries that one answer to a device holds at most; it asks again for the rest.
const ANSWER_AT_ONCE: usize = 10_000;

/// A ledger that is being served.
#[derive(Debug)]
pub(crate) struct Kept {
    /// Locked before `read` where both are.
    /// None only after a restore whose ledger could not be opened again.
    store: Mutex<Option<SqliteStore>>,
    path: PathBuf,
    read: RwLock<Read>,
    looked_at: Mutex<Instant>,
    memo: Memo,
    /// Grows with each change of the state.
    changes: AtomicU64,
    loading: Mutex<Loading>,
    loaded: Condvar,
}

/// How far the ledger is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Loading {
    /// Everything but readings: enough for the first page, which says that the verdicts are still to come.
    Outline,
    /// All of it.
    Whole,
    /// The rest could not be read.
    Failed,
}

/// What was read of it.
#[derive(Debug)]
struct Read {
    state: State,
    cursor: Cursor,
    identity: EventId,
}

/// The state, for as long as a request is answered.
pub(crate) struct Look<'a>(RwLockReadGuard<'a, Read>);

impl Look<'_> {
    pub(crate) fn state(&self) -> &State {
        &self.0.state
    }
}

/// The store, while nobody else writes.
pub(crate) struct Writing<'a> {
    kept: &'a Kept,
    store: MutexGuard<'a, Option<SqliteStore>>,
}

impl Kept {
    /// Reads everything but readings, which takes a moment where hundreds of thousands of readings take seconds;
    /// [`Kept::load`] reads the rest.
    pub(crate) fn outline(store: SqliteStore) -> Result<Self, store::Error> {
        let (state, cursor) = store::load_outline(&store)?;
        Ok(Self {
            path: store.path().to_owned(),
            read: RwLock::new(Read {
                state,
                cursor,
                identity: store.identity()?,
            }),
            store: Mutex::new(Some(store)),
            looked_at: Mutex::new(Instant::now()),
            memo: Memo::default(),
            changes: AtomicU64::new(1),
            loading: Mutex::new(Loading::Outline),
            loaded: Condvar::new(),
        })
    }

    /// Reads the whole ledger, on a thread of its own while the first page is already answered.
    ///
    /// # Errors
    /// What the store says; whoever waits for the ledger is then told that it cannot be read.
    pub(crate) fn load(&self) -> Result<(), store::Error> {
        let whole = SqliteStore::open(&self.path, Options::default()).and_then(|store| store::load(&store));
        let reached = match whole {
            Ok((state, cursor)) => {
                let mut read = self.read.write().unwrap_or_else(PoisonError::into_inner);
                // What has come in meanwhile is caught up from this cursor.
                (read.state, read.cursor) = (state, cursor);
                self.changes.fetch_add(1, Ordering::Relaxed);
                Ok(())
            }
            Err(error) => Err(error),
        };
        *self.loading() = if reached.is_ok() {
            Loading::Whole
        } else {
            Loading::Failed
        };
        self.loaded.notify_all();
        reached
    }

    fn loading(&self) -> MutexGuard<'_, Loading> {
        self.loading.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Whether all of the ledger is read.
    pub(crate) fn is_whole(&self) -> bool {
        *self.loading() == Loading::Whole
    }

    /// Waits until all of the ledger is read, but not longer than this, and says whether it is.
    pub(crate) fn wait(&self, at_most: Duration) -> bool {
        let waited = self
            .loaded
            .wait_timeout_while(self.loading(), at_most, |loading| *loading == Loading::Outline);
        let (loading, _) = waited.unwrap_or_else(PoisonError::into_inner);
        *loading == Loading::Whole
    }

    /// What was evaluated before.
    pub(crate) fn memo(&self) -> &Memo {
        &self.memo
    }

    /// As many entries as the ledger has, or more: the store's own count of all that were ever written.
    pub(crate) fn most_entries(&self) -> u64 {
        let read = self.read.read().unwrap_or_else(PoisonError::into_inner);
        read.cursor.0
    }

    /// How often the state has changed.
    pub(crate) fn changes(&self) -> u64 {
        self.changes.load(Ordering::Relaxed)
    }

    /// Evaluates one unit beforehand, and says how many are left.
    pub(crate) fn warm(&self, now: Timestamp) -> usize {
        self.memo.warm(self.seen().state(), now)
    }

    /// The state as it is, or was a moment ago. While another request writes that is the state before it.
    pub(crate) fn look(&self) -> Result<Look<'_>, store::Error> {
        let due = {
            // A thread that panicked has left nothing half done: an instant is one value.
            let mut looked_at = self.looked_at.lock().unwrap_or_else(PoisonError::into_inner);
            let due = looked_at.elapsed() >= LOOK_AGAIN;
            if due {
                *looked_at = Instant::now();
            }
            due
        };
        if due && let Ok(store) = self.store.try_lock() {
            Writing { kept: self, store }.catch_up()?;
        }
        Ok(self.seen())
    }

    fn seen(&self) -> Look<'_> {
        // Adding the same entries again changes nothing, so a state that a panic left behind is caught up.
        Look(self.read.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// The store to write to, with the state caught up.
    pub(crate) fn write(&self) -> Result<Writing<'_>, store::Error> {
        let store = self.store.lock().unwrap_or_else(PoisonError::into_inner);
        let writing = Writing { kept: self, store };
        writing.catch_up()?;
        Ok(writing)
    }

    /// The content of this hash.
    pub(crate) fn content(&self, hash: ContentHash) -> Result<Option<Vec<u8>>, store::Error> {
        let store = self.store.lock().unwrap_or_else(PoisonError::into_inner);
        self.opened(store.as_ref())?.attachment(hash)
    }

    /// The ledger's file.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    fn opened<'a>(&self, store: Option<&'a SqliteStore>) -> Result<&'a SqliteStore, store::Error> {
        store.ok_or_else(|| store::Error::Missing {
            path: self.path.clone(),
        })
    }

    /// Puts a backup in the ledger's place, and says how many entries it has. Whatever is asked meanwhile waits, and is
    /// answered from the one ledger or the other.
    ///
    /// # Errors
    /// As [`store::restore`]: then the ledger is as it was, and goes on being served.
    pub(crate) fn restore(&self, backup: &Path, identity: EventId) -> Result<u64, store::Error> {
        // What is still being read must not take the place of what is restored; what could not be read may be.
        self.wait(LONGEST_LOAD);
        let mut store = self.store.lock().unwrap_or_else(PoisonError::into_inner);
        // A file that is open cannot be put in another's place: what was written last would stand beside it.
        *store = None;
        let restored = store::restore(backup, &self.path, identity, Options::default());
        // Also where nothing was restored: the ledger that was there is opened again.
        let opened = SqliteStore::open(&self.path, Options::default())?;
        if restored.is_ok() {
            let (state, cursor) = store::load(&opened)?;
            let identity = opened.identity()?;
            let mut read = self.read.write().unwrap_or_else(PoisonError::into_inner);
            *read = Read {
                state,
                cursor,
                identity,
            };
            self.changes.fetch_add(1, Ordering::Relaxed);
            *self.loading() = Loading::Whole;
        }
        *store = Some(opened);
        Ok(restored?.entries)
    }
}

impl Writing<'_> {
    fn opened(&self) -> Result<&SqliteStore, store::Error> {
        self.kept.opened(self.store.as_ref())
    }

    fn opened_mut(&mut self) -> Result<&mut SqliteStore, store::Error> {
        let path = &self.kept.path;
        self.store
            .as_mut()
            .ok_or_else(|| store::Error::Missing { path: path.clone() })
    }

    fn catch_up(&self) -> Result<(), store::Error> {
        let end = {
            let read = self.kept.read.read().unwrap_or_else(PoisonError::into_inner);
            // Mostly nothing has come: then no reader has to wait.
            self.opened()?.read(read.cursor, 1, &mut |_| {})? == read.cursor
        };
        if !end {
            let mut read = self.kept.read.write().unwrap_or_else(PoisonError::into_inner);
            let after = read.cursor;
            read.cursor = catch_up(self.opened()?, &mut read.state, after)?;
            self.kept.changes.fetch_add(1, Ordering::Relaxed);
        }
        Ok(())
    }

    /// The state, caught up.
    pub(crate) fn look(&self) -> Look<'_> {
        self.kept.seen()
    }

    /// Makes durable what a response asks for, and brings it into the state.
    pub(crate) fn keep(&mut self, response: &mut Response) -> Result<(), store::Error> {
        // Contents first: an entry never names one that is not there.
        for content in std::mem::take(&mut response.attachments) {
            self.opened_mut()?.attach(&content)?;
        }
        let entries = std::mem::take(&mut response.entries);
        self.append(entries)
    }

    /// Keeps a content.
    pub(crate) fn attach(&mut self, content: &[u8]) -> Result<ContentHash, store::Error> {
        self.opened_mut()?.attach(content)
    }

    /// Makes entries durable, and brings them into the state.
    pub(crate) fn append(&mut self, entries: Vec<Entry>) -> Result<(), store::Error> {
        if entries.is_empty() {
            return Ok(());
        }
        self.opened_mut()?.append(&mut entries.into_iter())?;
        self.catch_up()
    }

    /// Which log this is.
    pub(crate) fn identity(&self) -> EventId {
        let read = self.kept.read.read().unwrap_or_else(PoisonError::into_inner);
        read.identity
    }

    /// What came after a cursor, not more than a device takes at once, and where that ends.
    pub(crate) fn since(&self, cursor: u64) -> Result<(Vec<Entry>, u64), store::Error> {
        let mut entries = Vec::new();
        let end = self
            .opened()?
            .read(Cursor(cursor), ANSWER_AT_ONCE, &mut |entry| entries.push(entry))?;
        Ok((entries, end.0))
    }
}
