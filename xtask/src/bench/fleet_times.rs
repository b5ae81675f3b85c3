//! How a server starts on a ledger of a thousand units, and how much memory it takes.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

use super::http;
use super::measure::Measure;
use super::page_times::{Served, serve};
use super::process_times;
use crate::process::{self, Result};
use crate::repo::{self, Repo};

/// What `--only` calls these.
pub(super) const NAME: &str = "fleet";

const UNITS: usize = 1_000;
const READINGS_EACH: usize = 200;

/// The longest from starting the server to the last byte of the first page, in milliseconds.
const TARGET_FIRST_MS: f64 = 100.0;
/// The most memory, in MB.
const TARGET_MB: f64 = 500.0;

/// How often the start is timed. Odd, so that there is a middle.
const RUNS: usize = 5;

/// How long all units may take to be evaluated.
const PATIENCE: Duration = Duration::from_mins(5);

pub(super) fn measure(repo: &Repo) -> Result<Vec<Measure>> {
    eprintln!("== {NAME}");
    let binary = repo.release_binary()?;
    let folder = repo.emptied_target_folder("bench-fleet")?;
    let ledger = folder.join("fleet.db");
    fill(repo, &binary, &folder, &ledger)?;

    let mut times = Vec::with_capacity(RUNS);
    let mut last = None;
    for _ in 0..RUNS {
        drop(last.take());
        let start = Instant::now();
        let served = serve(repo, &binary, &ledger)?;
        let page = http::get(served.address(), "/", false)?;
        times.push(start.elapsed().as_secs_f64() * 1e3);
        if page.status != 200 || !page.text().contains("Fleet 1") {
            return Err(format!("the first page answered {}:\n{}", page.status, page.text()).into());
        }
        last = Some(served);
    }
    times.sort_by(f64::total_cmp);
    let served = last.ok_or("nothing was served")?;
    // A unit's page waits for all of the ledger to be read.
    let start = Instant::now();
    let unit = http::get(served.address(), "/units/fleet-500", false)?;
    let unit_ms = start.elapsed().as_secs_f64() * 1e3;
    if unit.status != 200 {
        return Err(format!("the page of a unit answered {}", unit.status).into());
    }
    let begun = Instant::now();
    while http::get(served.address(), "/", false)?
        .text()
        .contains("Not worked out yet")
    {
        if begun.elapsed() > PATIENCE {
            return Err("the units were not evaluated in five minutes".into());
        }
        std::thread::sleep(Duration::from_millis(500));
    }
    let evaluated = begun.elapsed().as_secs_f64();
    let fleet = format!("{UNITS} units and {} readings", UNITS * READINGS_EACH);
    let row = |name: String, value: f64, unit: &str, target: Option<f64>| Measure {
        name,
        value,
        unit: unit.to_owned(),
        target,
        ..Measure::default()
    };
    Ok(vec![
        row(
            format!("server, {fleet}: from its start to the first page"),
            times[RUNS / 2],
            "ms",
            Some(TARGET_FIRST_MS),
        ),
        row(
            format!("server, {fleet}: the page of a unit, asked for at once"),
            unit_ms,
            "ms",
            None,
        ),
        row(
            format!("server, {fleet}: until all units are evaluated"),
            evaluated,
            "s",
            None,
        ),
        row(
            format!("server, {fleet}: most memory, all units evaluated"),
            most_memory_mb(&served)?,
            "MB",
            Some(TARGET_MB),
        ),
    ])
}

/// One unit with its readings as entries, and the same entries once more for each of the others.
fn fill(repo: &Repo, binary: &Path, folder: &Path, ledger: &Path) -> Result {
    process_times::write_inputs(folder)?;
    let read = |name: &str| {
        fs::read_to_string(folder.join(name)).map_err(|error| format!("{name} could not be read: {error}"))
    };
    let log: Vec<String> = read("log.csv")?
        .lines()
        .take(1 + READINGS_EACH)
        .map(str::to_owned)
        .collect();
    repo::write(&folder.join("short.csv"), &(log.join("\n") + "\n"))?;
    let quiet = |arguments: &[&str], at: &Path| {
        let mut command = repo.command(binary);
        command.args(arguments).arg(at).current_dir(folder);
        process::run(command.stdout(Stdio::null()))
    };
    let one = folder.join("one.db");
    quiet(
        &["import", "--unit", "unit.toml", "--log", "short.csv", "--ledger"],
        &one,
    )?;
    quiet(
        &["export", "--format", "jsonl", "--out", "one.jsonl", "--ledger"],
        &one,
    )?;
    let entries = read("one.jsonl")?;
    let mut fleet = String::with_capacity(UNITS * (entries.len() + 64));
    for unit in 0..UNITS {
        for line in entries.lines() {
            // Ids differ in their last 48 bits, which are a hash's or random.
            let (head, rest) = line
                .split_at_checked(31)
                .ok_or_else(|| format!("no entry: {line}"))?;
            let (_, rest) = rest
                .split_at_checked(4)
                .ok_or_else(|| format!("no entry: {line}"))?;
            let rest = rest
                .replace("\"bench\"", &format!("\"fleet-{unit}\""))
                .replace("\"Bench\"", &format!("\"Fleet {unit}\""));
            let _ = writeln!(fleet, "{head}{unit:04x}{rest}");
        }
    }
    repo::write(&folder.join("fleet.jsonl"), &fleet)?;
    quiet(&["import", "--entries", "fleet.jsonl", "--ledger"], ledger)
}

/// The most memory that a process has held; only Linux says it this way.
fn most_memory_mb(served: &Served) -> Result<f64> {
    let path = format!("/proc/{}/status", served.id());
    let status = fs::read_to_string(&path).map_err(|error| format!("{path}: {error}"))?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"));
    let kib: Option<f64> = line.and_then(|line| line.split_whitespace().nth(1)?.parse().ok());
    Ok(kib.ok_or_else(|| format!("{path} names no VmHWM"))? * 1024.0 / 1e6)
}
