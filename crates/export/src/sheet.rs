//! A table of typed cells.

use jiff::Timestamp;
use jiff::civil::DateTime;

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing is known.
    Empty,
    /// Words.
    Text(String),
    /// A number in the unit of its column.
    Number(f64),
    /// A time, in UTC.
    At(Timestamp),
    /// The same time as clocks showed it at the unit.
    Local(DateTime),
}

impl Cell {
    /// As text: numbers so that they are read back to the last bit, times by RFC 3339, local times without a
    /// zone.
    pub fn text(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => text.clone(),
            Self::Number(number) => number.to_string(),
            Self::At(at) => at.to_string(),
            Self::Local(local) => local.strftime("%Y-%m-%d %H:%M:%S").to_string(),
        }
    }

    pub(crate) fn words(text: &str) -> Self {
        if text.is_empty() {
            Self::Empty
        } else {
            Self::Text(text.to_owned())
        }
    }
}

impl From<Option<f64>> for Cell {
    fn from(number: Option<f64>) -> Self {
        number
            .filter(|number| number.is_finite())
            .map_or(Self::Empty, Self::Number)
    }
}

/// A table: headings, and rows of as many cells.
pub(crate) struct Sheet {
    pub(crate) name: &'static str,
    pub(crate) headings: Vec<String>,
    pub(crate) rows: Vec<Vec<Cell>>,
}
