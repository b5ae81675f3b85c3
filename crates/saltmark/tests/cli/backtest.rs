//! `backtest` on the demonstration ledger (simulated).

use serde_json::Value;

use crate::ledger::Ground;
use crate::run::{answer, saltmark};

/// Counts again, from the changes that are listed, how many due ones fell into their range (two days of grace, as
/// `docs/forecast.md` says).
fn counted(changes: &[Value], lead: f64) -> (u64, u64) {
    let number = |value: &Value| value.as_f64().expect("a number");
    let mut counts = (0, 0);
    for change in changes {
        let told = change["told"].as_array().expect("a list");
        let Some(told) = told
            .iter()
            .find(|told| (number(&told["lead_d"]) - lead).abs() < 1e-9)
        else {
            continue;
        };
        if change["was_due"] != true {
            continue;
        }
        let due = lead - number(&change["age_d"]) + number(&change["due_age_d"]);
        counts.0 += 1;
        counts.1 += u64::from(number(&told["p10"]) - 2.0 <= due && due <= number(&told["p90"]) + 2.0);
    }
    counts
}

#[test]
fn regress_a_ledger_is_replayed_and_its_scores_are_its_changes() {
    let ground = Ground::new();
    ground.demo("ledger.db");
    let ledger = ground.text("ledger.db");
    let replayed = answer(&["backtest", "--ledger", &ledger, "--json"], b"");
    let changes = replayed["changes"].as_array().expect("a list");
    assert!(changes.len() > 20, "{} changes", changes.len());
    for score in replayed["scores"].as_array().expect("a list") {
        let lead = score["lead_d"].as_f64().expect("a number");
        let (due, within) = counted(changes, lead);
        assert_eq!(score["due"].as_u64(), Some(due), "{lead} days before");
        let coverage = score["coverage"].as_f64();
        let again = (due > 0).then(|| within as f64 / due as f64);
        // The same two counts divided.
        assert_eq!(coverage, again, "{lead} days before");
    }
    let cost = &replayed["cost"];
    let same = |way: &str| cost[way]["changes"].as_u64().expect("a number");
    assert_eq!(same("as_made"), same("by_calendar"));
    assert_eq!(same("as_made"), same("by_forecast"));

    let unit = changes[0]["unit"].as_str().expect("an id");
    let one = answer(&["backtest", "--ledger", &ledger, "--unit-id", unit, "--json"], b"");
    let own = changes.iter().filter(|change| change["unit"] == *unit).count();
    assert_eq!(one["changes"].as_array().map(Vec::len), Some(own));
}

#[test]
fn regress_an_unknown_unit_is_named() {
    let ground = Ground::new();
    ground.demo("ledger.db");
    let ledger = ground.text("ledger.db");
    let output = saltmark(&["backtest", "--ledger", &ledger, "--unit-id", "nowhere"], b"");
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains("--unit-id") && said.contains("nowhere"), "{said}");
}
