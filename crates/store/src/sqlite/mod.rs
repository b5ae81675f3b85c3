//! A ledger in one SQLite file.

mod append;
mod backup;
mod check;
mod look;
mod read;
mod schema;

use std::cell::RefCell;
use std::path::{Path, PathBuf};
use std::time::Duration;

use ledger::{ContentHash, Entry, EventId, Subject};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, OptionalExtension};

use crate::{Appended, Cursor, Error, Remembered, Store, append_alongside};

pub use backup::{Restored, restore};

/// How a ledger is opened.
#[derive(Clone, Copy, Debug)]
pub struct Options {
    /// How long another program's writing is waited for.
    pub patience: Duration,
    /// The largest size of the file, in bytes; none for what the disk holds.
    pub largest_size: Option<u64>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            patience: Duration::from_secs(5),
            largest_size: None,
        }
    }
}

/// A ledger in one SQLite file.
#[derive(Debug)]
pub struct SqliteStore {
    connection: Connection,
    path: PathBuf,
    names: RefCell<read::Names>,
}

impl SqliteStore {
    /// Opens a ledger; brings one of an older version up to date.
    ///
    /// # Errors
    /// A file that is missing, no ledger, of a newer version, cut off or damaged: it is left untouched.
    pub fn open(path: &Path, options: Options) -> Result<Self, Error> {
        look::look(path)?;
        let mut store = Self::connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE, options)?;
        schema::migrate(&mut store.connection, schema::MIGRATIONS)
            .map_err(|error| Error::sqlite(path, error))?;
        Ok(store)
    }

    /// Makes a new ledger and opens it. `identity` is an id that nothing else has.
    ///
    /// # Errors
    /// [`Error::Exists`] where there is a file of this name: it is left untouched.
    pub fn create(path: &Path, identity: EventId, options: Options) -> Result<Self, Error> {
        Self::write_new(path, identity, |_| Ok(()))?;
        Self::open(path, options)
    }

    /// Makes a new ledger with these entries in it, and opens it: under its name are all of them, or there is no
    /// file. For a first import of many thousand rows: nobody else can have the ledger open yet, so that every
    /// page is written once, where an append to a ledger in use writes it twice. Another thread makes the
    /// entries.
    ///
    /// # Errors
    /// As [`SqliteStore::create`].
    pub fn create_with(
        path: &Path,
        identity: EventId,
        options: Options,
        entries: &mut (dyn Iterator<Item = Entry> + Send),
    ) -> Result<(Self, Appended), Error> {
        let mut appended = Appended::default();
        Self::write_new(path, identity, |store| {
            store.limit(options).map_err(|error| store.failed(error))?;
            appended = append_alongside(store, entries)?;
            Ok(())
        })?;
        Ok((Self::open(path, options)?, appended))
    }

    /// Opens a ledger, or makes a new one where there is no file.
    ///
    /// # Errors
    /// As [`SqliteStore::open`].
    pub fn open_or_create(path: &Path, identity: EventId, options: Options) -> Result<Self, Error> {
        match Self::create(path, identity, options) {
            Err(Error::Exists { .. }) => Self::open(path, options),
            created => created,
        }
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes a new ledger beside its place, lets `fill` fill it, and puts it there in one step: there is
    /// never a part of a ledger under its name.
    pub(crate) fn write_new(
        path: &Path,
        identity: EventId,
        fill: impl FnOnce(&mut Self) -> Result<(), Error>,
    ) -> Result<(), Error> {
        // Told before the work; the last step refuses it in any case.
        if path.symlink_metadata().is_ok() {
            return Err(Error::Exists {
                path: path.to_owned(),
            });
        }
        let draft = backup::Draft::beside(path)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE;
        let mut store = Self::connect_with(draft.path(), flags, Options::default(), "MEMORY")?;
        let failed = |error| Error::sqlite(path, error);
        // What does not come to its end is thrown away, and what does is brought to the disk before it gets its name.
        store
            .connection
            .pragma_update(None, "synchronous", "OFF")
            .map_err(failed)?;
        schema::set_up(&mut store.connection, identity).map_err(failed)?;
        fill(&mut store)?;
        store.connection.close().map_err(|(_, error)| failed(error))?;
        draft.put_in_place()
    }

    fn connect(path: &Path, flags: OpenFlags, options: Options) -> Result<Self, Error> {
        Self::connect_with(path, flags, options, "WAL")
    }

    fn connect_with(path: &Path, flags: OpenFlags, options: Options, journal: &str) -> Result<Self, Error> {
        let failed = |error| Error::sqlite(path, error);
        let connection =
            Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX).map_err(failed)?;
        let set = || -> rusqlite::Result<()> {
            connection.busy_timeout(options.patience)?;
            // A file that came by mail must not run code of its own.
            connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
            connection.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
            connection.pragma_update(None, "foreign_keys", true)?;
            connection.pragma_update(None, "cell_size_check", true)?;
            connection.pragma_update(None, "temp_store", "MEMORY")?;
            // Of a new file only; a file that has pages keeps their size.
            connection.pragma_update(None, "page_size", PAGE_BYTES)?;
            connection.pragma_update(None, "cache_size", -CACHE_KIB)?;
            connection.pragma_update_and_check(None, "wal_autocheckpoint", CHECKPOINT_PAGES, |_| Ok(()))?;
            // What was said to be kept is on the disk, also when the power goes.
            connection.pragma_update(None, "synchronous", "FULL")?;
            connection.pragma_update_and_check(None, "journal_mode", journal, |_| Ok(()))?;
            Ok(())
        };
        set().map_err(failed)?;
        let store = Self {
            connection,
            path: path.to_owned(),
            names: RefCell::default(),
        };
        store.limit(options).map_err(failed)?;
        Ok(store)
    }

    /// Keeps the file below the largest size that it may have.
    fn limit(&self, options: Options) -> rusqlite::Result<()> {
        if let Some(bytes) = options.largest_size {
            let page: u64 = self
                .connection
                .pragma_query_value(None, "page_size", |row| row.get(0))?;
            let pages = i64::try_from(bytes / page.max(1)).unwrap_or(i64::MAX).max(1);
            self.connection
                .pragma_update_and_check(None, "max_page_count", pages, |_| Ok(()))?;
        }
        Ok(())
    }

    fn failed(&self, error: rusqlite::Error) -> Error {
        Error::sqlite(&self.path, error)
    }
}

/// Size of a page. An entry takes some 450 bytes: with pages of 4 KiB an import of a million rows took 1.6
/// times the processor time (measured), most of it in handling pages.
const PAGE_BYTES: i64 = 16 * 1024;

/// Pages written beside the file before they are taken into it: 4 MiB.
const CHECKPOINT_PAGES: i64 = 256;

/// Pages that SQLite keeps in memory, KiB: the upper part of the index of ids of some million entries.
const CACHE_KIB: i64 = 32 * 1024;

impl Store for SqliteStore {
    fn identity(&self) -> Result<EventId, Error> {
        let sql = "SELECT identity FROM ledger WHERE one = 1";
        let bytes: [u8; 16] = self
            .connection
            .query_row(sql, [], |row| row.get(0))
            .map_err(|error| self.failed(error))?;
        EventId::from_bytes(bytes).map_err(|error| Error::Damaged {
            path: self.path.clone(),
            what: format!("its identity: {error}"),
        })
    }

    fn append(&mut self, entries: &mut dyn Iterator<Item = Entry>) -> Result<Appended, Error> {
        append::append(self, entries)
    }

    fn read(&self, after: Cursor, limit: usize, each: &mut dyn FnMut(Entry)) -> Result<Cursor, Error> {
        self.read_after(after, limit, each)
    }

    fn entry(&self, id: EventId) -> Result<Option<Entry>, Error> {
        self.read_entry(id)
    }

    fn about(&self, subject: &Subject) -> Result<Vec<Entry>, Error> {
        self.read_about(subject)
    }

    fn without_subject(&self) -> Result<Vec<Entry>, Error> {
        self.read_without_subject()
    }

    fn outline(&self, each: &mut dyn FnMut(Entry)) -> Result<Cursor, Error> {
        self.read_outline(each)
    }

    fn count(&self) -> Result<u64, Error> {
        let sql = "SELECT count(*) FROM entry";
        self.connection
            .query_row(sql, [], |row| row.get(0))
            .map_err(|error| self.failed(error))
    }

    fn attach(&mut self, bytes: &[u8]) -> Result<ContentHash, Error> {
        let hash = ContentHash::of(bytes);
        let sql = "INSERT INTO attachment (hash, bytes) VALUES (?1, ?2) ON CONFLICT (hash) DO NOTHING";
        self.connection
            .execute(sql, (hash.as_bytes(), bytes))
            .map_err(|error| self.failed(error))?;
        Ok(hash)
    }

    fn attachment(&self, hash: ContentHash) -> Result<Option<Vec<u8>>, Error> {
        let sql = "SELECT bytes FROM attachment WHERE hash = ?1";
        let bytes: Option<Vec<u8>> = self
            .connection
            .query_row(sql, [hash.as_bytes()], |row| row.get(0))
            .optional()
            .map_err(|error| self.failed(error))?;
        match bytes {
            Some(bytes) if ContentHash::of(&bytes) != hash => Err(Error::Damaged {
                path: self.path.clone(),
                what: format!("the attachment {hash} is not what it was"),
            }),
            other => Ok(other),
        }
    }

    fn attachments(&self) -> Result<Vec<ContentHash>, Error> {
        let read = || -> rusqlite::Result<Vec<ContentHash>> {
            let mut statement = self
                .connection
                .prepare_cached("SELECT hash FROM attachment ORDER BY hash")?;
            let hashes = statement.query_map([], |row| row.get(0).map(ContentHash::from_bytes))?;
            hashes.collect()
        };
        read().map_err(|error| self.failed(error))
    }

    fn remember(&mut self, name: &str, what: &Remembered) -> Result<(), Error> {
        let sql = "INSERT INTO cache (name, arrival, bytes) VALUES (?1, ?2, ?3)
            ON CONFLICT (name) DO UPDATE SET arrival = excluded.arrival, bytes = excluded.bytes";
        let kept = self.connection.execute(sql, (name, what.cursor.0, &what.bytes));
        kept.map(|_| ()).map_err(|error| self.failed(error))
    }

    fn remembered(&self, name: &str) -> Result<Option<Remembered>, Error> {
        let sql = "SELECT arrival, bytes FROM cache WHERE name = ?1";
        let read = self.connection.query_row(sql, [name], |row| {
            Ok(Remembered {
                cursor: Cursor(row.get(0)?),
                bytes: row.get(1)?,
            })
        });
        read.optional().map_err(|error| self.failed(error))
    }

    fn back_up(&self, to: &Path, progress: &mut dyn FnMut(f64)) -> Result<u64, Error> {
        backup::back_up(self, to, progress)
    }

    fn check(&self) -> Result<Vec<String>, Error> {
        check::check(self)
    }
}
