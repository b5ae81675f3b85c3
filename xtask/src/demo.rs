//! `cargo xtask demo`: the main job, on an invented reading log.

use std::process::ExitCode;

use crate::arguments::Arguments;
use crate::process::{self, Result};
use crate::repo::Repo;

/// The example's file name, without its extension: a unit beside its log.
const EXAMPLE: &str = "quillmere-fern-house";

pub(crate) fn run(repo: &Repo, arguments: Arguments) -> Result<ExitCode> {
    arguments.finish()?;
    let binary = repo.release_binary()?;
    let picture = repo.emptied_target_folder("demo")?.join(format!("{EXAMPLE}.svg"));

    let unit = format!("examples/{EXAMPLE}.toml");
    let log = format!("examples/{EXAMPLE}.csv");
    let plot = repo.relative(&picture).display().to_string();
    let water = format!("examples/{EXAMPLE}-water.toml");
    // The log ends in October 2026; a later day would only say that it is old.
    let check = [
        "check",
        "--unit",
        &unit,
        "--water",
        &water,
        "--log",
        &log,
        "--as-of",
        "2026-10-20",
        "--plot",
        &plot,
    ];
    println!("$ {} {}\n", repo.relative(&binary).display(), check.join(" "));
    process::run(repo.command(&binary).args(check))?;
    if !picture.is_file() {
        return Err(format!("no picture was written to {plot}").into());
    }

    println!("\nThe unit and its log are invented: see {unit} and {log}.");
    println!("The picture of its history is {plot}");
    Ok(ExitCode::SUCCESS)
}
