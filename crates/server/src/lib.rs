//! The pages over HTTP: a thin shell around [`pages`] and the ledger's [`store`].
//!
//! It holds the state in memory, caught up from the store, and answers requests with what [`pages::respond`]
//! says. Entries are made durable before the response that says so is sent. Browsers that work without a signal
//! send their outbox to `/sync`.
//!
//! It listens on this machine only: there are no accounts yet, so whoever reaches it may read and write
//! everything.
//!
//! Architecture invariant: no rule of the trade.
//! Architecture invariant: nothing of the ledger in a log: method, status and duration, no path, no name.

mod address;
mod answer;
mod attachment;
mod download;
mod embedded;
mod error;
mod guard;
mod identity;
mod kept;
mod print;
mod random;
mod restore;
mod run;
mod sync;

pub use address::{DEFAULT_ADDRESS, listen_address};
pub use error::Error;
pub use random::new_id;
pub use run::{Announcement, Serving, serve};
