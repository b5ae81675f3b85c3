//! The real program, as a person or a script runs it.

mod check;
mod lines;
mod predict;
mod readme;
mod run;
mod water;
