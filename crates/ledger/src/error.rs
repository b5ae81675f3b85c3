//! What can be wrong with an entry.

/// An entry, or a part of one, that is none.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Error {
    /// An id that is no `UUIDv7`.
    #[error("id {read:?} is no time-ordered unique id; accepted: a UUID of version 7")]
    Id {
        /// As it was read.
        read: String,
    },
    /// A content hash of the wrong form.
    #[error("content hash {read:?} is none; accepted: 64 hexadecimal digits (SHA-256)")]
    Hash {
        /// As it was read.
        read: String,
    },
    /// A line or a payload that is not of the frozen format.
    #[error("{what}: {reason}")]
    Malformed {
        /// What was being read.
        what: &'static str,
        /// What is wrong, and where.
        reason: String,
    },
    /// A payload written by a newer program, or of a kind that this one does not know. It is kept as it
    /// stands.
    #[error(
        "an entry of kind {kind:?} in format {version} comes from a newer program; this one knows format {ours}"
    )]
    NotUnderstood {
        /// Kind, as written.
        kind: String,
        /// Version of its format.
        version: u32,
        /// The newest version that is known here.
        ours: u32,
    },
    /// The source of new ids ran dry.
    #[error("no new id was left for an entry")]
    NoId,
}

impl Error {
    pub(crate) fn json(what: &'static str, error: &serde_json::Error) -> Self {
        Self::Malformed {
            what,
            reason: error.to_string(),
        }
    }
}
