//! Looks at a file before it is opened for writing, so that what is no ledger is left untouched.

use std::ffi::OsString;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};

use super::schema;
use crate::Error;

/// A file's SQLite header (<https://www.sqlite.org/fileformat2.html>, section 1.3).
struct Header([u8; 100]);

impl Header {
    fn u32_at(&self, offset: usize) -> u32 {
        let bytes = self
            .0
            .get(offset..offset + 4)
            .and_then(|bytes| bytes.try_into().ok());
        bytes.map_or(0, u32::from_be_bytes)
    }

    fn page_size(&self) -> u64 {
        match u16::from_be_bytes([self.0[16], self.0[17]]) {
            1 => 65_536,
            size => u64::from(size),
        }
    }
}

/// The file beside a ledger that holds what was written last.
pub(super) fn beside(path: &Path, suffix: &str) -> PathBuf {
    let mut name = OsString::from(path);
    name.push(suffix);
    PathBuf::from(name)
}

/// Says whether the file is a ledger that this program can open. It is only read.
pub(super) fn look(path: &Path) -> Result<(), Error> {
    let not_a_ledger = |read: &str| Error::NotALedger {
        path: path.to_owned(),
        read: read.to_owned(),
    };
    let metadata = path.metadata().map_err(|error| Error::io(path, &error))?;
    if metadata.is_dir() {
        return Err(not_a_ledger("a folder"));
    }
    if metadata.len() == 0 {
        return Err(not_a_ledger("an empty file"));
    }
    let mut header = Header([0; 100]);
    let read = File::open(path).and_then(|mut file| file.read_exact(&mut header.0));
    match read {
        Err(error) if error.kind() == std::io::ErrorKind::UnexpectedEof => {
            return Err(not_a_ledger("a file that is too short to be one"));
        }
        other => other.map_err(|error| Error::io(path, &error))?,
    }
    if !header.0.starts_with(b"SQLite format 3\0") {
        return Err(not_a_ledger("a file that is no SQLite database"));
    }
    // Both are there before the first entry is written: see `SqliteStore::write_new`.
    if header.u32_at(68) != schema::APPLICATION_ID.unsigned_abs() {
        return Err(not_a_ledger("an SQLite database of another program"));
    }
    let page_size = header.page_size();
    let expected = page_size * u64::from(header.u32_at(28));
    let cut_off = metadata.len() < expected || metadata.len() % page_size.max(512) != 0;
    let unsettled = beside(path, "-wal")
        .metadata()
        .is_ok_and(|metadata| metadata.len() > 0);
    if unsettled {
        // What was written last stands beside the file, so that its own header may be old and its end
        // missing: a kill in the middle of writing it back leaves it so, and nothing is lost.
        return look_through_sqlite(path, cut_off);
    }
    newer(path, header.u32_at(60))?;
    if cut_off {
        return Err(Error::Truncated {
            path: path.to_owned(),
            found: metadata.len(),
            expected,
        });
    }
    Ok(())
}

fn newer(path: &Path, found: u32) -> Result<(), Error> {
    let ours = schema::newest();
    if found > ours {
        Err(Error::Newer {
            path: path.to_owned(),
            found,
            ours,
        })
    } else {
        Ok(())
    }
}

fn look_through_sqlite(path: &Path, cut_off: bool) -> Result<(), Error> {
    let failed = |error| Error::sqlite(path, error);
    let connection = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY).map_err(failed)?;
    let version = connection
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .map_err(failed)?;
    newer(path, version)?;
    if cut_off {
        let verdict: String = connection
            .pragma_query_value(None, "quick_check", |row| row.get(0))
            .map_err(failed)?;
        if verdict != "ok" {
            return Err(Error::Damaged {
                path: path.to_owned(),
                what: verdict,
            });
        }
    }
    Ok(())
}
