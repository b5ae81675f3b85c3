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
    let picture = repo.target_folder("demo")?.join(format!("{EXAMPLE}.svg"));

    let mut check = repo.command(repo.relative(&binary));
    check.args(["check", "--unit", &format!("examples/{EXAMPLE}.toml")]);
    check.args(["--log", &format!("examples/{EXAMPLE}.csv")]);
    check.arg("--plot").arg(repo.relative(&picture));
    println!("$ {}\n", process::shown(&check));
    process::run(&mut check)?;

    println!("\nThe unit and its log are invented: see the two files named above.");
    println!(
        "The picture of its history is {}",
        repo.relative(&picture).display()
    );
    Ok(ExitCode::SUCCESS)
}
