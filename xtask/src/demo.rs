//! `cargo xtask demo`: the invented Quillmere ledger, the main job's verdict on one of its units, and the web
//! application on it until it is interrupted; with `--once` it ends before serving.

use std::process::ExitCode;

use crate::arguments::Arguments;
use crate::process::{self, Result};
use crate::repo::Repo;

/// The unit whose verdict is shown.
const UNIT: &str = "fern-house";

pub(crate) fn run(repo: &Repo, mut arguments: Arguments) -> Result<ExitCode> {
    let once = arguments.flag("--once");
    let listen = arguments.option("--listen")?;
    arguments.finish()?;
    let binary = repo.release_binary()?;
    let folder = repo.emptied_target_folder("demo")?;
    let ledger = repo.relative(&folder.join("quillmere.db")).display().to_string();
    let picture = folder.join(format!("{UNIT}.svg"));
    let plot = repo.relative(&picture).display().to_string();

    let say = |words: &[&str]| -> Result {
        println!("$ {} {}\n", repo.relative(&binary).display(), words.join(" "));
        process::run(repo.command(&binary).args(words))
    };
    say(&["demo", "--ledger", &ledger])?;
    println!();
    say(&["check", "--ledger", &ledger, "--unit-id", UNIT, "--plot", &plot])?;
    if !picture.is_file() {
        return Err(format!("no picture was written to {plot}").into());
    }
    println!("\nThe valley and all in it are invented. The picture of the unit's history is {plot}");
    if once {
        return Ok(ExitCode::SUCCESS);
    }
    println!();
    let mut words = vec!["serve", "--ledger", ledger.as_str()];
    if let Some(listen) = &listen {
        words.extend(["--listen", listen]);
    }
    say(&words)?;
    Ok(ExitCode::SUCCESS)
}
