//! What is the weather's, what is the supply's and what is the unit's: readings standardised, changes
//! explained, and when each part will be due.
//!
//! Architecture invariant: values in, values out. No clock, no file, no fault diagnosis.
#![deny(clippy::disallowed_methods)]

pub mod backtest;
pub mod baseline;
pub mod columns;
pub mod complete;
pub mod composition;
pub mod d4516;
pub mod doubts;
pub mod expectation;
pub mod explain;
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::too_many_arguments,
    clippy::unused_self,
    reason = "days, steps and futures are small whole numbers; a law of the plant is called as its method and with all that enters it"
)]
pub mod forecast;
pub mod hydraulics;
pub mod lives;
pub mod membranes;
pub mod robust;
pub mod salt;
pub mod season;
pub mod standardise;
mod vector_math;
pub mod verdict;

pub use standardise::{Estimate, History, Standardisation, StandardisedReading, standardise};
