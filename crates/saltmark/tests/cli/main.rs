//! The real program, as a person or a script runs it.

mod check;
mod jobcard;
mod ledger;
mod ledger_files;
mod lines;
mod predict;
mod readme;
mod run;
mod water;
