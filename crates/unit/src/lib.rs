//! The unit as built, and what physics expects it to make.
//!
//! [`Model::new`] reads a [`Unit`] once: it finds the water and salt permeability of each element from its rating.
//! [`Model::solve`] then finds the steady state for given conditions and parameters, and [`Model::sensitivities`] its exact
//! derivatives.
//!
//! Architecture invariant: nothing here knows about time passing, wear, files or screens.
#![deny(clippy::disallowed_methods)]

mod accepted;
mod check;
mod cycle;
mod differentiate;
mod element;
mod error;
mod film;
mod fluid;
mod hydraulics;
mod ionic_feed;
mod ionic_point;
mod ions;
pub mod laws;
mod model;
mod number;
mod parallel;
mod parameters;
pub mod plan;
mod point;
mod predict;
mod rating;
mod root;
mod sensitivity;
mod solute;
mod standstill;
mod state;
mod steady;
mod tank;
mod workspace;

pub use accepted::Accepted;
pub use cycle::{CycleOptions, Day, Demand, day};
pub use error::PredictError;
pub use ionic_feed::IonicFeed;
pub use ionic_point::{IonicPoint, SoluteConcentration};
pub use model::{Model, OsmoticLaw, Segments, Setting};
pub use parameters::{Input, Parameter, Parameters};
pub use plan::*;
pub use point::{ElementPoint, OperatingPoint, log_mean};
pub use predict::{
    Conditions, EQUATIONS, PredictedWaters, Prediction, ResinLoad, Spot, of_prediction, predict,
};
pub use sensitivity::{Output, Sensitivities};
pub use solute::{RelativePermeability, Solute, relative_permeabilities};
pub use standstill::{HELD_L_M2, Standstill};
pub use state::State;
pub use tank::{ATMOSPHERE_KPA, TankLaw};
pub use workspace::Workspace;
