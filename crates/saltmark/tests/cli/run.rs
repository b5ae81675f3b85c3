//! Runs the real program.

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// A file of the repository.
pub(crate) fn repository(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..").join(path)
}

/// Runs the program with arguments and standard input.
pub(crate) fn saltmark(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_saltmark"))
        .args(arguments)
        .env("NO_COLOR", "1")
        .env_remove("SALTMARK_LEDGER")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    let input = input.to_vec();
    let writer = std::thread::spawn(move || {
        // A program that refuses its arguments does not read its input.
        let _refused = stdin.write_all(&input);
    });
    let output = child.wait_with_output().expect("the program ends");
    writer.join().expect("the input was offered");
    output
}

/// The answer as data; standard output has to be exactly one JSON document, and the exit 0.
pub(crate) fn answer(arguments: &[&str], input: &[u8]) -> Value {
    let output = saltmark(arguments, input);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).expect("one JSON document")
}

/// Standard error of a run that has to end with exit 2 and nothing on standard output.
pub(crate) fn refusal(arguments: &[&str], input: &[u8]) -> String {
    let output = saltmark(arguments, input);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(output.stdout.is_empty(), "something was written");
    said
}
