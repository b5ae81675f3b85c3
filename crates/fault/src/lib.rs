//! What is wrong with a unit, and which test tells most.
//!
//! Every cause is a perturbation of the unit's model. Its probability is its frequency times the likelihood of what was read,
//! integrated over its severity and over all that is not known: the instruments' errors, this very unit's parts, ordinary
//! wear since its baseline, today's conditions.
//!
//! Architecture invariant: values in, values out. No clock, no file, no screen; nothing here changes a part or forecasts one.
#![deny(clippy::disallowed_methods)]

mod advice;
mod answer;
mod calibrate;
mod candidate;
mod catalogue;
mod cause;
mod circumstances;
mod conditions;
mod diagnose;
mod evidence;
mod expected;
mod figure;
mod frequency;
mod gaussian;
mod hypothesis;
mod information;
pub mod interview;
mod next_test;
mod observable;
mod outlook;
mod pairs;
mod predict;
mod question;
mod reasons;
mod signs;
#[cfg(test)]
mod signs_of_faults;
mod state;
mod test_to_make;
mod test_words;
mod to_expect;
mod weigh;
mod words;

use reading::{Event, Reading};
use unit::Unit;
use water::Analysis;

pub use advice::{Advice, Urgency, advice};
pub use cause::Cause;
pub use circumstances::Known;
pub use conditions::{Change, Condition};
pub use diagnose::{DiagnoseError, Diagnosis, NextTest, Pair, Ranked, Warning, diagnose, diagnose_knowing};
pub use expected::{ReadingSpread, reading_spreads};
pub use figure::{Figure, accounts, equations};
pub use reasons::{Fact, Reason};
pub use test_to_make::{Caution, TestToMake};

/// A reading in question, with what is known of its unit.
#[derive(Clone, Copy, Debug)]
pub struct Case<'a> {
    /// The unit as built.
    pub unit: &'a Unit,
    /// Its feed, where it was analysed.
    pub water: Option<&'a Analysis>,
    /// The reading in question. What was not read does not count.
    pub reading: &'a Reading,
    /// A reading from when all was right.
    pub baseline: Option<&'a Reading>,
    /// Other readings, in order of time; where no baseline is given, those of the membranes' first month are it.
    pub readings: &'a [Reading],
    /// What was done to the unit, in order of time.
    pub events: &'a [Event],
}
