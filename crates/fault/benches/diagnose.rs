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

use fault::interview::{Answer, Given};
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

/// Tests until one cause is 90 % certain: as suggested, and in the order in which one walks round the unit.
fn follow(cases: &[common::Practice], line: &dyn Fn(&str, f64, &str)) {
    let full: Vec<&common::Practice> = cases.iter().filter(|case| case.full).collect();
    for (name, suggested) in [("as suggested", true), ("in fixed order", false)] {
        let efforts: Vec<common::Effort> = full.iter().map(|case| case.effort(suggested)).collect();
        let n = efforts.len().max(1) as f64;
        let tests = efforts.iter().map(|one| one.tests as f64).sum::<f64>() / n;
        let minutes = efforts.iter().map(|one| one.minutes).sum::<f64>() / n;
        line(&format!("tests to 90 % certainty, {name}"), tests, "tests");
        line(&format!("work to 90 % certainty, {name}"), minutes, "min");
    }
}

/// The longest that anybody waits for the next question, ms; a value of another instrument among the answers.
fn slowest_question(cases: &[common::Practice]) -> f64 {
    let of = |case: &&common::Practice| {
        let again: Vec<Answer> = case
            .values()
            .iter()
            .filter(|(key, _)| key.starts_with("permeate_"))
            .map(|(key, value)| Answer {
                key: format!("again.{key}"),
                given: Given::Value(*value),
            })
            .collect();
        seconds(|| {
            black_box(case.interview_from(&case.reading, &again));
        }) * 1e3
    };
    cases
        .iter()
        .filter(|case| case.full)
        .map(|case| of(&case))
        .fold(0.0, f64::max)
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
    // What the issue asks for: under 50 ms on one core.
    let within = |name: &str, value: f64| {
        println!("{{\"name\":\"{name}\",\"value\":{value},\"unit\":\"ms\",\"target\":50}}");
    };
    let line = |name: &str, value: f64, unit: &str| {
        println!("{{\"name\":\"{name}\",\"value\":{value},\"unit\":\"{unit}\"}}");
    };
    line("diagnosis with next test, median", times[times.len() / 2], "ms");
    line(
        "diagnosis with next test, 95th percentile",
        times[times.len() * 95 / 100],
        "ms",
    );
    within("diagnosis with next test, slowest", times[times.len() - 1]);
    follow(&cases, &line);
    within("next question of an interview, slowest", slowest_question(&cases));
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
