//! The command itself, killed at random moments: a log is in the ledger whole, or not at all.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::process::{Command, Stdio};
use std::time::Duration;

use serde_json::Value;

use crate::ledger::Ground;
use crate::run::{answer, repository, saltmark};

const ROWS: usize = 3_000;

/// How often it is killed: a tenth of the store's own rounds, each of which is one transaction of many.
fn rounds() -> u64 {
    let asked = std::env::var("SALTMARK_KILL_ROUNDS")
        .ok()
        .and_then(|rounds| rounds.parse().ok());
    asked.unwrap_or(200_u64).div_ceil(10)
}

/// A simulated log whose rows are of one year only.
fn log(year: u64) -> String {
    let mut text = String::from("date,feed temperature (C),permeate flow (L/h)\n");
    for row in 0..ROWS {
        let (month, day, hour) = (1 + row / 28 / 24 % 12, 1 + row / 24 % 28, row % 24);
        let flow = 30.0 + (row % 17) as f64 * 0.1;
        writeln!(
            text,
            "{year}-{month:02}-{day:02} {hour:02}:00,{:.1},{flow:.1}",
            8.0 + (row % 9) as f64
        )
        .expect("text has room");
    }
    text
}

#[test]
fn regress_an_import_that_is_killed_is_whole_or_not_there() {
    let ground = Ground::new();
    let ledger = ground.text("ledger.db");
    let unit = repository("reference/field-logs/a-potting-shed.toml")
        .to_string_lossy()
        .into_owned();
    let first = ground.text("first.csv");
    std::fs::write(
        &first,
        "date,feed temperature (C),permeate flow (L/h)\n1999-12-31,8,30\n2000-01-01,8,31\n",
    )
    .expect("it is written");
    answer(
        &[
            "import", "--ledger", &ledger, "--unit", &unit, "--log", &first, "--json",
        ],
        b"",
    );

    let (mut kept, mut killed) = (BTreeSet::from([1999, 2000]), 0);
    let mut moment = 0x5341_4C54_u64;
    for year in 2001..2001 + rounds() {
        let file = ground.text("log.csv");
        std::fs::write(&file, log(year)).expect("it is written");
        let mut child = Command::new(env!("CARGO_BIN_EXE_saltmark"))
            .args([
                "import",
                "--ledger",
                &ledger,
                "--unit-id",
                "potting-shed",
                "--log",
                &file,
            ])
            .env_remove("SALTMARK_LEDGER")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        // Marsaglia's xorshift64: when to kill. An import of these rows takes some 100 to 400 ms.
        moment ^= moment << 13;
        moment ^= moment >> 7;
        moment ^= moment << 17;
        std::thread::sleep(Duration::from_micros(20_000 + moment % 400_000));
        child.kill().expect("it is killed or has ended");
        let done = child.wait().expect("it has ended").success();
        killed += u64::from(!done);

        let lines = saltmark(&["export", "--ledger", &ledger, "--format", "jsonl"], b"");
        assert_eq!(
            lines.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&lines.stderr)
        );
        let text = String::from_utf8(lines.stdout).expect("UTF-8");
        let entries = text
            .lines()
            .map(|line| serde_json::from_str::<Value>(line).expect("JSON"));
        let entries: Vec<Value> = entries.collect();
        let of = |year: u64| {
            let begin = format!("{year}-");
            let readings = entries
                .iter()
                .filter(|entry| entry["payload"]["kind"] == "reading");
            readings
                .filter(|entry| {
                    entry["happened_at"]
                        .as_str()
                        .is_some_and(|at| at.starts_with(&begin))
                })
                .count()
        };
        let there = of(year);
        assert!(there == 0 || there == ROWS, "{there} rows of {ROWS}");
        assert!(!done || there == ROWS, "it said that it had imported them");
        if there > 0 {
            kept.insert(year);
        }
        for before in kept.iter().filter(|year| **year > 2000) {
            assert_eq!(of(*before), ROWS, "the log of {before}");
        }
        let imports = entries
            .iter()
            .filter(|entry| entry["payload"]["kind"] == "import")
            .count();
        assert_eq!(
            imports,
            kept.len() - 1,
            "imports without rows, or rows without their import"
        );
    }
    assert!(killed > 0, "no round was killed before its end");
    // Read in after all, the last log is there once.
    let file = ground.text("log.csv");
    let again = answer(
        &[
            "import",
            "--ledger",
            &ledger,
            "--unit-id",
            "potting-shed",
            "--log",
            &file,
            "--json",
        ],
        b"",
    );
    let rows = again["new"]["readings"].as_u64().unwrap_or(0) + again["already_there"].as_u64().unwrap_or(0);
    assert_eq!(rows, ROWS as u64, "{again}");
}
