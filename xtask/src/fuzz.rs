//! `cargo xtask fuzz`: random input, guided by coverage, at everything that reads what people write.

use std::fs;
use std::process::ExitCode;

use crate::arguments::Arguments;
use crate::process::{self, Result};
use crate::repo::Repo;
use crate::tools::{self, CargoTool};

/// One input that takes longer than this many seconds is a hang.
const LONGEST_INPUT_S: u32 = 10;

pub(crate) fn run(repo: &Repo, mut arguments: Arguments) -> Result<ExitCode> {
    let seconds = match arguments.option("--seconds")? {
        Some(text) => text
            .parse()
            .map_err(|_| format!("--seconds {text}: a whole number is wanted"))?,
        None => 60_u32,
    };
    let known = targets(repo)?;
    let mut chosen = arguments.rest()?;
    if let Some(unknown) = chosen.iter().find(|name| !known.contains(name)) {
        return Err(format!(
            "there is no fuzz target {unknown:?}; there are: {}",
            known.join(", ")
        )
        .into());
    }
    if chosen.is_empty() {
        chosen = known;
    }

    let fuzz = tools::cargo_tool(repo, &CargoTool::FUZZ)?;
    let mut failed = 0;
    for target in &chosen {
        println!("== {target}, {seconds} s");
        let mut command = repo.command(&fuzz);
        // The coverage counters are an unstable option, which this lets the stable compiler take.
        command.env("RUSTC_BOOTSTRAP", "1");
        // The code under test is safe Rust: what can be found is a panic, a hang or endless memory, and finding
        // those needs no sanitizer, which would make it slower.
        command.args(["fuzz", "run", "--sanitizer", "none", target, "--"]);
        command.args([
            format!("-max_total_time={seconds}"),
            format!("-timeout={LONGEST_INPUT_S}"),
        ]);
        if let Err(failure) = process::run(&mut command) {
            eprintln!("xtask: {target} failed: {failure}");
            failed += 1;
        }
    }
    println!("{} passed, {failed} failed", chosen.len() - failed);
    Ok(if failed == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

/// The names of the files in `fuzz/fuzz_targets`, in order.
fn targets(repo: &Repo) -> Result<Vec<String>> {
    let folder = repo.path("fuzz/fuzz_targets");
    let entries = fs::read_dir(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let mut names: Vec<String> = entries
        .filter_map(|entry| {
            let path = entry.ok()?.path();
            let is_target = path.extension().is_some_and(|extension| extension == "rs");
            is_target.then(|| {
                path.file_stem()
                    .unwrap_or_default()
                    .to_string_lossy()
                    .into_owned()
            })
        })
        .collect();
    names.sort();
    Ok(names)
}
