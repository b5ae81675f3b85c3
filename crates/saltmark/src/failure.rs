//! Why a command did not answer, and the exit code that says so.

use std::io::Write;
use std::process::ExitCode;

use casefile::Invalid;

/// Why a command did not answer.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Failure {
    /// The input is wrong: exit 2, every fault listed.
    #[error("{0}")]
    Input(#[from] Invalid),
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
        read: impl Into<String>,
        accepted: impl Into<String>,
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
            Self::Input(invalid) => invalid
                .faults
                .iter()
                .try_for_each(|fault| writeln!(err, "saltmark: {}: {fault}", invalid.file))
                .and_then(|()| writeln!(err, "saltmark: {invalid}; nothing was written")),
        };
        match self {
            Self::Input(_) => ExitCode::from(2),
            _ => ExitCode::from(1),
        }
    }

    /// All of it on one line, for an answer's line.
    pub(crate) fn one_line(&self) -> String {
        match self {
            Self::Input(invalid) => invalid
                .faults
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("; "),
            other => other.to_string(),
        }
    }
}
