//! The real program, as a person or a script runs it.

mod check;
mod jobcard;
mod lines;
mod readme;
mod run;
mod water;
