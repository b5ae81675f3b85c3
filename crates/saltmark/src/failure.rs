//! Why a command did not answer, and the exit code that says so.

use std::io::Write;
use std::process::ExitCode;

use casefile::{Accepted, Invalid, Read};

/// Why a command did not answer.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Failure {
    /// The input is wrong: exit 2, every fault listed.
    #[error("{0}")]
    Input(#[from] Invalid),
    /// Several documents are wrong: exit 2, every fault of each listed.
    #[error("{} documents are wrong", .0.len())]
    Inputs(Vec<Invalid>),
    /// It could not be done: exit 1.
    #[error("{0}")]
    Impossible(String),
    /// Whoever read the answer went away; nothing is wrong.
    #[error("the reader of the answer went away")]
    ReaderGone,
}

impl Failure {
    /// A fault of one field of one file.
    pub(crate) fn field(
        file: &str,
        path: &str,
        read: impl Into<Read>,
        accepted: impl Into<Accepted>,
    ) -> Self {
        Self::Input(Invalid::one(file, path, read, accepted))
    }

    /// Says it on standard error, and gives the exit code.
    pub(crate) fn report(&self) -> ExitCode {
        let mut err = anstream::stderr().lock();
        // Where standard error is gone too there is nobody left to tell.
        let _told = match self {
            Self::ReaderGone => return ExitCode::SUCCESS,
            Self::Impossible(why) => writeln!(err, "saltmark: {why}"),
            Self::Input(invalid) => list(&mut err, std::slice::from_ref(invalid)),
            Self::Inputs(invalid) => list(&mut err, invalid),
        };
        match self {
            Self::Input(_) | Self::Inputs(_) => ExitCode::from(2),
            _ => ExitCode::from(1),
        }
    }

    /// All of it on one line, for an answer's line.
    pub(crate) fn one_line(&self) -> String {
        match self {
            Self::Input(invalid) => joined(std::slice::from_ref(invalid)),
            Self::Inputs(invalid) => joined(invalid),
            other => other.to_string(),
        }
    }
}

/// Every fault of every document, and how many there are.
fn list(err: &mut impl Write, invalid: &[Invalid]) -> std::io::Result<()> {
    for one in invalid {
        for fault in &one.faults {
            writeln!(err, "saltmark: {}: {fault}", one.file)?;
        }
    }
    for one in invalid {
        writeln!(err, "saltmark: {one}; nothing was written")?;
    }
    Ok(())
}

fn joined(invalid: &[Invalid]) -> String {
    let faults = invalid.iter().flat_map(|one| &one.faults);
    faults.map(ToString::to_string).collect::<Vec<_>>().join("; ")
}
