//! `cargo xtask bench`: every benchmark of every crate and the timings of whole processes, as one table.
//!
//! A benchmark is a file in `crates/*/benches` with `harness = false`. It writes one JSON object per line to
//! standard output (see [`Measure`]), and anything else to standard error.

mod fleet_times;
mod http;
mod measure;
mod page_times;
mod process_times;

use std::fmt::Write as _;
use std::fs;
use std::process::{Command, ExitCode};
use std::thread::available_parallelism;

use serde_json::Value;

use self::measure::Measure;
use crate::arguments::Arguments;
use crate::process::{self, Failure, Result};
use crate::repo::{self, Repo};
use crate::tools;

const REPORT: &str = "docs/benchmarks.md";

/// Keep the reference on one core, whichever library NumPy was built with.
const ONE_CORE: [&str; 4] = [
    "OMP_NUM_THREADS",
    "OPENBLAS_NUM_THREADS",
    "MKL_NUM_THREADS",
    "BLIS_NUM_THREADS",
];

/// A benchmark target of a crate.
struct Bench {
    package: String,
    name: String,
}

pub(crate) fn run(repo: &Repo, mut arguments: Arguments) -> Result<ExitCode> {
    let only = arguments.options("--only")?;
    let date = match arguments.option("--date")? {
        Some(date) => date,
        None => process::stdout_of(Command::new("date").args(["-u", "+%Y-%m-%d"]))?
            .trim()
            .to_owned(),
    };
    arguments.finish()?;

    let benches = benches(repo)?;
    let mut names: Vec<&str> = benches.iter().map(|bench| bench.name.as_str()).collect();
    names.extend([process_times::NAME, page_times::NAME, fleet_times::NAME]);
    if let Some(unknown) = only.iter().find(|name| !names.contains(&name.as_str())) {
        return Err(format!(
            "there is no benchmark {unknown:?}; there are: {}",
            names.join(", ")
        )
        .into());
    }
    let is_chosen = |name: &str| only.is_empty() || only.iter().any(|chosen| chosen == name);

    // What an import is compared with.
    if process::quietly(Command::new("sqlite3").arg("--version")).is_err() {
        tools::install_debian_packages(&["sqlite3"])
            .map_err(|failure| format!("sqlite3 is missing: {failure}"))?;
    }
    let mut measures = Vec::new();
    for bench in benches.iter().filter(|bench| is_chosen(&bench.name)) {
        measures.extend(run_bench(repo, bench)?);
    }
    if is_chosen(process_times::NAME) {
        measures.extend(process_times::measure(repo)?);
    }
    if is_chosen(page_times::NAME) {
        measures.extend(page_times::measure(repo)?);
    }

    if is_chosen(fleet_times::NAME) {
        measures.extend(fleet_times::measure(repo)?);
    }

    let table = measure::table(&measures);
    println!("\n{table}");
    if only.is_empty() {
        let report = repo.path(REPORT);
        fs::create_dir_all(repo.path("docs")).map_err(|error| format!("docs could not be made: {error}"))?;
        repo::write(&report, &page(repo, &table, &date)?)?;
        println!("written to {REPORT}");
    }
    let missed = measures
        .iter()
        .filter(|measure| measure.is_met() == Some(false))
        .count();
    let met = measures
        .iter()
        .filter(|measure| measure.is_met() == Some(true))
        .count();
    println!("{met} passed, {missed} failed");
    Ok(if missed == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

/// The benchmarks of the workspace, as cargo knows them.
fn benches(repo: &Repo) -> Result<Vec<Bench>> {
    let mut command = repo.cargo();
    command.args([
        "metadata",
        "--format-version",
        "1",
        "--no-deps",
        "--locked",
        "--quiet",
    ]);
    let metadata: Value = serde_json::from_str(&process::stdout_of(&mut command)?)
        .map_err(|error| format!("cargo metadata gave no JSON: {error}"))?;
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let word = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let mut benches = Vec::new();
    for package in list(&metadata["packages"]) {
        for target in list(&package["targets"]) {
            if list(&target["kind"]).iter().any(|kind| kind == "bench") {
                benches.push(Bench {
                    package: word(&package["name"]),
                    name: word(&target["name"]),
                });
            }
        }
    }
    Ok(benches)
}

fn run_bench(repo: &Repo, bench: &Bench) -> Result<Vec<Measure>> {
    eprintln!("== {} ({})", bench.name, bench.package);
    let mut command = repo.cargo();
    command.args([
        "bench",
        "--quiet",
        "--locked",
        "--package",
        &bench.package,
        "--bench",
        &bench.name,
    ]);
    tools::with_python(repo, &mut command)?;
    for name in ONE_CORE {
        command.env(name, "1");
    }
    let mut measures: Vec<Result<Measure>> = Vec::new();
    let status = process::each_line(&mut command, |line| {
        if !line.trim().is_empty() {
            measures.push(Measure::from_line(line));
        }
    })?;
    process::succeeded(&command, status)?;
    if measures.is_empty() {
        return Err(format!("the benchmark {} measured nothing", bench.name).into());
    }
    let named = |failure: Failure| Failure::from(format!("the benchmark {}: {failure}", bench.name));
    measures
        .into_iter()
        .map(|measure| measure.map_err(named))
        .collect()
}

/// The report that is kept in the repository.
fn page(repo: &Repo, table: &str, date: &str) -> Result<String> {
    let rustc = process::stdout_of(repo.command("rustc").arg("--version"))?;
    let cores = available_parallelism().map_or(1, usize::from);
    let mut page = String::from("# Benchmarks\n\n");
    let _ = writeln!(
        page,
        "Written by `cargo xtask bench`; run it to have them for your machine. References run in the same minute, on \
         one core. Where a ratio is given it is how many times as fast as the reference; a target is the least ratio \
         or rate, or the greatest time or size, that is accepted.\n"
    );
    let _ = writeln!(page, "{table}");
    let _ = writeln!(
        page,
        "Measured on {date}: {}, {cores} cores, {}.",
        processor(),
        rustc.trim()
    );
    Ok(page)
}

/// What the processor calls itself.
fn processor() -> String {
    let described = process::quietly(Command::new("lscpu").env("LC_ALL", "C"));
    let text = described
        .map(|output| String::from_utf8_lossy(&output.stdout).into_owned())
        .unwrap_or_default();
    let name = text.lines().find_map(|line| line.strip_prefix("Model name:"));
    name.map_or_else(|| "processor unknown".to_owned(), |name| name.trim().to_owned())
}
