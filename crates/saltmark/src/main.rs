//! The command line: what was typed becomes a request, a pure answer, and a printed page or one JSON document.
//!
//! Exit codes: 0 done, 1 could not be done, 2 the input is wrong.

mod args;
mod case;
mod commands;
mod failure;
mod input;
mod output;
mod output_file;
mod present;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let args = args::Args::parse();
    match commands::run(args) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.report(),
    }
}
