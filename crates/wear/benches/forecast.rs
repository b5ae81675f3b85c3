//! The forecast of all parts of a unit with 500 readings, side by side in one run with statsmodels'
//! `UnobservedComponents` (a local linear trend) fitted to one series of that length, each on one core.
//!
//! Prints one JSON line; fails where no date comes out. The readings are simulated: those of a practice case, told
//! again and again at other times.

use std::io::Write;
use std::process::Command;
use std::time::Instant;

use casefile::{Document, Faults, Table};
use jiff::SignedDuration;
use reading::Reading;
use serde_json::{Value, json};
use wear::forecast::{Forecaster, Prior, forecast};
use wear::{History, standardise};

const READINGS: usize = 500;
/// Units of a small firm's ledger.
const UNITS: usize = 14;
const CASES: &str = include_str!("../../../reference/practice/forecast.jsonl");

fn main() -> Result<(), Box<dyn std::error::Error>> {
    // A unit with some years of readings, washed filters, a changed feed and changed membranes.
    let case = CASES.lines().next().ok_or("no practice case")?;
    let input = serde_json::from_str::<Value>(case)?["input"].to_string();
    let document = Document::read("case.json", input.as_bytes()).map_err(|error| format!("{error:?}"))?;
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let unit = top
        .required_table("unit", "a unit")
        .and_then(casefile::unit_plan)
        .ok_or("the case has no unit")?;
    let water = top.table("water").and_then(casefile::water_analysis);
    let read = casefile::readings(&top, "readings", &unit).ok_or("the case has no readings")?;
    let events = casefile::events(&top, "events", &unit).ok_or("the case has no events")?;
    let as_of = read.last().ok_or("the case has no readings")?.at;
    // Each reading stands for its neighbours in time as well.
    let mut readings: Vec<Reading> = Vec::with_capacity(READINGS);
    for i in 0..READINGS {
        let one = &read[i * read.len() / READINGS];
        let copies = i
            - (0..i)
                .rev()
                .take_while(|j| j * read.len() / READINGS == i * read.len() / READINGS)
                .last()
                .unwrap_or(i);
        let mut again = one.clone();
        again.at = one
            .at
            .checked_add(SignedDuration::from_mins(7 * i64::try_from(copies)?))?;
        readings.push(again);
    }
    readings.sort_by_key(|reading| reading.at);
    let history = History {
        unit: &unit,
        water: water.as_ref(),
        readings: &readings,
        events: &events,
    };
    let standardisation = standardise(&history);
    let mut best = f64::INFINITY;
    for _ in 0..60 {
        let start = Instant::now();
        let parts = forecast(&history, &standardisation, as_of);
        best = best.min(start.elapsed().as_secs_f64());
        if parts.iter().all(|part| part.due_in_d.is_none()) {
            return Err("no part has a date".into());
        }
    }
    let again = reevaluation(&history)?;
    let mut ledger = f64::INFINITY;
    for _ in 0..8 {
        let start = Instant::now();
        for _ in 0..UNITS {
            let own = History {
                readings: &read,
                ..history
            };
            forecast(&own, &standardise(&own), as_of);
        }
        ledger = ledger.min(start.elapsed().as_secs_f64());
    }
    let python = std::env::var("SALTMARK_PYTHON")
        .map_err(|_| "SALTMARK_PYTHON is not set: run this by `cargo xtask bench`, which sets it")?;
    let output = Command::new(python)
        .arg(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/benches/forecast_statsmodels.py"
        ))
        .arg(READINGS.to_string())
        .env("OMP_NUM_THREADS", "1")
        .env("OPENBLAS_NUM_THREADS", "1")
        .output()?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into());
    }
    let reference_seconds = serde_json::from_slice::<Value>(&output.stdout)?["seconds"]
        .as_f64()
        .ok_or("the reference printed no time")?;
    let line = json!({
        "name": "forecast of all parts, 500 readings, one core",
        "value": best * 1e3,
        "unit": "ms",
        "reference": "statsmodels UnobservedComponents, one series of 500, one core",
        "reference_value": reference_seconds * 1e3,
        "ratio": reference_seconds / best,
        "target": 20.0,
    });
    writeln!(std::io::stdout(), "{line}")?;
    for (name, seconds, most_ms) in [
        ("the same by the clock", best, 5.0),
        (
            "forecast of a unit after one more reading, 500 readings",
            again,
            0.5,
        ),
        (
            "forecast of 14 units from their readings, one core",
            ledger,
            100.0,
        ),
    ] {
        let line = json!({"name": name, "value": seconds * 1e3, "unit": "ms", "target": most_ms});
        writeln!(std::io::stdout(), "{line}")?;
    }
    Ok(())
}

/// Seconds from one more reading to the forecast of all parts, where the others were fitted before.
fn reevaluation(history: &History<'_>) -> Result<f64, Box<dyn std::error::Error>> {
    let before = History {
        readings: history.readings.split_last().ok_or("no readings")?.1,
        ..*history
    };
    let then = before.readings.last().ok_or("one reading")?.at;
    let fitted = Forecaster::new(&before, &standardise(&before), then, &Prior::default());
    let standardisation = standardise(history);
    let as_of = history.readings.last().ok_or("no readings")?.at;
    if fitted.with_reading(history, &standardisation, as_of).added() != 1 {
        return Err("the reading was not added, but all fitted anew".into());
    }
    let mut best = f64::INFINITY;
    for _ in 0..200 {
        let start = Instant::now();
        let parts = fitted.with_reading(history, &standardisation, as_of).parts();
        best = best.min(start.elapsed().as_secs_f64());
        if parts.iter().all(|part| part.due_in_d.is_none()) {
            return Err("no part has a date".into());
        }
    }
    Ok(best)
}
