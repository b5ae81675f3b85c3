//! What was read where a field is wrong, and what is accepted there: data that shows itself in English, and that others word.

use std::fmt;

use quantity::{Error, Kind};
use serde_json::Value;

use crate::document::shown;
use crate::table::Range;

/// What was read.
#[derive(Clone, Debug, PartialEq)]
pub enum Read {
    /// The field is not there.
    Nothing,
    /// A text that is no quantity, and why.
    NoQuantity {
        /// As it was written.
        text: String,
        /// Why it is none.
        error: Box<Error>,
    },
    /// Anything else, as written.
    Written(String),
}

impl fmt::Display for Read {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("nothing"),
            Self::NoQuantity { text, error } => {
                write!(f, "{} ({error})", shown(&Value::String(text.clone())))
            }
            Self::Written(text) => f.write_str(text),
        }
    }
}

impl From<String> for Read {
    fn from(text: String) -> Self {
        Self::Written(text)
    }
}

impl From<&str> for Read {
    fn from(text: &str) -> Self {
        Self::Written(text.to_owned())
    }
}

/// What is accepted.
#[derive(Clone, Debug, PartialEq)]
pub enum Accepted {
    /// A quantity within a range.
    Quantity {
        /// Of what.
        kind: Kind,
        /// In the base unit.
        range: Range,
    },
    /// One of a few words.
    OneOf(Vec<&'static str>),
    /// Text that is not empty.
    Text,
    /// `true` or `false`.
    Flag,
    /// A date.
    Date,
    /// The name of a time zone.
    TimeZone,
    /// Ids that stand once in a unit.
    UniqueIds,
    /// A list of membranes.
    Elements,
    /// A coldest feed that is no warmer than the warmest.
    ColderThanWarmest,
    /// What only documents hold, in English.
    InWords(String),
}

impl fmt::Display for Accepted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Quantity { kind, range } => {
                write!(f, "{}, {}", kind.accepted(), range.words(kind.base_unit()))
            }
            Self::OneOf(words) => f.write_str(&words.join(", ")),
            Self::Text => f.write_str("text"),
            Self::Flag => f.write_str("true or false"),
            Self::Date => f.write_str("a date such as 2025-01-14"),
            Self::TimeZone => f.write_str("an IANA time zone name, such as Europe/Lisbon or UTC"),
            Self::UniqueIds => f.write_str("ids that are unique in the unit"),
            Self::Elements => f.write_str("a list of one to eight elements"),
            Self::ColderThanWarmest => f.write_str("no more than warmest_feed"),
            Self::InWords(text) => f.write_str(text),
        }
    }
}

impl From<String> for Accepted {
    fn from(text: String) -> Self {
        Self::InWords(text)
    }
}

impl From<&str> for Accepted {
    fn from(text: &str) -> Self {
        Self::InWords(text.to_owned())
    }
}
