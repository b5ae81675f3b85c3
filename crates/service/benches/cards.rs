//! How long a card takes, plan and proof together. One JSON line per measure: `{"name","value","unit","target"}`.
#![allow(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a benchmark measures time and prints it"
)]

use std::time::Instant;

use service::{Site, Work, job_card};
use unit::Unit;

#[path = "../tests/cards/common.rs"]
mod common;

/// The longest that a card may take, milliseconds: nobody waits for it, and a list of units gets one each.
const TARGET_MS: f64 = 20.0;

/// Fastest and median of many runs, milliseconds. On a busy machine the fastest is the card's own time.
fn measure(name: &str, unit: &Unit, work: &[Work], refused: bool) {
    let site = Site::default();
    let mut times: Vec<f64> = (0..200)
        .map(|_| {
            let start = Instant::now();
            let card = job_card(unit, work, &site);
            let elapsed = start.elapsed().as_secs_f64() * 1000.0;
            assert_eq!(card.is_err(), refused, "{name}");
            elapsed
        })
        .collect();
    times.sort_by(f64::total_cmp);
    let median = times.get(times.len() / 2).copied().unwrap_or(f64::NAN);
    let fastest = times.first().copied().unwrap_or(f64::NAN);
    for (which, value) in [("median", median), ("fastest", fastest)] {
        println!(
            "{{\"name\":\"card/{name}/{which}\",\"value\":{value:.4},\"unit\":\"ms\",\"target\":{TARGET_MS}}}"
        );
    }
}

fn main() {
    let glasshouse = common::glasshouse();
    measure("carbon", &glasshouse, &common::work(&["change:carbon"]), false);
    let all = [
        "change:sediment",
        "change:carbon",
        "change:membrane-1",
        "change:membrane-2",
    ];
    measure("all", &glasshouse, &common::work(&all), false);
    measure("sanitise", &glasshouse, &common::work(&["sanitise"]), false);
    let cafe = common::cafe();
    measure("cafe", &cafe, &common::work(&["commission"]), false);
    let mut without = common::cafe();
    without.inlet_valve = false;
    without.permeate.tank = Some(common::pressurised_tank(false));
    measure("refused", &without, &common::work(&["change:membrane"]), true);
    let mut large = common::glasshouse();
    large.stages = (1..=8)
        .map(|n| {
            let kind = if n % 2 == 0 {
                common::carbon()
            } else {
                common::sediment()
            };
            unit::Stage {
                inlet_valve: true,
                ..common::stage(&format!("stage-{n}"), kind)
            }
        })
        .collect();
    large.membranes.arrangement = unit::Arrangement::Parallel;
    large.membranes.elements = (1..=8)
        .map(|n| common::element(&format!("membrane-{n}"), unit::ElementSize::S4040))
        .collect();
    large.permeate.polish = (1..=3)
        .map(|n| common::polish(&format!("polish-{n}"), unit::PolishKind::MixedBed))
        .collect();
    measure("large", &large, &common::work(&["commission"]), false);
}
