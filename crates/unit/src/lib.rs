//! The unit as built, and what physics expects it to make.
//!
//! Architecture invariant: nothing here knows about time passing, wear, files or screens.
#![deny(clippy::disallowed_methods)]

pub mod plan;

pub use plan::*;
