//! Standardising a million readings with all their standard deviations, side by side in one run with the
//! vectorised NumPy expression of the same equations, each on one core.
//!
//! Prints one JSON line; fails where the two do not agree.

use std::io::Write;
use std::process::Command;
use std::time::Instant;

use serde_json::{Value, json};
use wear::columns::{Columns, Errors, StandardisedColumns, standardise_columns};
use wear::d4516::Reference;

const READINGS: usize = 1_000_000;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let columns = columns();
    let reference = Reference {
        ln_temperature_coefficient: 1.03f64.ln(),
        osmotic_slope: 0.2654,
        osmotic_curve: 1.0,
        channel_m2: 0.89 * 0.7e-3 * 1.48,
        hydraulic_diameter_m: 8.65e-4,
        driving_kpa: 380.0,
        permeate_l_h: 38.0,
        feed_mg_l: 400.0,
        feed_side_mg_l: 520.0,
        channel_l_h: 75.0,
    };
    let errors = Errors {
        flow: 0.025,
        temperature_c: 0.35,
        gauge_kpa: 5.0,
        concentration: 0.02,
        concentration_mg_l: 0.5,
    };
    let mut out = StandardisedColumns::default();
    let mut best = f64::INFINITY;
    for _ in 0..9 {
        let start = Instant::now();
        standardise_columns(&columns, &errors, &reference, &mut out);
        best = best.min(start.elapsed().as_secs_f64());
    }
    let ours = [
        &out.permeate_l_h,
        &out.salt_passage,
        &out.drop_kpa,
        &out.driving_kpa,
        &out.recovery,
        &out.permeate_sd,
        &out.salt_passage_sd,
        &out.drop_sd_kpa,
    ]
    .map(|column| column.iter().sum::<f64>());
    let numpy = numpy(&columns, &errors, &reference)?;
    let theirs = numpy["sums"].as_array().ok_or("the reference printed no sums")?;
    for (ours, theirs) in ours.iter().zip(theirs) {
        let theirs = theirs
            .as_f64()
            .ok_or("the reference printed a sum that is no number")?;
        // Sums of a million terms in another order agree to about 1e-12; 1e-9 leaves no room for a wrong term.
        if (ours / theirs - 1.0).abs() > 1e-9 {
            return Err(format!("the two do not agree: {ours} and {theirs}").into());
        }
    }
    let reference_seconds = numpy["seconds"].as_f64().ok_or("the reference printed no time")?;
    let line = json!({
        "name": "standardise 1 000 000 readings, one core",
        "value": best * 1e3,
        "unit": "ms",
        "reference": "NumPy, the same equations vectorised, one core",
        "reference_value": reference_seconds * 1e3,
        "ratio": reference_seconds / best,
        "target": 6.0,
    });
    writeln!(std::io::stdout(), "{line}")?;
    Ok(())
}

/// Readings that wander through what small units do.
fn columns() -> Columns {
    let wave = |i: usize, period: f64, low: f64, high: f64| {
        low + (high - low) * 0.5 * (1.0 + (i as f64 / period).sin())
    };
    let column =
        |period: f64, low: f64, high: f64| (0..READINGS).map(|i| wave(i, period, low, high)).collect();
    Columns {
        permeate_l_h: column(11.0, 20.0, 60.0),
        concentrate_l_h: column(13.0, 40.0, 110.0),
        temperature_c: column(365.0, 3.0, 24.0),
        membrane_kpa: column(17.0, 300.0, 520.0),
        drop_kpa: column(19.0, 1.0, 12.0),
        back_kpa: column(23.0, 0.0, 20.0),
        feed_mg_l: column(29.0, 150.0, 900.0),
        permeate_mg_l: column(31.0, 5.0, 60.0),
    }
}

fn numpy(
    columns: &Columns,
    errors: &Errors,
    reference: &Reference,
) -> Result<Value, Box<dyn std::error::Error>> {
    let python = std::env::var("SALTMARK_PYTHON")
        .map_err(|_| "SALTMARK_PYTHON is not set: run this by `cargo xtask bench`, which sets it")?;
    let mut file = tempfile::NamedTempFile::new()?;
    let all = [
        &columns.permeate_l_h,
        &columns.concentrate_l_h,
        &columns.temperature_c,
        &columns.membrane_kpa,
        &columns.drop_kpa,
        &columns.back_kpa,
        &columns.feed_mg_l,
        &columns.permeate_mg_l,
    ];
    let bytes: Vec<u8> = all
        .into_iter()
        .flatten()
        .flat_map(|value| value.to_le_bytes())
        .collect();
    file.write_all(&bytes)?;
    let reference = json!({
        "flow": errors.flow,
        "temperature_c": errors.temperature_c,
        "gauge_kpa": errors.gauge_kpa,
        "concentration": errors.concentration,
        "concentration_mg_l": errors.concentration_mg_l,
        "ln_temperature_coefficient": reference.ln_temperature_coefficient,
        "osmotic_slope": reference.osmotic_slope,
        "osmotic_curve": reference.osmotic_curve,
        "channel_m2": reference.channel_m2,
        "hydraulic_diameter_m": reference.hydraulic_diameter_m,
        "driving_kpa": reference.driving_kpa,
        "permeate_l_h": reference.permeate_l_h,
        "feed_mg_l": reference.feed_mg_l,
        "feed_side_mg_l": reference.feed_side_mg_l,
        "channel_l_h": reference.channel_l_h,
    });
    let output = Command::new(python)
        .arg(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/benches/standardise_numpy.py"
        ))
        .arg(file.path())
        .arg(READINGS.to_string())
        .arg(reference.to_string())
        .env("OMP_NUM_THREADS", "1")
        .env_remove("OPENBLAS_CORETYPE")
        .env_remove("OPENBLAS_L2_SIZE")
        .output()?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned().into());
    }
    Ok(serde_json::from_slice(&output.stdout)?)
}
