//! Why it did not start, or ended: one clear sentence each.

use std::io;
use std::net::SocketAddr;
use std::path::PathBuf;

/// Why it did not start, or ended.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// No address.
    #[error("read {read:?}; accepted: an address of this machine and a port, such as 127.0.0.1:7380")]
    NoAddress {
        /// As it was read.
        read: String,
    },
    /// An address that others can reach.
    #[error(
        "read {address}; accepted: an address of this machine, such as 127.0.0.1:7380, as there are no accounts yet \
         and anyone who reached it could read and write the whole ledger"
    )]
    NotThisMachine {
        /// The address.
        address: SocketAddr,
    },
    /// Another program listens there.
    #[error("{address} is in use by another program; end that, or give another port with --listen")]
    InUse {
        /// The address.
        address: SocketAddr,
    },
    /// It cannot listen there.
    #[error("{address} could not be listened on: {why}")]
    NotListening {
        /// The address.
        address: SocketAddr,
        /// What the system says.
        why: io::Error,
    },
    /// There is no ledger.
    #[error(
        "{path}: there is no ledger; `saltmark serve --new` begins an empty one, `saltmark demo` writes an invented \
         one to try things out",
        path = .path.display()
    )]
    NoLedger {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// What the store says.
    #[error(transparent)]
    Store(#[from] store::Error),
    /// What the system says.
    #[error("the server could not go on: {0}")]
    System(#[from] io::Error),
    /// The system gives no random bytes.
    #[error("the system gives no random bytes: {0}")]
    NoRandomness(String),
}
