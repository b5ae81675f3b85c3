//! What is wrong with a document.

use std::cell::RefCell;
use std::fmt;

use crate::accepted::{Accepted, Read};

/// One wrong field.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Where, such as `unit.stages[1].capacity`; empty for the document as a whole.
    pub path: String,
    /// What was read, as written.
    pub read: Read,
    /// What is accepted there.
    pub accepted: Accepted,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.path.is_empty() {
            write!(f, "{}: ", self.path)?;
        }
        match (&self.read, &self.accepted) {
            // Where there is nothing, what it could be comes first and how much of it is an aside.
            (Read::Nothing, Accepted::Quantity { kind, range }) => {
                let range = range.words(kind.base_unit());
                write!(f, "read nothing; accepted: {} ({range})", kind.accepted())
            }
            (read, accepted) => write!(f, "read {read}; accepted: {accepted}"),
        }
    }
}

/// A document that is no record, with every fault found in it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{} in {file}", count(.faults.len()))]
pub struct Invalid {
    /// The document's name.
    pub file: String,
    /// Every fault, in the order of the document.
    pub faults: Vec<Fault>,
}

impl Invalid {
    /// A document with a single fault.
    pub fn one(file: &str, path: &str, read: impl Into<Read>, accepted: impl Into<Accepted>) -> Self {
        let fault = Fault {
            path: path.to_owned(),
            read: read.into(),
            accepted: accepted.into(),
        };
        Self {
            file: file.to_owned(),
            faults: vec![fault],
        }
    }
}

fn count(faults: usize) -> String {
    match faults {
        1 => "one fault".to_owned(),
        n => format!("{n} faults"),
    }
}

/// Gathers faults and warnings while a document is read.
#[derive(Debug, Default)]
pub struct Faults {
    faults: RefCell<Vec<Fault>>,
    warnings: RefCell<Vec<String>>,
}

impl Faults {
    /// None yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Notes a fault.
    pub fn add(&self, path: &str, read: impl Into<Read>, accepted: impl Into<Accepted>) {
        let fault = Fault {
            path: path.to_owned(),
            read: read.into(),
            accepted: accepted.into(),
        };
        self.faults.borrow_mut().push(fault);
    }

    /// Notes something odd that stops nothing.
    pub fn warn(&self, warning: String) {
        self.warnings.borrow_mut().push(warning);
    }

    /// The oddities noted.
    pub fn warnings(&self) -> Vec<String> {
        self.warnings.borrow().clone()
    }

    /// The record, if the document had no fault.
    ///
    /// # Errors
    /// Every fault noted, or one for the whole document where there is no record and none was noted.
    pub fn settle<T>(&self, file: &str, record: Option<T>) -> Result<T, Invalid> {
        let faults = self.faults.borrow().clone();
        match record {
            Some(record) if faults.is_empty() => Ok(record),
            _ if faults.is_empty() => Err(Invalid::one(file, "", Read::Nothing, "a table")),
            _ => Err(Invalid {
                file: file.to_owned(),
                faults,
            }),
        }
    }
}
