//! Case files: TOML or JSON documents read into the records of the domain crates.
//!
//! Every fault of a document is found in one pass and listed with its path, what was read and what is
//! accepted; a record is given only when there is none.
//!
//! Architecture invariant: bytes in, records out. Nothing here opens a file or knows an equation.
#![deny(clippy::disallowed_methods)]

mod accepted;
mod conditions;
mod document;
mod fault;
mod log;
mod table;
mod unit_plan;
mod water_analysis;
mod work;

pub use accepted::{Accepted, Read};
pub use conditions::{ConditionName, ConditionsTable, condition, conditions};
pub use document::{Document, Format};
pub use fault::{Fault, Faults, Invalid};
pub use log::{Time, event, events, reading, readings, time, time_zone};
pub use table::{Range, Table};
pub use unit_plan::unit_plan;
pub use water_analysis::water_analysis;
pub use work::work;
