//! How fast a reading log of a million rows becomes entries in a ledger, and how fast they are read again.
//!
//! `cargo bench -p store` prints one JSON object a line: `name`, `value`, `unit`, and, where there is one to
//! compare with, `reference`, `reference_value`, `ratio`. The reference is the `sqlite3` shell's `.import` of
//! the same file into a plain table without keys, in the same run; where the shell is not installed the
//! fields are null and standard error says so. The log is simulated.

use std::error::Error;
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use jiff::Timestamp;
use ledger::import::{LogFile, Planner, Writer, log_file_by, plan_import};
use ledger::{EventId, State};
use serde_json::json;
use store::{
    Cursor, Options, Remembered, SqliteStore, Store, load, load_outline, load_unit, on_two_threads,
    touched_since,
};

/// Rows of the log. `--rows N` takes N instead and leaves the fold out, for a look with a profiler.
const ROWS: usize = 1_000_000;
const UNITS: usize = 1_000;
const READINGS: usize = 200_000;

fn main() -> Result<(), Box<dyn Error>> {
    // `cargo test` runs benches too, to see that they start.
    let arguments: Vec<String> = std::env::args().collect();
    if let Some(at) = arguments.iter().position(|argument| argument == "--fold") {
        return fold(Path::new(arguments.get(at + 1).ok_or("no ledger to fold")?));
    }
    if !arguments.iter().any(|argument| argument == "--bench") {
        return Ok(());
    }
    let rows = match arguments.iter().position(|argument| argument == "--rows") {
        Some(at) => arguments.get(at + 1).ok_or("--rows without a number")?.parse()?,
        None => ROWS,
    };
    let folder = tempfile::tempdir()?;
    let csv = folder.path().join("log.csv");
    fs::write(&csv, simulated_log(rows))?;
    let shell = shell_import(&csv, &folder.path().join("plain.db"))?;
    import(&csv, &folder.path().join("ledger.db"), shell)?;
    if rows != ROWS {
        return Ok(());
    }
    let fleet = folder.path().join("fleet.db");
    fill_fleet(&fleet)?;
    // In a process of its own, whose memory is the fold's.
    let status = Command::new(std::env::current_exe()?)
        .arg("--fold")
        .arg(&fleet)
        .status()?;
    if status.success() {
        Ok(())
    } else {
        Err("folding failed".into())
    }
}

fn say(name: &str, value: f64, unit: &str, reference: Option<(&str, f64)>) -> Result<(), Box<dyn Error>> {
    say_wanting(name, value, unit, reference, None)
}

/// The same, with what is wanted: the least ratio, or without a reference the least rate or the most.
fn say_wanting(
    name: &str,
    value: f64,
    unit: &str,
    reference: Option<(&str, f64)>,
    target: Option<f64>,
) -> Result<(), Box<dyn Error>> {
    let line = json!({
        "name": name, "value": value, "unit": unit,
        "reference": reference.map(|(name, _)| name),
        "reference_value": reference.map(|(_, value)| value),
        "ratio": reference.map(|(_, reference)| value / reference),
        "target": target,
    });
    writeln!(std::io::stdout(), "{line}")?;
    Ok(())
}

fn at(row: usize) -> Timestamp {
    let seconds = i64::try_from(row).unwrap_or(0) * 600;
    Timestamp::from_second(1_000_000_000 + seconds).unwrap_or(Timestamp::UNIX_EPOCH)
}

/// A log as a data logger writes it: a time and eight values.
fn simulated_log(rows: usize) -> String {
    let mut text = String::from(
        "date,feed temperature (C),inlet pressure (kPa),membrane pressure (kPa),permeate flow (L/h),\
             concentrate flow (L/h),feed conductivity (uS/cm),permeate conductivity (uS/cm),free chlorine out (mg/L)\n",
    );
    for row in 0..rows {
        let wave = (row as f64 * 0.01).sin();
        let cells = format!(
            "{},{:.1},{:.0},{:.0},{:.2},{:.1},{:.0},{:.1},{:.2}\n",
            at(row),
            12.0 + 6.0 * wave,
            400.0 + 20.0 * wave,
            390.0 + 20.0 * wave,
            40.0 + 8.0 * wave,
            54.0 + wave,
            750.0 + 40.0 * wave,
            30.0 + 4.0 * wave,
            (row % 7) as f64 * 0.01,
        );
        text.push_str(&cells);
    }
    text
}

/// Seconds that the shell takes; none where there is no shell.
fn shell_import(csv: &Path, database: &Path) -> Result<Option<f64>, Box<dyn Error>> {
    let start = Instant::now();
    let shell = Command::new("sqlite3")
        .arg(database)
        .stdin(Stdio::piped())
        .spawn();
    let mut shell = match shell {
        Ok(shell) => shell,
        Err(error) => {
            writeln!(
                std::io::stderr(),
                "no reference: the sqlite3 shell cannot be started: {error}"
            )?;
            return Ok(None);
        }
    };
    if let Some(mut stdin) = shell.stdin.take() {
        writeln!(stdin, ".mode csv\n.import {} plain", csv.display())?;
    }
    let status = shell.wait()?;
    let seconds = start.elapsed().as_secs_f64();
    if !status.success() {
        return Err("the sqlite3 shell failed".into());
    }
    Ok(Some(seconds))
}

/// The unit whose log it is: nothing of it is looked at but its instruments.
const UNIT: &str = include_str!("../../../reference/field-logs/a-potting-shed.toml");

/// The file as the command `import` reads it.
fn read_log(unit: &unit::Unit, bytes: &[u8]) -> Result<LogFile, Box<dyn Error>> {
    let mut options = intake::Options::new(unit);
    options.both = on_two_threads;
    let log = intake::read(bytes, &options)?;
    Ok(log_file_by("log.csv", bytes, log, on_two_threads))
}

fn unit() -> Result<unit::Unit, Box<dyn Error>> {
    let document = casefile::Document::read("unit.toml", UNIT.as_bytes())?;
    let faults = casefile::Faults::new();
    let top = casefile::Table::new(&document.tree, "", &faults);
    let unit = top.required_table("unit", "a unit").and_then(casefile::unit_plan);
    Ok(faults.settle("unit.toml", unit)?)
}

fn import(csv: &Path, ledger: &Path, shell: Option<f64>) -> Result<(), Box<dyn Error>> {
    let identity = EventId::new(at(0), [0; 10]);
    let unit = unit()?;
    let start = Instant::now();
    let bytes = fs::read(csv)?;
    let file = read_log(&unit, &bytes)?;
    let read = start.elapsed().as_secs_f64();
    let writer = Writer {
        now: at(ROWS),
        by: "ada".into(),
        device: "desk".into(),
    };
    let empty = State::new();
    let mut planner = Planner::new(&empty, "unit", &file, identity, &writer);
    // As the command does for a ledger that is not there yet; at the end it is on the disk under its name.
    let (store, appended) = SqliteStore::create_with(ledger, identity, Options::default(), &mut planner)?;
    let seconds = start.elapsed().as_secs_f64();
    let rows = file.rows.len() as f64;
    drop(store);
    if appended.new != 1 + file.rows.len() as u64 {
        return Err(format!("{appended:?} of {rows} rows").into());
    }
    let shell = shell.map(|seconds| ("sqlite3 shell, .import into a plain table", rows / seconds));
    let whole = "import, from the file to the ledger";
    say_wanting(whole, rows / seconds, "rows/s", None, Some(200_000.0))?;
    if shell.is_some() {
        let whole = format!("{whole}, against the shell");
        say_wanting(&whole, rows / seconds, "rows/s", shell, Some(1.0 / 3.0))?;
    }
    say(
        "import, reading the file: columns, units, rows",
        rows / read,
        "rows/s",
        None,
    )?;
    say(
        "import, planning and appending",
        rows / (seconds - read),
        "rows/s",
        shell,
    )?;
    let start = Instant::now();
    let planned = Planner::new(&empty, "unit", &file, identity, &writer).count();
    say(
        "import, planning alone",
        planned as f64 / start.elapsed().as_secs_f64(),
        "rows/s",
        None,
    )?;
    Ok(())
}

/// A ledger of a thousand units.
fn fill_fleet(path: &Path) -> Result<(), Box<dyn Error>> {
    let identity = EventId::new(at(0), [0; 10]);
    let mut store = SqliteStore::create(path, identity, Options::default())?;
    let log = simulated_log(READINGS / UNITS);
    let file = read_log(&unit()?, log.as_bytes())?;
    let writer = Writer {
        now: at(ROWS),
        by: "ada".into(),
        device: "desk".into(),
    };
    for unit in 0..UNITS {
        let mut random = [0; 10];
        random[..8].copy_from_slice(&(unit as u64).to_be_bytes());
        let mut ids = std::iter::once(EventId::new(at(0), random));
        let plan = plan_import(&State::new(), &format!("unit-{unit}"), &file, &mut ids, &writer)?;
        store.append(&mut plan.entries.into_iter())?;
    }
    // As much as a verdict in sentences takes for each unit.
    let (_, cursor) = touched_since(&store, Cursor::default())?;
    let bytes = vec![b'x'; 1_000 * UNITS];
    store.remember("due", &Remembered { cursor, bytes })?;
    Ok(())
}

/// The same ledger, read and folded whole.
fn fold(path: &Path) -> Result<(), Box<dyn Error>> {
    // What a server does before its first page: the outline, what it remembered of each unit, and what came
    // in since; and what it does for one unit's page.
    let start = Instant::now();
    let store = SqliteStore::open(path, Options::default())?;
    let (outline, cursor) = load_outline(&store)?;
    let known = store.remembered("due")?.ok_or("nothing was remembered")?;
    let (touched, _) = touched_since(&store, known.cursor)?;
    let ready = start.elapsed().as_secs_f64();
    if !touched.is_empty() || known.cursor != cursor || outline.unit_ids().count() != UNITS {
        return Err("the outline is not that of the fleet".into());
    }
    say(
        "start, 1 000 units and 200 000 readings: outline, what was remembered, what came in since",
        1000.0 * ready,
        "ms",
        None,
    )?;
    let start = Instant::now();
    let one = load_unit(&store, "unit-500")?;
    let readings = one.unit("unit-500").map_or(0, |unit| unit.readings().len());
    if readings != READINGS / UNITS {
        return Err(format!("{readings} readings of one unit").into());
    }
    say(
        "start, 1 000 units and 200 000 readings: one unit read and folded",
        1000.0 * start.elapsed().as_secs_f64(),
        "ms",
        None,
    )?;
    drop((outline, one));
    let start = Instant::now();
    let (state, _) = load(&store)?;
    let loaded = start.elapsed().as_secs_f64();
    state.fold();
    let folded = start.elapsed().as_secs_f64();
    let readings: usize = state
        .unit_ids()
        .filter_map(|id| state.unit(id))
        .map(|unit| unit.readings().len())
        .sum();
    if readings != READINGS {
        return Err(format!("{readings} readings of {READINGS}").into());
    }
    say(
        "fold, 1 000 units and 200 000 readings: read from the ledger and filed",
        loaded,
        "s",
        None,
    )?;
    say(
        "fold, 1 000 units and 200 000 readings: until every history is folded",
        folded,
        "s",
        None,
    )?;
    if let Some(kib) = resident_kib() {
        say(
            "fold, 1 000 units and 200 000 readings: memory of the process",
            kib / 1024.0,
            "MiB",
            None,
        )?;
    }
    Ok(())
}

/// Memory that the process holds now; only Linux says it this way.
fn resident_kib() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
