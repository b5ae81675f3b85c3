//! The log itself, an entry a line.

use std::collections::BTreeSet;
use std::io::Write;

use ledger::{Entry, EventId, State, Subject};

use crate::Error;

/// The entries about these units, about the sites where they stand and the customers of these, and all
/// corrections of them, in order of their ids.
pub(crate) fn entries_of<'a>(state: &'a State, units: &[&str]) -> impl Iterator<Item = &'a Entry> + use<'a> {
    let mut subjects = BTreeSet::new();
    for unit in units {
        subjects.insert(Subject::unit(unit));
        let Some(site) = state.unit(unit).and_then(|history| history.site.as_deref()) else {
            continue;
        };
        subjects.insert(Subject::site(site));
        let described = state.site(site).and_then(|site| site.described.as_ref());
        if let Some(customer) = described.and_then(|site| site.what.customer.as_deref()) {
            subjects.insert(Subject::customer(customer));
        }
    }
    let mut ids: BTreeSet<EventId> = BTreeSet::new();
    for subject in &subjects {
        for effective in state.entries_of(subject) {
            ids.insert(effective.entry.id);
        }
    }
    // An entry that was taken back is filed nowhere, yet it and what took it back are part of the log.
    let written = state.entries().filter(|entry| {
        entry
            .payload
            .subject()
            .is_some_and(|subject| subjects.contains(subject))
    });
    ids.extend(written.map(|entry| entry.id));
    let corrections: Vec<EventId> = ids
        .iter()
        .flat_map(|id| state.corrections_of(*id))
        .map(|entry| entry.id)
        .collect();
    ids.extend(corrections);
    ids.into_iter().filter_map(|id| state.entry(id))
}

/// Writes entries as JSON lines: of these units with all that belongs to them, or the whole log where none is
/// named.
///
/// # Errors
/// [`Error::Write`].
pub fn json_lines(state: &State, units: Option<&[&str]>, out: &mut dyn Write) -> Result<(), Error> {
    let mut write = |entry: &Entry| writeln!(out, "{}", entry.to_json());
    match units {
        Some(units) => entries_of(state, units).try_for_each(&mut write)?,
        None => state.entries().try_for_each(&mut write)?,
    }
    Ok(())
}

/// A line that is no entry.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
pub struct LineFault {
    /// Counted from 1.
    pub line: usize,
    /// What is wrong with it.
    pub reason: String,
}

/// Reads entries that were exported as JSON lines. Blank lines are passed over.
///
/// # Errors
/// Every line that is no entry; then none of them is to be taken.
pub fn read_json_lines(bytes: &[u8]) -> Result<Vec<Entry>, Vec<LineFault>> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let (mut entries, mut faults) = (Vec::new(), Vec::new());
    for (text, line) in bytes.split(|byte| *byte == b'\n').zip(1..) {
        let text = std::str::from_utf8(text).map(str::trim);
        match text.map(|text| {
            if text.is_empty() {
                None
            } else {
                Some(Entry::from_json(text))
            }
        }) {
            Ok(None) => {}
            Ok(Some(Ok(entry))) => entries.push(entry),
            Ok(Some(Err(error))) => faults.push(LineFault {
                line,
                reason: error.to_string(),
            }),
            Err(error) => faults.push(LineFault {
                line,
                reason: error.to_string(),
            }),
        }
    }
    if faults.is_empty() {
        Ok(entries)
    } else {
        Err(faults)
    }
}
