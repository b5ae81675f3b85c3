//! Why there is no card.

use std::fmt;

use crate::checker::Finding;

/// Why there is no card.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CardError {
    /// The work cannot be meant so: the caller's exit 2. Every fault is listed.
    #[error("{}", list(.0))]
    Input(Vec<InputFault>),
    /// The plumbing allows no safe order: the caller's exit 1.
    #[error("{sentence}")]
    Impossible {
        /// What must be added.
        missing: Vec<Missing>,
        /// The reason for a person, naming each missing thing.
        sentence: String,
    },
    /// The checker did not agree with the planner. The card is kept back; this is a fault of Saltmark.
    #[error("the procedure could not be proved safe, so it is not given: {}", list(.0))]
    Unproved(Vec<Finding>),
    /// A data file inside Saltmark cannot be read. This is a fault of Saltmark.
    #[error("a built-in text is broken: {0}")]
    Texts(String),
}

/// One fault of the input.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InputFault {
    /// Where, as `work[0]`.
    pub path: String,
    /// What was read.
    pub read: String,
    /// What is accepted.
    pub accepted: String,
}

impl fmt::Display for InputFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}: read {}; accepted is {}",
            self.path, self.read, self.accepted
        )
    }
}

/// A thing that a unit lacks for a safe order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Missing {
    /// A shut-off before the first stage.
    InletValve,
    /// A shut-off at the pressurised tank.
    TankValve,
}

impl Missing {
    /// Its name in the sentence.
    pub fn name(self) -> &'static str {
        match self {
            Self::InletValve => "inlet valve",
            Self::TankValve => "tank valve",
        }
    }
}

fn list<T: fmt::Display>(items: &[T]) -> String {
    items
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("; ")
}
