//! `cargo xtask docs`: man pages and shell completions, generated from the binary's own arguments.

use std::process::ExitCode;

use crate::arguments::Arguments;
use crate::process::{self, Result};
use crate::repo::Repo;

pub(crate) fn run(repo: &Repo, arguments: Arguments) -> Result<ExitCode> {
    arguments.finish()?;
    let binary = repo.release_binary()?;
    for (option, folder) in [
        ("--man", "generated/man"),
        ("--completions", "generated/completions"),
    ] {
        let folder = repo.emptied_target_folder(folder)?;
        process::run(repo.command(&binary).args(["generate", option]).arg(&folder))?;
        println!("{}", repo.relative(&folder).display());
    }
    Ok(ExitCode::SUCCESS)
}
