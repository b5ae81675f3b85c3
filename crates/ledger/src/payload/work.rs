//! A work under way at a unit: begun, its steps done, ended. Frozen like all records.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::EventId;

/// A mark that a work leaves behind: so it can be left and taken up again, on another device too.
///
/// What was done to the parts is not in here: finishing writes its own events and readings beside the last mark.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WorkMarked {
    /// The unit.
    pub unit: String,
    /// The entry that began the work; none in that entry itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work: Option<EventId>,
    /// What is marked.
    #[serde(flatten)]
    pub mark: WorkMark,
}

/// What is marked of a work. Steps are counted from 1, as on the card.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "mark", rename_all = "snake_case")]
pub enum WorkMark {
    /// It was begun.
    Begun {
        /// The `work` of a case file, item by item.
        items: Vec<Value>,
        /// Fingerprint of the card's steps: the work goes on only while the card is the same.
        card: String,
    },
    /// The waiting time of a step began when the entry happened.
    Waiting {
        /// The step.
        step: u32,
    },
    /// All steps up to this one are done.
    Done {
        /// The step.
        step: u32,
        /// What was seen.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        note: String,
    },
    /// This step and all after it are to be done (again).
    Undone {
        /// The step.
        step: u32,
    },
    /// It came to an end.
    Ended {
        /// Whether the work was finished; else it was given up.
        finished: bool,
    },
}
