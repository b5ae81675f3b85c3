//! The unit as built, and what physics expects it to make.
//!
//! [`Model::new`] reads a [`Unit`] once: it finds the water and salt permeability of each element from its rating.
//! [`Model::solve`] then finds the steady state for given conditions and parameters, and [`Model::sensitivities`] its exact
//! derivatives.
//!
//! Architecture invariant: nothing here knows about time passing, wear, files or screens.
#![deny(clippy::disallowed_methods)]

mod element;
mod error;
mod film;
mod fluid;
mod hydraulics;
mod model;
mod number;
mod parameters;
pub mod plan;
mod point;
mod rating;
mod root;
mod sensitivity;
mod state;
mod steady;
mod workspace;

pub use error::PredictError;
pub use model::{Model, OsmoticLaw, Segments, Setting};
pub use parameters::{Input, Parameter, Parameters};
pub use plan::*;
pub use point::{ElementPoint, OperatingPoint, log_mean};
pub use sensitivity::{Output, Sensitivities};
pub use state::State;
pub use workspace::Workspace;
