//! Units from ranges other than those of `reference/practice`, with what truly becomes of them: one JSON line each, in the form
//! of `forecast.jsonl` there, for `score.py forecast --cases FILE`.
//!
//!     cargo run --release -p wear --example other_units -- [UNITS] [SEED] [READINGS]
//!
//! READINGS is the number of readings of a unit (none: one every two to twelve weeks).
//!
//! Simulated with this project's own unit model, so it shows whether ranges are right where the model is, not whether the
//! model is. The scorer's baselines carry the spreads of the practice cases, so that what is gained on them flatters too.
#![allow(clippy::print_stdout, reason = "an experiment prints")]

#[path = "../simulated/mod.rs"]
mod simulated;

fn main() -> Result<(), std::num::ParseIntError> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |i: usize, usual: u64| words.get(i).map_or(Ok(usual), |word| word.parse());
    for case in simulated::cases(number(0, 100)?, number(1, 1)?, number(2, 0)?) {
        println!("{case}");
    }
    Ok(())
}
