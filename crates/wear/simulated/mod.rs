//! Units with their readings and what truly becomes of them, drawn at random from ranges other than those of
//! `reference/practice`. For the example `other_units` and the benchmark of forecasts.
//!
//! Simulated with this project's own unit model. What wears, how fast and how unevenly is drawn here and not taken from the
//! forecast's priors; every figure is common practice, no source, unless it says otherwise.
#![allow(
    clippy::unwrap_used,
    unreachable_pub,
    missing_docs,
    reason = "an experiment stops at the first fault"
)]

#[path = "../../fault/examples/other_ranges/dice.rs"]
mod dice;
mod life;
mod plan;
mod read;
mod run;
mod truth;

use casefile::{Document, Faults, Table};
use serde_json::{Value, json};
use unit::{Model, Segments, Unit};

use dice::Dice;

/// So many units, in the form of `forecast.jsonl` in `reference/practice`, with so many readings each (none: one every two to
/// twelve weeks).
pub fn cases(units: u64, seed: u64, readings: u64) -> Vec<Value> {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let mut cases = Vec::new();
    while (cases.len() as u64) < units {
        cases.extend(case(&mut dice, cases.len(), readings));
    }
    cases
}

/// One unit; none where the one that was drawn makes no sense.
fn case(dice: &mut Dice, number: usize, readings: u64) -> Option<Value> {
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

fn parsed(plan: &Value) -> Unit {
    let case = json!({"unit": plan}).to_string();
    let document = Document::read("unit.json", case.as_bytes()).unwrap();
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    casefile::unit_plan(top.required_table("unit", "a unit").unwrap()).unwrap()
}
