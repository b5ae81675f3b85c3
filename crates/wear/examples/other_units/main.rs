//! Units with their readings and what truly becomes of them, from ranges other than those of `reference/practice`: one JSON
//! line each, in the form of `forecast.jsonl` there, for `score.py forecast --cases FILE`.
//!
//!     cargo run --release -p wear --example other_units -- [UNITS] [SEED] [READINGS]
//!
//! READINGS is the number of readings of a unit (none: every two to twelve weeks).
//!
//! Simulated with this project's own unit model, so it shows whether ranges are right where the model is, not whether the
//! model is. The scorer's baselines carry the spreads of the practice cases, so that what is gained on them flatters too. What wears, how fast and how unevenly is drawn here and not taken from the forecast's priors; every figure is
//! common practice, no source, unless it says otherwise.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    unreachable_pub,
    missing_docs,
    reason = "an experiment prints and stops at the first fault"
)]

#[path = "../../../fault/examples/other_ranges/dice.rs"]
mod dice;
mod life;
mod plan;
mod read;
mod run;
mod truth;

use casefile::{Document, Faults, Table};
use dice::Dice;
use serde_json::json;
use unit::{Model, Segments, Unit};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let mut number = |usual: u64| {
        arguments.next().map_or(usual, |word| {
            word.parse().unwrap_or_else(|_| panic!("{word} is no number"))
        })
    };
    let (units, seed, readings) = (number(100), number(1), number(0));
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let mut told = 0;
    while told < units {
        if let Some(case) = case(&mut dice, told, readings) {
            println!("{case}");
            told += 1;
        }
    }
}

/// One unit; none where the one that was drawn makes no sense.
fn case(dice: &mut Dice, number: u64, readings: u64) -> Option<serde_json::Value> {
    let feed = plan::Feed::draw(dice);
    let plan = plan::draw(dice, &feed, number);
    let unit = parsed(&plan);
    let model = Model::new(&unit, Segments(12)).ok()?;
    let life = life::Life::draw(dice, &unit, &model, &feed)?;
    let told = read::readings(dice, &unit, &model, &life, &feed, readings)?;
    let parts = truth::parts(&unit, &model, &life, &feed)?;
    let water = json!({
        "name": "feed", "tds": feed.mg_l.round(), "conductivity": (feed.mg_l / feed.ratio).round(),
        "temperature": feed.mean_c, "ph": 7.4, "turbidity": feed.turbidity, "sdi": feed.sdi,
        "free_chlorine": feed.chlorine, "chloramine": 0,
    });
    Some(json!({
        "id": format!("ou-{number}"),
        "input": {"unit": plan, "water": water, "readings": told, "events": life.events(&unit), "as_of": life::at(life.now as f64).to_string()},
        "truth": parts,
        "world": life.world,
    }))
}

fn parsed(plan: &serde_json::Value) -> Unit {
    let case = json!({"unit": plan}).to_string();
    let document = Document::read("unit.json", case.as_bytes()).unwrap();
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    casefile::unit_plan(top.required_table("unit", "a unit").unwrap()).unwrap()
}
