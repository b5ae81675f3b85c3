//! How long one prediction takes, beside SciPy's solution of the same equations in the same run.
//!
//! Prints one JSON line per figure: `name`, `value`, `unit`, `reference`, `reference_value`, `ratio` (reference over value).
//! Needs `SALTMARK_PYTHON` for the comparison; without it the references are null.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a benchmark prints and stops at the first fault"
)]

#[path = "../tests/common/mod.rs"]
mod common;

use std::hint::black_box;
use std::time::Instant;

use common::scipy::{ask, case};
use common::{hard_water, two_small_in_series};
use serde_json::{Value, json};
use unit::{IonicFeed, Model, Segments, Setting, State, Workspace};

/// Seconds per call: the best of many short batches, so that the machine's other work counts least.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a clamped count"
)]
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

/// One line; `reference`: its name and microseconds.
fn print(name: &str, value_s: f64, reference: Option<(&str, f64)>) {
    let value = value_s * 1e6;
    let line = match reference {
        Some((of, us)) => json!({"name": name, "value": value, "unit": "us", "reference": of,
            "reference_value": us, "ratio": us / value}),
        None => json!({"name": name, "value": value, "unit": "us", "reference": null,
            "reference_value": null, "ratio": null}),
    };
    println!("{line}");
}

fn main() {
    let unit = two_small_in_series();
    let setting = Setting::new(10.0, 400.0, 300.0);
    let mut workspace = Workspace::new();

    // SciPy: DOP853 at 1e-6 with brentq outside, on the same A and B, in the same run; the fastest of forty.
    let scipy_us = std::env::var("SALTMARK_PYTHON").ok().map(|_| {
        let model = Model::new(&unit, Segments::default()).unwrap();
        // It may begin within a few per cent of the answer; ours begins from nothing.
        let point = model
            .solve(&model.parameters(), &setting, &mut Workspace::new())
            .unwrap();
        let hint = [point.feed_flow_l_h];
        let mut asked = case(&unit, &setting, &State::default(), Some(&model), &hint);
        asked["repeat"] = json!(40);
        asked["rtol"] = json!(1e-6);
        let answer: Value = ask(&[asked]).remove(0);
        answer["seconds"].as_f64().unwrap() * 1e6
    });
    let scipy = scipy_us.map(|us| ("SciPy solve_ivp and brentq", us));
    let aim_one = Some(("aim", 60.0));
    let aim_ions = Some(("aim", 400.0));

    let water = water::Water::complete(&hard_water()).unwrap();
    let feed = IonicFeed::new(water.speciation(), 10.0).unwrap();
    print(
        "ionic feed at a temperature",
        seconds(|| {
            black_box(IonicFeed::new(water.speciation(), 10.0).unwrap());
        }),
        None,
    );
    for (name, segments) in [
        ("3 segments", Segments::FAST),
        ("8 segments (default)", Segments::default()),
        ("40 segments", Segments(40)),
    ] {
        let model = Model::new(&unit, segments).unwrap();
        let parameters = model.parameters();
        let ions = Model::ionic_setting(&feed, 400.0, 0.0);
        let one = seconds(|| {
            black_box(model.solve(&parameters, &setting, &mut workspace).unwrap());
        });
        print(&format!("two 2012 in series, one salt, {name}"), one, scipy);
        if segments == Segments(40) {
            print(
                &format!("two 2012 in series, one salt, {name}, against the aim"),
                one,
                aim_one,
            );
        }
        print(
            &format!("the same with all derivatives, {name}"),
            seconds(|| {
                black_box(
                    model
                        .sensitivities(&parameters, &setting, &mut workspace)
                        .unwrap(),
                );
            }),
            None,
        );
        print(
            &format!("two 2012 in series, full ions, {name}"),
            seconds(|| {
                black_box(
                    model
                        .solve_ions(&parameters, &ions, &feed, &mut workspace)
                        .unwrap(),
                );
            }),
            aim_ions,
        );
        print(
            &format!("the same with permeate, concentrate and wall chemistry, {name}"),
            seconds(|| {
                black_box(
                    model
                        .ionic_point(&parameters, &ions, &feed, &mut workspace)
                        .unwrap(),
                );
            }),
            aim_ions,
        );
        print(
            &format!("A and B of both from the rating, {name}"),
            seconds(|| {
                black_box(Model::new(&unit, segments).unwrap());
            }),
            None,
        );
    }
}
