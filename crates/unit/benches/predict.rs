//! How long one prediction takes, beside SciPy's solution of the same equations in the same run.
//!
//! Prints one JSON line per figure: `{"name", "value", "unit", "reference", "reference_value", "ratio"}`.
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

use common::{hard_water, two_small_in_series};
use unit::{IonicFeed, Model, Segments, Setting, Workspace};

/// Seconds per call: the best of many short batches, so that the machine's other work counts least.
fn seconds(mut work: impl FnMut()) -> f64 {
    let start = Instant::now();
    work();
    let once = start.elapsed().as_secs_f64();
    let calls = (5e-4 / once.max(1e-9)).clamp(1.0, 1e5) as u32;
    let mut best = f64::INFINITY;
    for _ in 0..300 {
        let start = Instant::now();
        for _ in 0..calls {
            work();
        }
        best = best.min(start.elapsed().as_secs_f64() / f64::from(calls));
    }
    best
}

fn main() {
    let unit = two_small_in_series();
    let setting = Setting::new(10.0, 400.0, 300.0);
    let mut workspace = Workspace::new();
    let water = water::Water::complete(&hard_water()).unwrap();
    let feed = IonicFeed::new(water.speciation(), 10.0).unwrap();
    let t = seconds(|| {
        black_box(IonicFeed::new(water.speciation(), 10.0).unwrap());
    });
    println!(
        "{{\"name\":\"ionic feed\",\"value\":{},\"unit\":\"us\"}}",
        t * 1e6
    );
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
        let ions = Model::ionic_setting(&feed, 400.0, 0.0);
        let t = seconds(|| {
            black_box(
                model
                    .solve_ions(&parameters, &ions, &feed, &mut workspace)
                    .unwrap(),
            );
        });
        println!(
            "{{\"name\":\"ions {name}\",\"value\":{},\"unit\":\"us\"}}",
            t * 1e6
        );
        let t = seconds(|| {
            black_box(
                model
                    .ionic_point(&parameters, &ions, &feed, &mut workspace)
                    .unwrap(),
            );
        });
        println!(
            "{{\"name\":\"ions with chemistry {name}\",\"value\":{},\"unit\":\"us\"}}",
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
