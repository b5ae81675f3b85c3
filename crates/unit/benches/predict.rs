//! How long one prediction takes, beside SciPy's solution of the same equations in the same run.
//!
//! Prints one JSON line per figure: {"name", "value", "unit", "reference", "reference_value", "ratio"}.
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

use common::two_small_in_series;
use unit::{Model, Segments, Setting, Workspace};

/// Seconds per call: the best of several runs, so that the machine's other work counts least.
fn seconds(mut work: impl FnMut()) -> f64 {
    work();
    let mut best = f64::INFINITY;
    for _ in 0..20 {
        let start = Instant::now();
        let mut calls = 0;
        while calls < 10 || start.elapsed().as_millis() < 20 {
            work();
            calls += 1;
        }
        best = best.min(start.elapsed().as_secs_f64() / f64::from(calls));
    }
    best
}

fn main() {
    let unit = two_small_in_series();
    let setting = Setting::new(10.0, 400.0, 300.0);
    let mut workspace = Workspace::new();
    for (name, segments) in [
        ("fast", Segments::FAST),
        ("default", Segments::default()),
        ("40", Segments(40)),
    ] {
        let model = Model::new(&unit, segments).unwrap();
        let parameters = model.parameters();
        let t = seconds(|| {
            black_box(model.solve(&parameters, &setting, &mut workspace).unwrap());
        });
        println!(
            "{{\"name\":\"solve {name}\",\"value\":{},\"unit\":\"us\"}}",
            t * 1e6
        );
        let t = seconds(|| {
            black_box(
                model
                    .sensitivities(&parameters, &setting, &mut workspace)
                    .unwrap(),
            );
        });
        println!(
            "{{\"name\":\"sensitivities {name}\",\"value\":{},\"unit\":\"us\"}}",
            t * 1e6
        );
        let t = seconds(|| {
            black_box(Model::new(&unit, segments).unwrap());
        });
        println!(
            "{{\"name\":\"identify {name}\",\"value\":{},\"unit\":\"us\"}}",
            t * 1e6
        );
    }
}
