//! `cargo xtask soak`: what the tests do a few hundred times, done often enough to meet the rare case.

use std::process::ExitCode;

use crate::arguments::Arguments;
use crate::process::{self, Result};
use crate::repo::Repo;
use crate::tools;

/// How often a writer is killed, where it is not said.
const KILLS: u32 = 1_000;

/// How often the properties are tried with new random numbers, where it is not said.
const ROUNDS: usize = 10;

/// The crates whose tests kill something, with the test program and the tests' name.
const SOAKED: [(&str, &str, &str); 3] = [
    ("store", "it", "kill::"),
    ("saltmark", "cli", "kill::"),
    ("saltmark", "serve", "kill"),
];

pub(crate) fn run(repo: &Repo, mut arguments: Arguments) -> Result<ExitCode> {
    let kills = match arguments.option("--kills")? {
        Some(text) => text
            .parse()
            .map_err(|_| format!("--kills {text}: a whole number is wanted"))?,
        None => KILLS,
    };
    let rounds = match arguments.option("--rounds")? {
        Some(text) => text
            .parse()
            .map_err(|_| format!("--rounds {text}: a whole number is wanted"))?,
        None => ROUNDS,
    };
    arguments.finish()?;
    let mut failed = 0;
    for round in 1..=rounds {
        println!("== properties with new random numbers, {round} of {rounds}");
        let mut cargo = repo.cargo();
        cargo.args(["test", "--workspace", "--locked", "--no-fail-fast", "prop_"]);
        tools::with_python(repo, &mut cargo)?;
        // Without a seed of ours each run draws its own; a failure prints the input that it shrank to.
        cargo.env_remove("PROPTEST_RNG_SEED");
        if let Err(failure) = process::run(&mut cargo) {
            eprintln!("xtask: round {round} failed: {failure}");
            failed += 1;
        }
    }
    for (name, target, tests) in SOAKED {
        println!("== {name}, SALTMARK_KILL_ROUNDS={kills}");
        let mut cargo = repo.cargo();
        cargo.args(["test", "--locked", "--package", name, "--test", target, tests]);
        cargo.env("SALTMARK_KILL_ROUNDS", kills.to_string());
        if let Err(failure) = process::run(&mut cargo) {
            eprintln!("xtask: {name} failed: {failure}");
            failed += 1;
        }
    }
    println!("{} passed, {failed} failed", SOAKED.len() + rounds - failed);
    Ok(if failed == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}
