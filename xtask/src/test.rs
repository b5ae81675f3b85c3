//! `cargo xtask test`: every check and every test, one step after the other, stopping at the first that fails.

use std::fs;
use std::path::Path;
use std::process::ExitCode;
use std::thread::available_parallelism;
use std::time::{Duration, Instant};

use crate::arguments::Arguments;
use crate::browser;
use crate::field;
use crate::process::{self, Failure, Result};
use crate::repo::Repo;
use crate::tidy;
use crate::tools::{self, CargoTool};

/// What a step answers: how much of it passed and failed, and why, if it failed.
struct Outcome {
    passed: usize,
    failed: usize,
    why: Option<Failure>,
}

impl From<Result> for Outcome {
    /// A step that is one check.
    fn from(result: Result) -> Self {
        match result {
            Ok(()) => Self {
                passed: 1,
                failed: 0,
                why: None,
            },
            Err(failure) => Self {
                passed: 0,
                failed: 1,
                why: Some(failure),
            },
        }
    }
}

struct Step {
    name: &'static str,
    /// Whether it is about the binary, which a workspace without the crate `saltmark` cannot build.
    of_binary: bool,
    run: fn(&Repo) -> Outcome,
}

const STEPS: [Step; 11] = [
    Step {
        name: "setup",
        of_binary: false,
        run: |repo| setup(repo).into(),
    },
    Step {
        name: "format",
        of_binary: false,
        run: |repo| format(repo).into(),
    },
    Step {
        name: "lints",
        of_binary: false,
        run: |repo| lints(repo).into(),
    },
    Step {
        name: "licences",
        of_binary: false,
        run: |repo| licences(repo).into(),
    },
    Step {
        name: "tests",
        of_binary: false,
        run: |repo| tests(repo).unwrap_or_else(|failure| Err(failure).into()),
    },
    Step {
        name: "release",
        of_binary: true,
        run: |repo| repo.release_binary().map(|_| ()).into(),
    },
    Step {
        name: "worker",
        of_binary: true,
        run: |repo| worker(repo).into(),
    },
    Step {
        name: "browser",
        of_binary: true,
        run: |repo| browser_tests(repo).unwrap_or_else(|failure| Err(failure).into()),
    },
    Step {
        name: "practice",
        of_binary: true,
        run: |repo| practice(repo).unwrap_or_else(|failure| Err(failure).into()),
    },
    Step {
        name: "size",
        of_binary: true,
        run: |repo| size(repo).into(),
    },
    Step {
        name: "tidy",
        of_binary: false,
        run: |repo| tidy::check(repo).into(),
    },
];

/// The largest release binary that is accepted, in bytes.
pub(crate) const LARGEST_BINARY: u64 = 25_000_000;

/// The scorers in `reference/practice`, by the command that each puts to the test. Missing a target fails.
const SCORERS: [&str; 3] = ["predict", "forecast", "diagnose"];

pub(crate) fn run(repo: &Repo, mut arguments: Arguments) -> Result<ExitCode> {
    let only = arguments.options("--only")?;
    arguments.finish()?;
    let names: Vec<_> = STEPS.iter().map(|step| step.name).collect();
    if let Some(unknown) = only.iter().find(|name| !names.contains(&name.as_str())) {
        return Err(format!("there is no step {unknown:?}; there are: {}", names.join(", ")).into());
    }

    let (mut passed, mut failed) = (0, 0);
    let mut durations: Vec<(&str, Duration)> = Vec::new();
    for step in STEPS
        .iter()
        .filter(|step| only.is_empty() || only.iter().any(|name| name == step.name))
    {
        println!("== {}", step.name);
        if step.of_binary && !repo.has_crate("saltmark") {
            println!("== {}: left out, there is no crate saltmark\n", step.name);
            continue;
        }
        let start = Instant::now();
        let outcome = (step.run)(repo);
        let took = start.elapsed();
        println!(
            "== {}: {} passed, {} failed, {:.1} s\n",
            step.name,
            outcome.passed,
            outcome.failed,
            took.as_secs_f64()
        );
        passed += outcome.passed;
        failed += outcome.failed;
        durations.push((step.name, took));
        if let Some(failure) = outcome.why {
            eprintln!("xtask: the step {:?} failed: {failure}\n", step.name);
            break;
        }
    }

    for (name, took) in &durations {
        println!("{name:<9} {:>7.1} s", took.as_secs_f64());
    }
    let total: Duration = durations.iter().map(|(_, took)| *took).sum();
    println!("{:<9} {:>7.1} s", "total", total.as_secs_f64());
    println!("{passed} passed, {failed} failed");
    Ok(if failed == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

/// Fails early, and in one place, where something cannot be installed.
fn setup(repo: &Repo) -> Result {
    tools::python(repo)?;
    tools::cargo_tool(repo, &CargoTool::DENY)?;
    if repo.has_crate("field") {
        browser::set_up(repo)?;
    }
    if repo.has_crate("report") {
        tools::ensure_poppler()?;
    }
    Ok(())
}

fn format(repo: &Repo) -> Result {
    process::run(repo.cargo().args(["fmt", "--all", "--check"]))
}

fn lints(repo: &Repo) -> Result {
    let mut clippy = repo.cargo();
    clippy.args([
        "clippy",
        "--quiet",
        "--workspace",
        "--all-targets",
        "--locked",
        "--",
        "--deny",
        "warnings",
    ]);
    process::run(&mut clippy)
}

fn licences(repo: &Repo) -> Result {
    let deny = tools::cargo_tool(repo, &CargoTool::DENY)?;
    let mut command = repo.command(deny);
    process::run(command.args([
        "--locked",
        "check",
        "--hide-inclusion-graph",
        "licenses",
        "bans",
        "sources",
    ]))
}

fn tests(repo: &Repo) -> Result<Outcome> {
    let mut cargo = repo.cargo();
    cargo.args(["test", "--workspace", "--locked", "--no-fail-fast"]);
    tools::with_python(repo, &mut cargo)?;
    // A snapshot that differs is a failure, never a file to look at later; a person's own ledger is out of reach. Random
    // tests draw the same numbers in every run, so that a failure belongs to the change at hand; `soak` draws new ones.
    cargo
        .env("INSTA_UPDATE", "no")
        .env("PROPTEST_RNG_SEED", "2026")
        .env_remove("INSTA_FORCE_PASS")
        .env_remove("SALTMARK_KILL_ROUNDS")
        .env_remove("SALTMARK_LEDGER");

    let mut counts = Counts::default();
    let status = process::each_line(&mut cargo, |line| {
        counts.add(line);
        if !is_noise(line) {
            println!("{line}");
        }
    })?;
    let why = match process::succeeded(&cargo, status) {
        Err(failure) => Some(failure),
        Ok(()) if counts.ignored > 0 => {
            Some(format!("{} tests are ignored: mend them or take them out", counts.ignored).into())
        }
        Ok(()) => None,
    };
    // A test binary that does not compile, or that is killed, counts nothing.
    let failed = counts.failed.max(usize::from(why.is_some()));
    Ok(Outcome {
        passed: counts.passed,
        failed,
        why,
    })
}

/// What the closing lines of all test binaries add up to.
#[derive(Debug, Default, PartialEq, Eq)]
struct Counts {
    passed: usize,
    failed: usize,
    ignored: usize,
}

impl Counts {
    /// Adds a line like `test result: ok. 5 passed; 0 failed; 0 ignored; ...`; others count nothing.
    fn add(&mut self, line: &str) {
        let Some((_, counts)) = line
            .strip_prefix("test result: ")
            .and_then(|rest| rest.split_once(". "))
        else {
            return;
        };
        for part in counts.split("; ") {
            let Some((number, what)) = part.split_once(' ') else {
                continue;
            };
            let Ok(number) = number.parse::<usize>() else {
                continue;
            };
            match what {
                "passed" => self.passed += number,
                "failed" => self.failed += number,
                "ignored" => self.ignored += number,
                _ => {}
            }
        }
    }
}

/// Lines of a passing test binary that nobody needs to see.
fn is_noise(line: &str) -> bool {
    line.is_empty()
        || line.starts_with("running ")
        || (line.starts_with("test ") && line.ends_with(" ... ok"))
}

fn browser_tests(repo: &Repo) -> Result<Outcome> {
    let (counts, ended) = browser::test(repo)?;
    let why = ended.err();
    Ok(Outcome {
        passed: counts.passed,
        failed: counts.failed.max(usize::from(why.is_some())),
        why,
    })
}

fn practice(repo: &Repo) -> Result<Outcome> {
    let mut outcome = Outcome {
        passed: 0,
        failed: 0,
        why: None,
    };
    let python = tools::python(repo)?;
    let binary = repo.release_binary()?;
    let jobs = available_parallelism().map_or(1, usize::from).to_string();
    for command in SCORERS {
        let mut scorer = repo.command(&python);
        scorer
            .args(["reference/practice/score.py", command, "--jobs", &jobs, "--bin"])
            .arg(&binary);
        let status = process::each_line(&mut scorer, |line| println!("{line}"))?;
        match process::succeeded(&scorer, status) {
            Ok(()) => outcome.passed += 1,
            Err(failure) => {
                outcome.failed += 1;
                outcome.why.get_or_insert(failure);
            }
        }
    }
    Ok(outcome)
}

/// The binary holds the worker and the WebAssembly that the sources give, not those of an earlier build.
fn worker(repo: &Repo) -> Result {
    if !repo.has_crate("field") {
        return Ok(());
    }
    // Both are built anew where the sources are newer.
    let binary = repo.release_binary()?;
    let read = |path: &Path| fs::read(path).map_err(|error| format!("{}: {error}", path.display()));
    let held = read(&binary)?;
    let files = field::files(repo)?;
    for path in &files {
        if !holds(&held, &read(path)?) {
            return Err(format!(
                "{} does not hold {} as it is built now",
                binary.display(),
                path.display()
            )
            .into());
        }
        println!("the release binary holds {}", path.display());
    }
    if files.len() == field::FILES {
        Ok(())
    } else {
        Err(format!(
            "{} files are built for the worker, not {}",
            files.len(),
            field::FILES
        )
        .into())
    }
}

/// Whether these bytes stand in others; nothing stands nowhere.
fn holds(all: &[u8], part: &[u8]) -> bool {
    part.first().is_some_and(|first| {
        let starts = all.iter().enumerate().filter(|(_, byte)| *byte == first);
        starts
            .map(|(at, _)| all.get(at..).unwrap_or_default())
            .any(|rest| rest.starts_with(part))
    })
}

fn size(repo: &Repo) -> Result {
    let bytes = file_size(&repo.release_binary()?)?;
    println!("the release binary has {bytes} bytes; at most {LARGEST_BINARY} are accepted");
    if bytes <= LARGEST_BINARY {
        Ok(())
    } else {
        Err("the release binary is too large".into())
    }
}

/// The size of a file in bytes.
pub(crate) fn file_size(path: &std::path::Path) -> Result<u64> {
    let metadata = std::fs::metadata(path).map_err(|error| format!("{}: {error}", path.display()))?;
    Ok(metadata.len())
}

#[cfg(test)]
mod tests {
    use super::{Counts, holds, is_noise};

    #[test]
    fn closing_lines_of_test_binaries_add_up() {
        let mut counts = Counts::default();
        for line in [
            "test result: ok. 5 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.00s",
            "test result: FAILED. 12 passed; 2 failed; 1 ignored; 0 measured; 7 filtered out; finished in 1.20s",
            "test result_of::something ... ok",
            "running 3 tests",
        ] {
            counts.add(line);
        }
        assert_eq!(
            counts,
            Counts {
                passed: 17,
                failed: 2,
                ignored: 1
            }
        );
    }

    #[test]
    fn a_file_is_found_where_it_stands_whole() {
        let binary = b"..worker 1..worker 2..";
        assert!(holds(binary, b"worker 2"));
        assert!(!holds(binary, b"worker 3") && !holds(binary, b"worker 2...") && !holds(binary, b""));
    }

    #[test]
    fn only_what_passed_is_left_out() {
        assert!(is_noise("test plan::tests::reads ... ok"));
        assert!(is_noise("running 12 tests"));
        assert!(!is_noise("test plan::tests::reads ... FAILED"));
        assert!(!is_noise(
            "test result: ok. 5 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out"
        ));
        assert!(!is_noise("thread 'main' panicked at src/lib.rs:1:1:"));
    }
}
