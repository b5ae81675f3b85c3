//! The chemistry of a feed and of its concentrate.
//!
//! Architecture invariant: nothing here knows about membranes, time, files or screens.
#![deny(clippy::disallowed_methods)]

mod analysis;
pub mod properties;

pub use analysis::Analysis;
