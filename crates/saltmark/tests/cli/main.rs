//! The real program, as a person or a script runs it.

mod backtest;
mod check;
mod diagnose;
mod jobcard;
mod kill;
mod ledger;
mod ledger_files;
mod lines;
mod predict;
mod printed;
mod readme;
mod run;
mod water;
