//! What was done to a unit.

use jiff::Timestamp;
use unit::Element;
use water::Analysis;

/// Something done to a unit or to its feed.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// When.
    pub at: Timestamp,
    /// What.
    pub kind: EventKind,
    /// The part it was done to; none for the feed and for the unit as a whole.
    pub part: Option<String>,
    /// Remark.
    pub note: String,
    /// The element that went in, where it differs from the one before.
    pub element: Option<Element>,
    /// The new feed, where the feed changed and was analysed.
    pub water: Option<Analysis>,
    /// Line of the log it came from, counted from 1.
    pub line: Option<u32>,
}

impl Event {
    /// An event without remark.
    pub fn new(at: Timestamp, kind: EventKind, part: Option<&str>) -> Self {
        Self {
            at,
            kind,
            part: part.map(str::to_owned),
            note: String::new(),
            element: None,
            water: None,
            line: None,
        }
    }

    /// Whether the part starts a new life with this event.
    pub fn renews(&self) -> bool {
        matches!(self.kind, EventKind::Installed | EventKind::Changed)
    }
}

/// Kinds of event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EventKind {
    /// A part put in for the first time.
    Installed,
    /// A part renewed.
    Changed,
    /// A part washed or cleaned.
    Cleaned,
    /// A part rinsed.
    Rinsed,
    /// Disinfected.
    Sanitised,
    /// Set differently.
    Adjusted,
    /// An instrument checked against a standard.
    Calibrated,
    /// Another feed.
    FeedChanged,
    /// Taken out of service.
    Stopped,
    /// Put back in service.
    Started,
}

impl EventKind {
    /// All, in the contract's order.
    pub const ALL: [Self; 10] = [
        Self::Installed,
        Self::Changed,
        Self::Cleaned,
        Self::Rinsed,
        Self::Sanitised,
        Self::Adjusted,
        Self::Calibrated,
        Self::FeedChanged,
        Self::Stopped,
        Self::Started,
    ];

    /// Its name in case files and answers.
    pub fn name(self) -> &'static str {
        match self {
            Self::Installed => "installed",
            Self::Changed => "changed",
            Self::Cleaned => "cleaned",
            Self::Rinsed => "rinsed",
            Self::Sanitised => "sanitised",
            Self::Adjusted => "adjusted",
            Self::Calibrated => "calibrated",
            Self::FeedChanged => "feed_changed",
            Self::Stopped => "stopped",
            Self::Started => "started",
        }
    }

    /// The kind of this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }
}
