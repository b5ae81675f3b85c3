//! How long one diagnosis with its next test takes, on one core.
//!
//! Prints one JSON line per figure: {"name", "value", "unit"}.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a benchmark prints and stops at the first fault"
)]
#![allow(clippy::disallowed_methods, reason = "a benchmark reads the clock")]

#[path = "../tests/common/mod.rs"]
mod common;

use std::hint::black_box;
use std::time::Instant;

use unit::{Model, Segments, Setting, Workspace};

/// Seconds that the work took, the best of three.
fn seconds(mut work: impl FnMut()) -> f64 {
    (0..3)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}

fn main() {
    let cases = common::practice();
    let mut times: Vec<f64> = cases
        .iter()
        .map(|case| {
            seconds(|| {
                black_box(case.diagnose().unwrap());
            }) * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    let line = |name: &str, value: f64, unit: &str| {
        println!("{{\"name\":\"{name}\",\"value\":{value},\"unit\":\"{unit}\"}}");
    };
    line("diagnosis with next test, median", times[times.len() / 2], "ms");
    line(
        "diagnosis with next test, 95th percentile",
        times[times.len() * 95 / 100],
        "ms",
    );
    line("diagnosis with next test, slowest", times[times.len() - 1], "ms");
    // What one operating point with its derivatives costs, to see how many of them a diagnosis is worth.
    let case = &cases[1];
    let model = Model::new(&case.unit, Segments::FAST).unwrap();
    let mut workspace = Workspace::new();
    let setting = Setting::new(15.0, 316.0, 250.0);
    let parameters = model.parameters();
    let t = seconds(|| {
        for _ in 0..100 {
            black_box(
                model
                    .sensitivities(&parameters, &setting, &mut workspace)
                    .unwrap(),
            );
        }
    });
    line("one operating point with derivatives", t * 1e4, "us");
}
