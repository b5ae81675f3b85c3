//! Man pages and shell completions, from the very arguments that the program parses.

use std::path::Path;

use clap::CommandFactory;
use clap_complete::Shell;

use crate::args::{Args, Generate};
use crate::failure::Failure;

pub(crate) fn run(args: &Generate) -> Result<(), Failure> {
    let mut command = Args::command();
    let failed = |folder: &Path, error: std::io::Error| {
        Failure::Impossible(format!("{} could not be written: {error}", folder.display()))
    };
    if let Some(folder) = &args.man {
        std::fs::create_dir_all(folder).map_err(|error| failed(folder, error))?;
        clap_mangen::generate_to(command.clone(), folder).map_err(|error| failed(folder, error))?;
    }
    if let Some(folder) = &args.completions {
        std::fs::create_dir_all(folder).map_err(|error| failed(folder, error))?;
        for shell in [
            Shell::Bash,
            Shell::Fish,
            Shell::Zsh,
            Shell::PowerShell,
            Shell::Elvish,
        ] {
            clap_complete::generate_to(shell, &mut command, "saltmark", folder)
                .map_err(|error| failed(folder, error))?;
        }
    }
    Ok(())
}
