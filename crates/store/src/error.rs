//! What a store can say instead of an answer.

use std::path::PathBuf;

/// What went wrong. Each names the file and what would be right; nothing has been changed.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// There is no such file.
    #[error("{path}: there is no such file", path = .path.display())]
    Missing {
        /// The file.
        path: PathBuf,
    },
    /// There is a file where a new one was to be written.
    #[error("{path}: there is a file of this name already; it was left as it is", path = .path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// A file that is something else.
    #[error("{path}: read {read}; accepted: a Saltmark ledger", path = .path.display())]
    NotALedger {
        /// The file.
        path: PathBuf,
        /// What it is, as far as one can see.
        read: String,
    },
    /// A ledger of a newer program.
    #[error(
        "{path}: a ledger of version {found}, written by a newer Saltmark; this one reads up to version {ours}",
        path = .path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: u32,
        /// The newest version that is read here.
        ours: u32,
    },
    /// A file that ends too early.
    #[error(
        "{path}: the file is cut off: it has {found} bytes of {expected}; restore it from a backup",
        path = .path.display()
    )]
    Truncated {
        /// The file.
        path: PathBuf,
        /// Its length.
        found: u64,
        /// The length that it says it has.
        expected: u64,
    },
    /// A file whose content is broken.
    #[error("{path}: the ledger is damaged: {what}; restore it from a backup", path = .path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What was found.
        what: String,
    },
    /// No room was left. Nothing of what was to be written is there.
    #[error("{path}: the disk is full, or the ledger has reached its largest size; nothing was written", path = .path.display())]
    Full {
        /// The file.
        path: PathBuf,
    },
    /// Another program keeps it from being used.
    #[error("{path}: another program is using it; try again when that has ended", path = .path.display())]
    Busy {
        /// The file.
        path: PathBuf,
    },
    /// It cannot be opened or written to.
    #[error("{path}: {what}", path = .path.display())]
    Inaccessible {
        /// The file.
        path: PathBuf,
        /// What the system says.
        what: String,
    },
    /// Anything else that the database says.
    #[error("{path}: the database could not do it", path = .path.display())]
    Database {
        /// The file.
        path: PathBuf,
        /// What it says.
        source: rusqlite::Error,
    },
}

impl Error {
    pub(crate) fn io(path: &std::path::Path, error: &std::io::Error) -> Self {
        let path = path.to_owned();
        match error.kind() {
            std::io::ErrorKind::NotFound => Self::Missing { path },
            std::io::ErrorKind::AlreadyExists => Self::Exists { path },
            std::io::ErrorKind::StorageFull
            | std::io::ErrorKind::QuotaExceeded
            | std::io::ErrorKind::FileTooLarge => Self::Full { path },
            _ => Self::Inaccessible {
                path,
                what: error.to_string(),
            },
        }
    }

    pub(crate) fn sqlite(path: &std::path::Path, error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        let path = path.to_owned();
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull | ErrorCode::TooBig) => Self::Full { path },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy { path },
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged {
                path,
                what: error.to_string(),
            },
            Some(ErrorCode::NotADatabase) => Self::NotALedger {
                path,
                read: "a file that is no SQLite database".to_owned(),
            },
            Some(
                ErrorCode::ReadOnly
                | ErrorCode::CannotOpen
                | ErrorCode::PermissionDenied
                | ErrorCode::SystemIoFailure,
            ) => Self::Inaccessible {
                path,
                what: error.to_string(),
            },
            _ => Self::Database { path, source: error },
        }
    }
}
