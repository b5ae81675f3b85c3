//! `export`, `backup`, `restore`, and files that are no ledgers.

use std::process::Command;

use serde_json::Value;

use crate::ledger::Ground;
use crate::run::{answer, refusal, saltmark};

fn python() -> String {
    std::env::var("SALTMARK_PYTHON").expect(
        "SALTMARK_PYTHON names a Python with pandas and openpyxl: run the tests by `cargo xtask test`",
    )
}

/// pandas reads the CSV and the workbook back, and finds the same numbers in both.
const READ_BACK: &str = r"
import json, sys
# 1e-12 L/h: a workbook keeps sixteen digits of some hundred litres an hour.
import pandas
csv = pandas.read_csv(sys.argv[1], float_precision='round_trip')
book = pandas.read_excel(sys.argv[2], sheet_name=None, engine='openpyxl')
flow = 'permeate_flow_l_h'
sheet = book['readings']
times = pandas.to_datetime(csv['at'], utc=True, format='ISO8601')
print(json.dumps({
    'rows': len(csv), 'sheet_rows': len(sheet), 'units': int(csv['unit'].nunique()),
    'same': bool((csv['entry'] == sheet['entry']).all()) and float((csv[flow] - sheet[flow]).abs().max()) < 1e-12,
    'flow': float(csv[flow].sum()), 'last': times.max().isoformat(), 'sheets': sorted(book),
    'events': len(book['events']),
}))
";

#[test]
fn val_pandas_and_openpyxl_read_the_exports_back() {
    // The other side: pandas and openpyxl (`xtask/requirements.txt`).
    let ground = Ground::new();
    ground.demo("ledger.db");
    let ledger = ground.text("ledger.db");
    let (csv, xlsx, lines) = (
        ground.text("all.csv"),
        ground.text("all.xlsx"),
        ground.text("all.jsonl"),
    );
    for file in [&csv, &xlsx, &lines] {
        let done = answer(&["export", "--ledger", &ledger, "--out", file, "--json"], b"");
        let size = std::fs::metadata(file).expect("the file").len();
        assert_eq!(done["bytes"].as_u64(), Some(size));
    }
    let output = Command::new(python())
        .args(["-c", READ_BACK, &csv, &xlsx])
        .output()
        .expect("Python starts");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let read: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    // What the log itself says, line by line.
    let lines = std::fs::read_to_string(&lines).expect("the lines");
    let entries: Vec<Value> = lines
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    let readings = entries
        .iter()
        .filter(|entry| entry["payload"]["kind"] == "reading")
        .count();
    assert_eq!(read["rows"].as_u64(), Some(readings as u64));
    assert_eq!(read["sheet_rows"], read["rows"]);
    assert_eq!(
        (&read["units"], &read["same"]),
        (&Value::from(14), &Value::from(true)),
        "{read}"
    );
    assert_eq!(
        read["sheets"],
        serde_json::json!(["events", "log", "readings", "set_aside", "units", "waters"])
    );
    // One unit alone.
    let one = saltmark(
        &[
            "export",
            "--ledger",
            &ledger,
            "--unit-id",
            "hatchery",
            "--table",
            "events",
        ],
        b"",
    );
    let one = String::from_utf8_lossy(&one.stdout).into_owned();
    assert!(
        one.lines().count() > 3 && one.lines().skip(1).all(|line| line.starts_with("hatchery,")),
        "{one}"
    );
}

#[test]
fn regress_what_was_exported_makes_the_same_ledger() {
    let ground = Ground::new();
    let made = ground.demo("ledger.db");
    let (ledger, lines, other) = (
        ground.text("ledger.db"),
        ground.text("all.jsonl"),
        ground.text("other.db"),
    );
    answer(&["export", "--ledger", &ledger, "--out", &lines, "--json"], b"");
    let done = answer(
        &["import", "--ledger", &other, "--entries", &lines, "--json"],
        b"",
    );
    assert_eq!(
        (&done["new"], &done["already_there"]),
        (&made["entries"], &Value::from(0))
    );
    let again = answer(
        &["import", "--ledger", &other, "--entries", &lines, "--json"],
        b"",
    );
    assert_eq!(
        (&again["new"], &again["already_there"]),
        (&Value::from(0), &made["entries"])
    );
    let export = |ledger: &str| saltmark(&["export", "--ledger", ledger, "--format", "jsonl"], b"").stdout;
    assert!(export(&ledger) == export(&other), "two ledgers");
}

#[test]
fn regress_a_backup_is_one_file_and_comes_back() {
    let ground = Ground::new();
    let made = ground.demo("ledger.db");
    let (ledger, backup) = (ground.text("ledger.db"), ground.text("backup.db"));
    let done = answer(&["backup", &backup, "--ledger", &ledger, "--json"], b"");
    assert_eq!(done["entries"], made["entries"]);
    for beside in ["backup.db-wal", "backup.db-shm", "backup.db-journal"] {
        assert!(!ground.path(beside).exists(), "{beside}");
    }
    // A backup is never written over.
    let again = saltmark(&["backup", &backup, "--ledger", &ledger], b"");
    assert_eq!(again.status.code(), Some(1));
    // Restored in the place of another, that one is kept.
    answer(
        &[
            "demo",
            "--ledger",
            &ledger,
            "--as-of",
            "2026-10-27",
            "--replace",
            "--json",
        ],
        b"",
    );
    let restored = answer(&["restore", &backup, "--ledger", &ledger, "--json"], b"");
    assert_eq!(restored["entries"], made["entries"]);
    assert!(
        restored["kept"]
            .as_str()
            .is_some_and(|kept| std::path::Path::new(kept).exists())
    );
    let export = |ledger: &str| saltmark(&["export", "--ledger", ledger, "--format", "jsonl"], b"").stdout;
    assert!(export(&ledger) == export(&backup), "two ledgers");
}

#[test]
fn regress_what_is_no_ledger_is_refused_and_left_alone() {
    let ground = Ground::new();
    ground.demo("ledger.db");
    let bytes = std::fs::read(ground.path("ledger.db")).expect("the ledger");
    // SQLite's file format: the header's bytes 60 to 63 are the user version.
    let mut newer = bytes.clone();
    newer[60..64].copy_from_slice(&99_u32.to_be_bytes());
    let cases: [(&str, Vec<u8>, &str); 5] = [
        ("newer.db", newer, "newer Saltmark"),
        ("cut.db", bytes[..bytes.len() / 2].to_vec(), "cut off"),
        (
            "text.db",
            b"Dear Ines, the ledger is in the other folder. ".repeat(20),
            "no SQLite database",
        ),
        ("empty.db", Vec::new(), "accepted"),
        ("zeros.db", vec![0; 4096], "accepted"),
    ];
    for (name, content, words) in cases {
        std::fs::write(ground.path(name), &content).expect("it is written");
        let file = ground.text(name);
        let unit = ["--unit-id", "hatchery"];
        let log = crate::run::repository("reference/field-logs/a-potting-shed.csv")
            .to_string_lossy()
            .into_owned();
        let to = ground.text("to.db");
        for command in [
            vec!["export", "--ledger", &file],
            vec!["check", "--ledger", &file, unit[0], unit[1]],
            vec!["import", "--ledger", &file, unit[0], unit[1], "--log", &log],
            vec!["backup", &to, "--ledger", &file],
            vec!["restore", &file, "--ledger", &to],
            vec!["demo", "--ledger", &file],
        ] {
            let said = refusal(&command, b"");
            assert!(said.contains(words) && said.contains(name), "{command:?}: {said}");
        }
        let after = std::fs::read(ground.path(name)).expect("the file");
        assert!(after == content, "{name} was touched");
        assert!(!ground.path("to.db").exists());
    }
    let missing = refusal(&["export", "--ledger", &ground.text("missing.db")], b"");
    assert!(missing.contains("no such file"), "{missing}");
}

#[test]
fn regress_an_export_names_what_it_cannot_do() {
    let ground = Ground::new();
    ground.demo("ledger.db");
    let ledger = ground.text("ledger.db");
    let out = ground.text("records.pdf");
    for (arguments, words) in [
        (vec!["--table", "people"], "set_aside"),
        (vec!["--format", "xlsx"], "--out"),
        (vec!["--out", &out], ".jsonl"),
        (vec!["--unit-id", "nowhere"], "hatchery"),
    ] {
        let said = refusal(&[&["export", "--ledger", &ledger][..], &arguments].concat(), b"");
        assert!(said.contains(words), "{said}");
    }
    let lost = ground.text("no/such/folder/all.csv");
    let lost = saltmark(&["export", "--ledger", &ledger, "--out", &lost], b"");
    assert_eq!(lost.status.code(), Some(1));
}
