//! The chemistry of a feed and of its concentrate.
//!
//! Architecture invariant: nothing here knows about membranes, time, files or screens.
#![deny(clippy::disallowed_methods)]

mod analysis;

pub use analysis::Analysis;
