//! Running other programs, and saying plainly what went wrong when one fails.

use std::ffi::OsStr;
use std::fmt;
use std::io::{self, BufRead, BufReader, ErrorKind};
use std::path::Path;
use std::process::{Command, ExitStatus, Output, Stdio};

/// Why a task could not be done: one message for the person at the terminal.
#[derive(Debug)]
pub(crate) struct Failure(String);

pub(crate) type Result<T = ()> = std::result::Result<T, Failure>;

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<String> for Failure {
    fn from(message: String) -> Self {
        Self(message)
    }
}

impl From<&str> for Failure {
    fn from(message: &str) -> Self {
        Self(message.to_owned())
    }
}

/// Runs a program on this terminal.
///
/// # Errors
/// It could not be started, or did not succeed.
pub(crate) fn run(command: &mut Command) -> Result {
    let status = command.status().map_err(|error| not_started(command, &error))?;
    succeeded(command, status)
}

/// Runs a program and gives what it wrote; its standard error goes to this terminal.
///
/// # Errors
/// It could not be started, or did not succeed.
pub(crate) fn stdout_of(command: &mut Command) -> Result<String> {
    let output = command
        .stderr(Stdio::inherit())
        .output()
        .map_err(|error| not_started(command, &error))?;
    succeeded(command, output.status)?;
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// Runs a program out of sight, and gives everything about it: failing may be an answer.
///
/// # Errors
/// It could not be started.
pub(crate) fn quietly(command: &mut Command) -> Result<Output> {
    command
        .stdin(Stdio::null())
        .output()
        .map_err(|error| not_started(command, &error))
}

/// Runs a program and hands over each line of its standard output as it comes.
///
/// # Errors
/// It could not be started, or its output not be read.
pub(crate) fn each_line(command: &mut Command, mut on_line: impl FnMut(&str)) -> Result<ExitStatus> {
    let mut child = command
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| not_started(command, &error))?;
    if let Some(stdout) = child.stdout.take() {
        // A test may print any bytes, so lines are split before they are decoded.
        for line in BufReader::new(stdout).split(b'\n') {
            let line = line.map_err(|error| not_read(command, &error))?;
            on_line(&String::from_utf8_lossy(&line));
        }
    }
    child.wait().map_err(|error| not_read(command, &error))
}

/// Turns an exit status other than 0 into a failure that shows the command.
pub(crate) fn succeeded(command: &Command, status: ExitStatus) -> Result {
    if status.success() {
        Ok(())
    } else {
        Err(format!("`{}` ended with {status}", shown(command)).into())
    }
}

/// A command as one could type it.
pub(crate) fn shown(command: &Command) -> String {
    // Cargo hands down the full path of itself.
    let program = Path::new(command.get_program());
    let program = if program.ends_with("cargo") {
        OsStr::new("cargo")
    } else {
        program.as_os_str()
    };
    let words: Vec<String> = std::iter::once(program)
        .chain(command.get_args())
        .map(quoted)
        .collect();
    words.join(" ")
}

fn quoted(word: &OsStr) -> String {
    let word = word.to_string_lossy();
    if word.is_empty() || word.contains([' ', '\n', '"', '$']) {
        format!("{word:?}")
    } else {
        word.into_owned()
    }
}

fn not_started(command: &Command, error: &io::Error) -> Failure {
    let program = command.get_program().to_string_lossy();
    if error.kind() == ErrorKind::NotFound {
        Failure(format!("{program} is not installed, or not found"))
    } else {
        Failure(format!("`{}` could not be started: {error}", shown(command)))
    }
}

fn not_read(command: &Command, error: &io::Error) -> Failure {
    Failure(format!(
        "what `{}` wrote could not be read: {error}",
        shown(command)
    ))
}

#[cfg(test)]
mod tests {
    use std::process::Command;

    use super::{each_line, run, shown};

    #[test]
    fn a_program_that_is_missing_is_named() {
        let message = run(&mut Command::new("no-such-program")).unwrap_err().to_string();
        assert_eq!(message, "no-such-program is not installed, or not found");
    }

    #[test]
    fn a_program_that_fails_is_shown_as_typed() {
        let mut command = Command::new("sh");
        command.args(["-c", "exit 3"]);
        let message = run(&mut command).unwrap_err().to_string();
        assert_eq!(message, "`sh -c \"exit 3\"` ended with exit status: 3");
        assert_eq!(shown(&command), "sh -c \"exit 3\"");
    }

    #[test]
    fn lines_come_whole_whatever_their_bytes() {
        let mut lines = Vec::new();
        let status = each_line(Command::new("printf").arg("a\\n\\377\\nlast"), |line| {
            lines.push(line.to_owned());
        });
        assert!(status.unwrap().success());
        assert_eq!(lines, ["a", "\u{fffd}", "last"]);
    }
}
