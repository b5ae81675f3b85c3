//! Proves a job card step by step against the plumbing, by the rules of the card and nothing else.
//!
//! Architecture invariant: shares no code with the planner. It reads the card as a machine would, from
//! `action`, `target` and `minutes`, and knows nothing of how the card came about.

mod explore;
mod flow;
mod hand;
mod network;
mod parts;
mod rules;
mod water;
mod whole;

use std::fmt;

use unit::Unit;

use crate::card::JobCard;

pub use explore::{Reach, explore};

/// One breach of a rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Number of the step, from 1; 0 where it concerns the whole card.
    pub step: usize,
    /// Which rule.
    pub rule: Rule,
    /// What is wrong, in words.
    pub text: String,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.step == 0 {
            f.write_str(&self.text)
        } else {
            write!(f, "step {}: {}", self.step, self.text)
        }
    }
}

/// The rules that a card keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// Every step names what the unit has, in words the contract knows.
    Names,
    /// Nothing is turned, opened or put back that stands so already.
    Sense,
    /// Nothing is opened or taken off but on relieved water.
    Pressure,
    /// Pumps are unplugged before anything is opened and plugged in when all is closed.
    Pump,
    /// Each part is taken out, handled and put in as asked, seals greased.
    Part,
    /// Rinsing, flushing and discarding find their ways prepared.
    Rinse,
    /// No water runs out where nothing catches it.
    Spill,
    /// Carbon is rinsed before it feeds an element.
    Carbon,
    /// First water of an element never reaches the tank.
    Element,
    /// Chlorine never meets a membrane; chemicals are rinsed out.
    Chemical,
    /// The unit ends as it was, leak-checked twice, read and recorded.
    End,
    /// `pressurised_after` says no less than the rules.
    Report,
    /// Numbers, cautions, checks, readings.
    Form,
}

/// Every breach of a rule in this card; empty where it is right.
pub fn check(unit: &Unit, card: &JobCard) -> Vec<Finding> {
    rules::check(unit, card)
}
