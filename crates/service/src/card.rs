//! The job card: what a technician reads, and what a checker proves.

use crate::Work;

/// An ordered procedure with everything that belongs to it.
#[derive(Clone, Debug, PartialEq)]
pub struct JobCard {
    /// Id of the unit.
    pub unit: String,
    /// The work that was asked for.
    pub work: Vec<Work>,
    /// What to know before the first step, one sentence or two each.
    pub cautions: Vec<String>,
    /// What to have at hand.
    pub tools: Vec<String>,
    /// What to carry in, and what to carry out again.
    pub parts: Vec<PartToCarry>,
    /// The steps in order, numbered from 1.
    pub steps: Vec<Step>,
    /// One list per step: the segments still above atmospheric after it, by name.
    pub pressurised_after: Vec<Vec<String>>,
    /// What proves the work.
    pub readings_to_take: Vec<ReadingToTake>,
}

/// One thing to carry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartToCarry {
    /// The part it is for; the unit's id where it is for the whole.
    pub id: String,
    /// What it is.
    pub what: String,
    /// How many.
    pub count: u32,
}

/// One step of the hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Number, from 1.
    pub n: u32,
    /// What the step is part of.
    pub phase: Phase,
    /// What is done.
    pub action: Action,
    /// What it is done to, in the contract's words; none for waiting, reading, recording.
    pub target: Option<String>,
    /// The instruction.
    pub text: String,
    /// Why it is done, and done now.
    pub why: String,
    /// How long it takes as waiting time, minutes.
    pub minutes: Option<u32>,
    /// What can hurt someone here.
    pub caution: Option<String>,
    /// What to see when it has worked.
    pub check: Option<String>,
}

/// One reading that proves the work, with what it should be.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingToTake {
    /// Name of the field of a reading; `pressure_after.ID` and the like by part.
    pub field: String,
    /// Expected value in the field's base unit.
    pub expected: Option<f64>,
    /// Lowest value that passes.
    pub low: Option<f64>,
    /// Highest value that passes.
    pub high: Option<f64>,
}

macro_rules! named {
    ($(#[$doc:meta])* $type:ident { $($(#[$vdoc:meta])* $variant:ident $name:literal,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $type { $($(#[$vdoc])* $variant,)* }

        impl $type {
            /// All, in order.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// Its name in answers.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }
        }
    };
}

named! {
    /// What a step is part of.
    Phase {
        /// Shutting sources off.
        Isolate "isolate",
        /// Letting pressure out.
        Relieve "relieve",
        /// Opening housings and taking tubes off.
        Open "open",
        /// Work on the parts.
        Change "change",
        /// Closing and putting tubes back.
        Close "close",
        /// Rinsing to drain, or treating with a chemical.
        Rinse "rinse",
        /// Flushing the membranes and putting back into service.
        Flush "flush",
        /// Looking for leaks and reading.
        Prove "prove",
        /// Writing down.
        Record "record",
    }
}

named! {
    /// What is done in a step (contract 7).
    Action {
        /// Turn a valve shut.
        Close "close",
        /// Turn a valve open.
        Open "open",
        /// Take a pump's electricity off.
        Unplug "unplug",
        /// Give it back.
        PlugIn "plug_in",
        /// Hold the float down so that its valve opens.
        PressFloat "press_float",
        /// Let go.
        ReleaseFloat "release_float",
        /// Take a tube off at its downstream end.
        Disconnect "disconnect",
        /// Put it back.
        Reconnect "reconnect",
        /// Unscrew a housing.
        OpenHousing "open_housing",
        /// Screw it on by hand.
        CloseHousing "close_housing",
        /// Take a part out.
        Remove "remove",
        /// Put a part in.
        Insert "insert",
        /// Wash a part or a housing's bowl.
        Wash "wash",
        /// Look at a part or at seals.
        Inspect "inspect",
        /// Grease seals.
        Grease "grease",
        /// Put a chemical in.
        Dose "dose",
        /// Let it stand.
        Soak "soak",
        /// Run feed through a stage to a bucket.
        RinseToDrain "rinse_to_drain",
        /// Run feed over the membranes to drain.
        FlushToDrain "flush_to_drain",
        /// Run permeate to drain.
        DiscardPermeate "discard_permeate",
        /// Let time pass.
        Wait "wait",
        /// Take the readings.
        Read "read",
        /// Write the work down.
        Record "record",
    }
}
