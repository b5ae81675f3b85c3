//! What a piece of advice says, without its language: a page words it for its reader.

use jiff::Timestamp;

use crate::forecast::Load;

/// What a piece of advice is about, with all that it says.
#[derive(Clone, Debug, PartialEq)]
pub enum About {
    /// When this part is due, and those that are due together with it.
    Due(String),
    /// How loaded this stage is; no load where nothing tells.
    Load {
        /// The stage.
        stage: String,
        /// What it takes away.
        load: Option<Load>,
    },
    /// Chlorine passes the carbon for good.
    Chlorine {
        /// The carbon stage, where there is one.
        carbon: Option<String>,
        /// Since when.
        since: Timestamp,
        /// The limit that it is over, mg/L.
        limit_mg_l: f64,
    },
    /// What flow and salt together look like.
    Looks(Looks),
    /// So many readings are at odds with the others.
    LeftOut(usize),
    /// The last usable reading is so many days old.
    Old(f64),
    /// Nothing needs doing.
    Nothing,
}

/// What flow and salt passage together look like, signs as in published trouble-shooting tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Looks {
    /// Less water and more salt.
    Scale,
    /// Less water and somewhat more salt.
    FoulingOrScale,
    /// Less water, salt passage unchanged.
    Fouling,
    /// Flow unchanged, salt passage multiplied, and chlorine passes.
    Oxidised,
    /// Flow unchanged, more salt.
    LeakOrOxidised,
}

impl Looks {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Scale,
        Self::FoulingOrScale,
        Self::Fouling,
        Self::Oxidised,
        Self::LeakOrOxidised,
    ];

    /// Its name in messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Scale => "scale",
            Self::FoulingOrScale => "fouling-or-scale",
            Self::Fouling => "fouling",
            Self::Oxidised => "oxidised",
            Self::LeakOrOxidised => "leak-or-oxidised",
        }
    }

    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Scale => {
                "Less water and more salt at equal conditions is what scale does: look at the tail element and at the \
                 recovery, and consider descaling before replacing."
            }
            Self::FoulingOrScale => {
                "Less water and somewhat more salt at equal conditions: fouling or the beginning of scale; a cleaning \
                 tells which."
            }
            Self::Fouling => {
                "Less water at an unchanged salt passage is what fouling does: look at the prefilters, and consider \
                 cleaning before replacing."
            }
            Self::Oxidised => {
                "The flow is as when new while salt passage has multiplied: with chlorine passing, the membranes are \
                 being oxidised, which no cleaning mends."
            }
            Self::LeakOrOxidised => {
                "More salt at an unchanged flow is what a leaking O-ring or oxidised membranes do: probe each element's \
                 permeate with the meter, and test for chlorine after the carbon."
            }
        }
    }
}
