//! The chemistry of a feed and of its concentrate.
//!
//! Architecture invariant: nothing here knows about membranes, time, files or screens.
#![deny(clippy::disallowed_methods)]

mod analysis;
mod constants;
mod constituent;
mod database;
mod error;
mod fallback;
mod mineral;
pub mod properties;
mod solver;
mod speciation;

pub use analysis::Analysis;
pub use constants::{Constants, TEMPERATURE_RANGE_C};
pub use constituent::{
    ALKALINITY_MG_PER_MEQ, CALCIUM_CARBONATE_G_MOL, CARBON_DIOXIDE_G_MOL, Composition, Constituent,
};
pub use error::Error;
pub use mineral::Mineral;
pub use solver::Carbonate;
pub use speciation::{CHECKED_IONIC_STRENGTH_MOL_KG, MOST_DISSOLVED_MOL_KG, Speciation, speciate};
