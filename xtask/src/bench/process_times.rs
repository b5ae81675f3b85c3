//! Timings of the whole binary, from start to exit, and its size.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Stdio;
use std::time::Instant;

use serde_json::Value;

use super::measure::Measure;
use crate::process::{self, Result};
use crate::repo::{self, Repo};
use crate::test::{LARGEST_BINARY, file_size};

/// What `--only` calls these.
pub(super) const NAME: &str = "process";

/// How often each command is timed. Odd, so that there is a middle.
const RUNS: usize = 5;

/// One command of the binary, timed as a person waits for it.
struct Timing {
    name: &'static str,
    arguments: &'static [&'static str],
    /// What its answer with `--json` holds, by JSON pointer, if it did the whole work.
    proof: (&'static str, u32),
    /// The longest that is accepted, in seconds.
    target_s: f64,
}

/// The commands start in the folder that [`write_inputs`] fills.
const TIMINGS: [Timing; 2] = [
    Timing {
        name: "check, log of 10 000 rows, whole process",
        arguments: &[
            "check",
            "--unit",
            "unit.toml",
            "--log",
            "log.csv",
            "--as-of",
            "2025-01-01T00:00:00Z",
        ],
        proof: ("/rows/read", ROWS),
        target_s: 0.5,
    },
    Timing {
        name: "jobcard --pdf, every part of a unit, whole process",
        arguments: &[
            "jobcard",
            "work.toml",
            "--pdf",
            "card.pdf",
            "--address",
            "http://127.0.0.1:7380/units/bench",
        ],
        // The last part that is carried in: spare O-rings for four housings.
        proof: ("/parts/4/count", 4),
        target_s: 0.3,
    },
];

/// The work of the printed card; the unit follows.
const WORK: &str = r#"work = ["sediment", "carbon", "membrane-1", "membrane-2"]

[conditions]
temperature = "8 C"
inlet_pressure = "60 psi"

[water]
temperature = "8 C"
ph = 7.5
calcium = 62
magnesium = 9
sodium = 21
alkalinity = "165 mg/L as CaCO3"
chloride = 32
sulfate = 34

"#;

pub(super) fn measure(repo: &Repo) -> Result<Vec<Measure>> {
    eprintln!("== {NAME}");
    let binary = repo.release_binary()?;
    let folder = repo.emptied_target_folder("bench-inputs")?;
    write_inputs(&folder)?;

    let mut measures = Vec::new();
    for timing in TIMINGS {
        prove(repo, &binary, &timing, &folder)?;
        measures.push(Measure {
            name: timing.name.to_owned(),
            value: median_seconds(repo, &binary, &timing, &folder)?,
            unit: "s".to_owned(),
            target: Some(timing.target_s),
            ..Measure::default()
        });
    }
    let megabytes = |bytes: u64| bytes as f64 / 1e6;
    measures.push(Measure {
        name: "release binary".to_owned(),
        value: megabytes(file_size(&binary)?),
        unit: "MB".to_owned(),
        target: Some(megabytes(LARGEST_BINARY)),
        ..Measure::default()
    });
    Ok(measures)
}

/// Makes sure that the command does what it is timed for; the run also warms the caches.
fn prove(repo: &Repo, binary: &Path, timing: &Timing, folder: &Path) -> Result {
    let mut command = repo.command(binary);
    command.args(timing.arguments).arg("--json").current_dir(folder);
    let (pointer, expected) = timing.proof;
    let answer: Value = serde_json::from_str(&process::stdout_of(&mut command)?)
        .map_err(|error| format!("`{}` gave no JSON: {error}", process::shown(&command)))?;
    let found = answer.pointer(pointer).cloned().unwrap_or_default();
    if found == expected {
        Ok(())
    } else {
        let command = process::shown(&command);
        Err(format!("`{command}` answered {pointer} = {found}, not {expected}").into())
    }
}

fn median_seconds(repo: &Repo, binary: &Path, timing: &Timing, folder: &Path) -> Result<f64> {
    let mut seconds = Vec::with_capacity(RUNS);
    for _ in 0..RUNS {
        let mut command = repo.command(binary);
        command
            .args(timing.arguments)
            .current_dir(folder)
            .stdout(Stdio::null());
        let start = Instant::now();
        process::run(&mut command)?;
        seconds.push(start.elapsed().as_secs_f64());
    }
    seconds.sort_by(f64::total_cmp);
    Ok(seconds[RUNS / 2])
}

/// A small unit with two membranes, invented.
const UNIT: &str = r#"[unit]
id = "bench"
name = "Bench"
commissioned = "2018-01-01"

[[unit.stages]]
id = "sediment"
kind = "sediment"
media = "spun"
clean_drop = {pressure = "1.0 psi", flow = "1 gpm"}
limit = {pressure_drop = "10 psi", age = "365 d"}

[[unit.stages]]
id = "carbon"
kind = "carbon"
media = "activated"
bed_volume = "1.4 L"
capacity = {volume = "60000 L", of = "permeate"}
rinse = "40 L"
limit = {age = "365 d"}

[unit.membranes]
arrangement = "series"

[[unit.membranes.elements]]
id = "membrane-1"
size = "2012"
rated = {flow = "180 gpd", rejection = 0.97, pressure = "65 psi", temperature = "77 F", tds = "500 mg/L", recovery = 0.15}

[[unit.membranes.elements]]
id = "membrane-2"
size = "2012"
rated = {flow = "180 gpd", rejection = 0.97, pressure = "65 psi", temperature = "77 F", tds = "500 mg/L", recovery = 0.15}

[unit.concentrate]
restrictor = {flow = "900 mL/min", at = "60 psi", kind = "capillary"}

[unit.permeate]
shutoff = "float"
tank = {kind = "open", volume = "400 L"}
"#;

const ROWS: u32 = 10_000;

pub(super) fn write_inputs(folder: &Path) -> Result {
    repo::write(&folder.join("unit.toml"), UNIT)?;
    repo::write(&folder.join("work.toml"), &format!("{WORK}{UNIT}"))?;
    repo::write(&folder.join("log.csv"), &log())
}

/// A simulated log, the same each time: four readings a day for almost seven years, with the year's swing of the
/// temperature, a sediment filter that fills and is changed, membranes that slowly lose flow, and noise.
fn log() -> String {
    let mut text = String::from(
        "Date,Time,Water temp (C),Inlet (bar),After filters (bar),Feed uS/cm,Permeate uS/cm,Permeate L/h,\
         Concentrate L/h,Notes\n",
    );
    let mut noise = Noise(1);
    let mut date = Date {
        year: 2018,
        month: 1,
        day: 1,
    };
    for row in 0..ROWS {
        let day = f64::from(row) / 4.0;
        let days_of_filter = f64::from(row % 720) / 4.0;
        let temperature = 12.0 - 6.0 * (day * std::f64::consts::TAU / 365.25).cos() + 0.3 * noise.next();
        let inlet = 4.4 + 0.1 * noise.next();
        let before_membranes = inlet - 0.1 - 0.002 * days_of_filter;
        let wear = (-day / 6000.0).exp();
        let permeate = 13.0 * (before_membranes - 0.4) * 1.03_f64.powf(temperature - 25.0) * wear;
        let feed = 620.0 + 15.0 * noise.next();
        let hour = [6, 11, 16, 21][row as usize % 4];
        let note = if row > 0 && row % 720 == 0 {
            "changed sediment filter"
        } else {
            ""
        };
        let _ = writeln!(
            text,
            "{},{hour:02}:00,{temperature:.1},{inlet:.2},{before_membranes:.2},{feed:.0},{:.1},{:.1},{:.1},{note}",
            date.text(),
            0.04 * feed / wear * (1.0 + 0.02 * noise.next()),
            permeate * (1.0 + 0.01 * noise.next()),
            54.0 * (before_membranes / 4.1).sqrt() * (1.0 + 0.01 * noise.next()),
        );
        if row % 4 == 3 {
            date.advance();
        }
    }
    text
}

/// Numbers between -1 and 1 from a linear congruential generator: enough for a timing.
struct Noise(u32);

impl Noise {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(self.0 >> 8) / f64::from(1_u32 << 23) - 1.0
    }
}

/// A day of the calendar.
struct Date {
    year: u32,
    month: u32,
    day: u32,
}

impl Date {
    fn text(&self) -> String {
        format!("{}-{:02}-{:02}", self.year, self.month, self.day)
    }

    fn advance(&mut self) {
        let length = match self.month {
            // The log ends before 2100, where this would be wrong.
            2 if self.year.is_multiple_of(4) => 29,
            2 => 28,
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        };
        self.day += 1;
        if self.day > length {
            (self.month, self.day) = (self.month + 1, 1);
        }
        if self.month > 12 {
            (self.year, self.month) = (self.year + 1, 1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ROWS, log};

    #[test]
    fn the_log_has_its_rows_and_ends_on_the_right_day() {
        let text = log();
        assert_eq!(text.lines().count(), ROWS as usize + 1);
        // 2499 days after 2018-01-01 by Python's datetime.
        assert!(
            text.lines().last().unwrap().starts_with("2024-11-04,21:00,"),
            "{:?}",
            text.lines().last()
        );
        let columns = text.lines().next().unwrap().split(',').count();
        assert!(text.lines().all(|line| line.split(',').count() == columns));
    }
}
