//! The forecast of all parts of units with 500 readings, side by side in one run with statsmodels' `UnobservedComponents` (a
//! local linear trend) fitted to one series of that length, each on one core.
//!
//! Prints JSON lines; fails where no date comes out. The units and their readings are simulated.

use std::io::Write;
use std::process::Command;
use std::time::Instant;

use practice::Case;
use serde_json::{Value, json};
use wear::forecast::{Forecaster, Prior, forecast};
use wear::{History, standardise};

#[path = "../tests/practice/mod.rs"]
#[expect(clippy::unwrap_used, reason = "a case that can't be read ends the benchmark")]
mod practice;
#[path = "../simulated/mod.rs"]
mod simulated;

const READINGS: u64 = 500;
/// Units with so many readings, of which the middle one and the slowest are told.
const MANY: u64 = 15;
/// Units of a small firm's ledger.
const UNITS: usize = 14;

/// Seconds of the best of so many runs.
fn best_of(runs: usize, mut run: impl FnMut()) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..runs {
        let start = Instant::now();
        run();
        best = best.min(start.elapsed().as_secs_f64());
    }
    best
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let (mut times, mut again) = (Vec::new(), Vec::new());
    for case in simulated::cases(MANY, 1, READINGS) {
        let case = Case::of(&case.to_string());
        let history = case.history();
        let standardisation = standardise(&history);
        let parts = forecast(&history, &standardisation, case.as_of);
        if parts.iter().all(|part| part.due_in_d.is_none()) {
            return Err("no part has a date".into());
        }
        times.push(best_of(40, || {
            std::hint::black_box(forecast(&history, &standardisation, case.as_of));
        }));
        again.extend(reevaluation(&history)?);
    }
    times.sort_by(f64::total_cmp);
    again.sort_by(f64::total_cmp);
    let (middle, slowest) = (times[times.len() / 2], times[times.len() - 1]);
    // Where another reading needs all of them to be looked at again there is nothing to measure.
    if again.len() < times.len() / 2 {
        return Err("too few readings were added to what was known".into());
    }
    let (again_middle, again_slowest) = (again[again.len() / 2], again[again.len() - 1]);
    let small = Case::first();
    let ledger = best_of(8, || {
        for _ in 0..UNITS {
            let history = small.history();
            std::hint::black_box(forecast(&history, &standardise(&history), small.as_of));
        }
    });
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
        "name": format!("forecast of all parts, 500 readings, one core; middle of {MANY} units"),
        "value": middle * 1e3,
        "unit": "ms",
        "reference": "statsmodels UnobservedComponents, one series of 500, one core",
        "reference_value": reference_seconds * 1e3,
        "ratio": reference_seconds / middle,
        "target": 20.0,
    });
    writeln!(std::io::stdout(), "{line}")?;
    for (name, seconds, most_ms) in [
        ("the same by the clock", middle, Some(5.0)),
        ("the same, slowest of them", slowest, None),
        ("the same after one more reading, middle", again_middle, Some(0.5)),
        ("the same after one more reading, slowest", again_slowest, None),
        (
            "forecast of 14 units from their readings, one core",
            ledger,
            Some(100.0),
        ),
    ] {
        let line = json!({"name": name, "value": seconds * 1e3, "unit": "ms", "target": most_ms});
        writeln!(std::io::stdout(), "{line}")?;
    }
    Ok(())
}

/// Seconds from one more reading to the forecast of all parts, where the others were fitted before; none where that reading has
/// all of them looked at again.
fn reevaluation(history: &History<'_>) -> Result<Option<f64>, Box<dyn std::error::Error>> {
    let before = History {
        readings: history.readings.split_last().ok_or("no readings")?.1,
        ..*history
    };
    let then = before.readings.last().ok_or("one reading")?.at;
    let fitted = Forecaster::new(&before, &standardise(&before), then, &Prior::default());
    let standardisation = standardise(history);
    let as_of = history.readings.last().ok_or("no readings")?.at;
    if fitted.with_reading(history, &standardisation, as_of).added() != 1 {
        return Ok(None);
    }
    Ok(Some(best_of(200, || {
        std::hint::black_box(fitted.with_reading(history, &standardisation, as_of).parts());
    })))
}
