//! Backups, and putting one in a ledger's place.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use ledger::EventId;
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};

use super::look::{beside, look};
use super::{Options, SqliteStore};
use crate::{Error, Store};

/// A file that is being written, under a name of its own beside its place. What is not put in place is
/// deleted.
pub(super) struct Draft {
    path: PathBuf,
    place: PathBuf,
    /// Locked while the draft is written, so that others see whether somebody still does. Only on Unix: elsewhere
    /// a lock would keep SQLite out too.
    lock: Option<File>,
}

impl Draft {
    pub(super) fn beside(place: &Path) -> Result<Self, Error> {
        clear_abandoned(place);
        let mut draft = Self {
            path: beside(place, &format!(".draft-{}", std::process::id())),
            place: place.to_owned(),
            lock: None,
        };
        // Left behind by a process of the same number that was killed.
        draft.clear();
        let file = File::create_new(&draft.path).map_err(|error| Error::io(place, &error))?;
        // A disk without locks: the draft may then be left behind by a kill.
        draft.lock = (cfg!(unix) && file.try_lock().is_ok()).then_some(file);
        Ok(draft)
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Puts the file where it belongs, if there is none yet, in one step that lasts.
    pub(super) fn put_in_place(self) -> Result<(), Error> {
        let failed = |error| Error::io(&self.place, &error);
        sync(&self.path).map_err(failed)?;
        match fs::hard_link(&self.path, &self.place) {
            Ok(()) => {}
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => return Err(failed(error)),
            // A disk without links: the name is looked at, then taken.
            Err(_) if !self.place.exists() => fs::rename(&self.path, &self.place).map_err(failed)?,
            Err(error) => return Err(failed(error)),
        }
        sync_folder(&self.place).map_err(failed)
    }

    /// Puts the file in the place of another.
    fn replace(self) -> Result<(), Error> {
        let failed = |error| Error::io(&self.place, &error);
        sync(&self.path).map_err(failed)?;
        fs::rename(&self.path, &self.place).map_err(failed)?;
        sync_folder(&self.place).map_err(failed)
    }

    fn clear(&self) {
        clear(&self.path);
    }
}

fn clear(draft: &Path) {
    for suffix in ["", "-journal", "-wal", "-shm"] {
        // Most of them were never there.
        let _ = fs::remove_file(beside(draft, suffix));
    }
}

/// Deletes the drafts of processes that were killed: a first import of a long log may leave a large one.
fn clear_abandoned(place: &Path) {
    let folder = place
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let (Ok(files), Some(begin)) = (
        fs::read_dir(folder),
        beside(place, ".draft-").file_name().map(ToOwned::to_owned),
    ) else {
        return;
    };
    let begin = begin.to_string_lossy().into_owned();
    for file in files.flatten() {
        let name = file.file_name();
        let number = name.to_str().and_then(|name| name.strip_prefix(&begin));
        let is_draft = number.is_some_and(|number| number.bytes().all(|byte| byte.is_ascii_digit()));
        // Who still writes it holds the lock.
        if is_draft && cfg!(unix) && File::open(file.path()).is_ok_and(|draft| draft.try_lock().is_ok()) {
            clear(&file.path());
        }
    }
}

impl Drop for Draft {
    fn drop(&mut self) {
        self.clear();
    }
}

fn sync(path: &Path) -> std::io::Result<()> {
    File::options().read(true).write(true).open(path)?.sync_all()
}

/// Makes a new name last. Only Unix lets a folder be synchronised; elsewhere the system sees to it.
fn sync_folder(path: &Path) -> std::io::Result<()> {
    if cfg!(unix) {
        let folder = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty())
            .unwrap_or(Path::new("."));
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

/// Pages that are copied between two reports of progress.
const PAGES_AT_ONCE: i32 = 4096;

/// Copies the pages of one database into a file that does not exist yet, and closes it as one file.
fn copy_pages(from: &Connection, to: &Path, progress: &mut dyn FnMut(f64)) -> rusqlite::Result<()> {
    let mut copy = Connection::open_with_flags(to, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    {
        let backup = Backup::new(from, &mut copy)?;
        loop {
            let step = backup.step(PAGES_AT_ONCE)?;
            let pages = backup.progress();
            progress(1.0 - f64::from(pages.remaining) / f64::from(pages.pagecount.max(1)));
            match step {
                StepResult::Done => break,
                StepResult::More => {}
                // Another program writes; it has ended in a moment.
                _ => std::thread::sleep(std::time::Duration::from_millis(5)),
            }
        }
    }
    copy.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
    copy.close().map_err(|(_, error)| error)
}

pub(super) fn back_up(store: &SqliteStore, to: &Path, progress: &mut dyn FnMut(f64)) -> Result<u64, Error> {
    if to.symlink_metadata().is_ok() {
        return Err(Error::Exists { path: to.to_owned() });
    }
    let draft = Draft::beside(to)?;
    // One moment of the log, however long the copying takes and whatever is appended meanwhile.
    let moment = store
        .connection
        .unchecked_transaction()
        .map_err(|error| store.failed(error))?;
    let counted: rusqlite::Result<u64> = moment.query_row("SELECT count(*) FROM entry", [], |row| row.get(0));
    let counted = counted.map_err(|error| store.failed(error))?;
    copy_pages(&moment, draft.path(), progress).map_err(|error| Error::sqlite(to, error))?;
    drop(moment);
    let copied = verify(draft.path(), to)?;
    if copied != counted {
        let what = format!("the backup has {copied} entries of {counted}");
        return Err(Error::Damaged {
            path: to.to_owned(),
            what,
        });
    }
    draft.put_in_place()?;
    Ok(counted)
}

/// Checks a ledger without a trace beside it, and counts its entries. Messages name `called`.
fn verify(path: &Path, called: &Path) -> Result<u64, Error> {
    let store = SqliteStore::connect_with(
        path,
        OpenFlags::SQLITE_OPEN_READ_WRITE,
        Options::default(),
        "DELETE",
    )?;
    let problems = store.check()?;
    if let Some(first) = problems.first() {
        return Err(Error::Damaged {
            path: called.to_owned(),
            what: first.clone(),
        });
    }
    store.count()
}

/// What a restored ledger is, and where the one before is now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// Its entries.
    pub entries: u64,
    /// The file that was in its place, kept beside it.
    pub kept: Option<PathBuf>,
}

/// Puts a backup in a ledger's place.
///
/// The backup is copied and checked first; then the ledger that was there, sound or not, is kept under
/// another name beside it, and the copy takes its place in one step. It gets a new `identity`, so that
/// devices hand over again what the backup may lack.
///
/// # Errors
/// A backup that is no ledger, of a newer version, cut off or damaged; a ledger that another program has
/// open: then nothing has changed.
pub fn restore(backup: &Path, into: &Path, identity: EventId, options: Options) -> Result<Restored, Error> {
    look(backup)?;
    let draft = Draft::beside(into)?;
    let failed = |error| Error::sqlite(backup, error);
    let source = Connection::open_with_flags(backup, OpenFlags::SQLITE_OPEN_READ_ONLY).map_err(failed)?;
    copy_pages(&source, draft.path(), &mut |_| {}).map_err(failed)?;
    drop(source);
    let entries = verify(draft.path(), backup)?;
    let renewed =
        Connection::open_with_flags(draft.path(), OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
    renewed
        .execute("UPDATE ledger SET identity = ?1", [identity.as_bytes()])
        .map_err(failed)?;
    renewed.close().map_err(|(_, error)| failed(error))?;
    if into.symlink_metadata().is_err() {
        draft.put_in_place()?;
        return Ok(Restored { entries, kept: None });
    }
    let kept = set_aside(into, options)?;
    draft.replace()?;
    Ok(Restored {
        entries,
        kept: Some(kept),
    })
}

/// Keeps what is in the ledger's place under another name as well, with nothing of it left beside the
/// place: SQLite would take that for the new file's.
fn set_aside(path: &Path, options: Options) -> Result<PathBuf, Error> {
    let failed = |error| Error::io(path, &error);
    let mut n = 1;
    let kept = loop {
        let kept = beside(path, &format!(".before-restore-{n}"));
        if kept.symlink_metadata().is_err() {
            break kept;
        }
        n += 1;
    };
    match settle(path, options) {
        Ok(()) => {}
        Err(error @ (Error::Busy { .. } | Error::Full { .. })) => return Err(error),
        // It cannot be settled because it is broken: what stands beside it is kept as it is.
        Err(_) => {
            for suffix in ["-wal", "-journal"] {
                if beside(path, suffix).exists() {
                    fs::rename(beside(path, suffix), beside(&kept, suffix)).map_err(failed)?;
                }
            }
            let _ = fs::remove_file(beside(path, "-shm"));
        }
    }
    match fs::hard_link(path, &kept) {
        Ok(()) => {}
        // A disk without links: for a moment there is no ledger, but nothing is lost.
        Err(_) => fs::rename(path, &kept).map_err(failed)?,
    }
    Ok(kept)
}

/// Writes all of a ledger into its one file, if nobody else has it open.
fn settle(path: &Path, options: Options) -> Result<(), Error> {
    look(path)?;
    let failed = |error| Error::sqlite(path, error);
    let connection = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
    connection.busy_timeout(options.patience).map_err(failed)?;
    // Leaving WAL needs the file for itself, and takes what stands beside it along.
    let mode: String = connection
        .pragma_update_and_check(None, "journal_mode", "DELETE", |row| row.get(0))
        .map_err(failed)?;
    if mode != "delete" {
        return Err(Error::Busy {
            path: path.to_owned(),
        });
    }
    connection.close().map_err(|(_, error)| failed(error))
}
