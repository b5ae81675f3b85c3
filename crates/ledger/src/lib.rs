//! The ledger: a log of entries, and today's state as a fold over them.
//!
//! Nothing is changed in place. A unit installed, a reading taken, a part changed, a correction of an
//! earlier entry: each is an [`Entry`] with a time-ordered unique id. [`State`] is what they add up to; it
//! does not matter in which order they arrive, so that two devices are merged by putting their entries
//! together, and what was corrected can still be read.
//!
//! Entry points: [`Payload`] (what can be written down), [`State`] (what it adds up to), [`import`] (a
//! reading log becomes entries), [`sync`] (what to send to whom).
//!
//! Architecture invariant: no clock, no random source, no file. Times, ids and bytes are arguments.
//! Architecture invariant: what this crate does not understand it keeps, byte for byte.
#![deny(clippy::disallowed_methods)]

mod entry;
mod error;
mod id;
pub mod import;
pub mod payload;
pub mod state;
pub mod sync;

pub use entry::{Encoded, Entry};
pub use error::Error;
pub use id::{ContentHash, EventId};
pub use payload::{Kind, Payload, Subject};
pub use state::{Inserted, Origin, State, UnitHistory};
