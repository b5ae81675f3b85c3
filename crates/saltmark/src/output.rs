//! What a command answers, and how it goes out.

use std::io::{self, Write};

use serde_json::Value;

use crate::failure::Failure;

/// A command's answer: the same as data and for a person.
#[derive(Clone, Debug)]
pub(crate) struct Answer {
    /// As data.
    pub(crate) json: Value,
    /// For a person: a sentence first, then tables.
    pub(crate) text: String,
    /// Oddities that stopped nothing; to standard error.
    pub(crate) warnings: Vec<String>,
}

/// Prints an answer.
pub(crate) fn print(answer: &Answer, json: bool) -> Result<(), Failure> {
    let mut err = anstream::stderr().lock();
    for warning in &answer.warnings {
        // A lost warning must not lose the answer.
        let _told = writeln!(err, "saltmark: warning: {warning}");
    }
    drop(err);
    let mut out = anstream::stdout().lock();
    let written = if json {
        writeln!(out, "{}", answer.json)
    } else {
        out.write_all(answer.text.as_bytes())
    };
    settled(written.and_then(|()| out.flush()))
}

/// A reader that went away is no failure; a full disk is.
pub(crate) fn settled(result: io::Result<()>) -> Result<(), Failure> {
    match result {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Err(Failure::ReaderGone),
        Err(error) => Err(Failure::Impossible(format!(
            "the answer could not be written: {error}"
        ))),
    }
}
