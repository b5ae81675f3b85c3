//! The project's own tasks, run as `cargo xtask TASK`.
//!
//! Each task sets up what it needs and is missing, so that a fresh machine with Rust needs nothing else
//! installed by hand; where that fails, the task says what is missing.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a task reports to the terminal"
)]

mod arguments;
mod bench;
mod browser;
mod demo;
mod docs;
mod field;
mod fuzz;
mod process;
mod repo;
mod soak;
mod test;
mod tidy;
mod tools;

use std::process::ExitCode;

use crate::arguments::Arguments;
use crate::process::Result;
use crate::repo::Repo;

const USAGE: &str = "\
Usage: cargo xtask TASK

  demo [--once] [--listen ADDRESS]
                                build the binary, make the invented ledger, show the verdict on one of its units, and
                                serve it until interrupted; --once ends before serving
  test [--only STEP]...         run every check and every test
  bench [--only NAME]... [--date YYYY-MM-DD]
                                run every benchmark; write docs/benchmarks.md, unless --only is given
  fuzz [TARGET]... [--seconds N]
                                fuzz these targets, or all of them, for N seconds each (default 60)
  soak [--kills N] [--rounds N] try the properties with new random numbers N times (default 10); kill a writer
                                of the ledger N times (default 1000), and look after each that nothing is lost
                                and nothing half there
  tidy                          check the house rules that no compiler checks
  field                         build the pages as WebAssembly, which the binary then holds
  docs                          write man pages and shell completions into target/generated
";

fn main() -> ExitCode {
    let arguments = Arguments::new(std::env::args().skip(1));
    run(arguments).unwrap_or_else(|failure| {
        eprintln!("xtask: {failure}");
        ExitCode::FAILURE
    })
}

fn run(mut arguments: Arguments) -> Result<ExitCode> {
    let repo = Repo::open()?;
    match arguments.positional().as_deref() {
        Some("demo") => demo::run(&repo, arguments),
        Some("test") => test::run(&repo, arguments),
        Some("bench") => bench::run(&repo, arguments),
        Some("fuzz") => fuzz::run(&repo, arguments),
        Some("field") => field::run(&repo, arguments),
        Some("soak") => soak::run(&repo, arguments),
        Some("tidy") => tidy::run(&repo, arguments),
        Some("docs") => docs::run(&repo, arguments),
        Some("help" | "--help" | "-h") => {
            print!("{USAGE}");
            Ok(ExitCode::SUCCESS)
        }
        Some(other) => Err(format!("there is no task {other:?}\n\n{USAGE}").into()),
        None => Err(format!("which task?\n\n{USAGE}").into()),
    }
}
