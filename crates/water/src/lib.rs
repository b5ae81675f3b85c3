//! The chemistry of a feed and of its concentrate.
//!
//! ```
//! use water::{Analysis, Treatment, Water, report};
//!
//! let analysis = Analysis {
//!     temperature_c: Some(13.0),
//!     ph: Some(7.5),
//!     calcium_mg_l: Some(88.0),
//!     magnesium_mg_l: Some(19.0),
//!     sodium_mg_l: Some(36.0),
//!     alkalinity_mg_l_caco3: Some(225.0),
//!     chloride_mg_l: Some(47.0),
//!     sulfate_mg_l: Some(62.0),
//!     ..Analysis::default()
//! };
//! let water = Water::complete(&analysis).expect("a possible water");
//! let report = report(&water, Some(0.6), 0.0, &Treatment::default()).expect("within the model");
//! assert!(report.sentences[0].to_string().starts_with("At 60 % recovery calcite is"));
//! ```
//!
//! Three layers: a [`Composition`] in moles, [`Constants`] at one temperature and the [`Speciation`] that follows; a
//! [`Water`], which is an [`Analysis`] completed and validated; and what is done with either ([`concentrate`],
//! [`equilibrate`], [`operations`], [`PermeateModel`], [`report`]).
//!
//! Architecture invariant: nothing here knows about membranes, time, files or screens.
#![expect(
    clippy::inline_always,
    reason = "what is to run in the processor's widest vectors must be inlined where they are chosen"
)]
#![deny(clippy::disallowed_methods)]

mod analysis;
mod assessment;
mod completion;
mod concentrate;
mod constants;
mod constituent;
mod database;
mod decimals;
mod equilibrium;
mod error;
mod fallback;
mod filling;
mod indices;
mod mineral;
mod neighbour;
pub mod operations;
mod osmotic;
mod permeate;
mod problem;
pub mod properties;
mod roots;
mod said;
mod solids;
mod solver;
mod speciation;
mod table;
mod threats;
mod transport;
mod typical;
mod water;

pub use analysis::Analysis;
pub use assessment::{Assessment, Report, report};
pub use completion::Basis;
pub use concentrate::{
    Concentrates, HIGHEST_RECOVERY, RecoveryLimit, Treatment, WorkingLimit, concentrate,
    concentration_factor, working_limits,
};
pub use constants::{Constants, TEMPERATURE_RANGE_C};
pub use constituent::{
    ALKALINITY_MG_PER_MEQ, CALCIUM_CARBONATE_G_MOL, CARBON_DIOXIDE_G_MOL, Composition, Constituent,
};
pub use decimals::decimals_apart;
pub use equilibrium::{Equilibrated, ccpp_mg_l_caco3, equilibrate};
pub use error::Error;
pub use indices::{langelier_index, stiff_davis_index};
pub use mineral::{EQUATIONS, Mineral, of_allowed, of_limit, of_saturation};
pub use operations::Acid;
pub use osmotic::OsmoticModel;
pub use permeate::{Permeate, PermeateModel};
pub use problem::Carbonate;
pub use said::{At, Keep, Made, Met, Said, times_over};
pub use solids::tds_mg_l;
pub use speciation::{CHECKED_IONIC_STRENGTH_MOL_KG, MOST_DISSOLVED_MOL_KG, Speciation, speciate};
pub use threats::{Threat, threats};
pub use transport::Conductivity;
pub use water::{LikelyLimit, Water};
